//! The cable runs of a wiring: what each must carry, what it may carry, what is lost on it.
//!
//! A plan's watts are those at the panels' terminals; what is lost here comes off them.

use crate::electrical::{Ampacity, ampacity, conductor_temperature, string_i_sc, voltage_drop};
use crate::model::{
    AWG_SIZES, ArrayWiring, CrossSection, InputWiring, Installation, LengthUnit, Output, Run,
    RunPart, SQUARE_MM_SIZES,
};
use crate::plan::limits::fuse_needs;
use crate::plan::{FusePlace, InputState, State};
use crate::units::{Amps, Celsius, Volts, Watts};

/// Most that is lost between panels and controller, as a fraction of the voltage (common practice, no
/// source). Where both of its stretches are known, each proposal gets half.
pub const ARRAY_DROP: f64 = 0.03;
/// The same between controller and battery, where a drop also misleads a controller that measures at
/// its own terminals (common practice, no source).
pub const BATTERY_DROP: f64 = 0.02;

/// The code's factor on short-circuit current, for sun beyond 1000 W/m² (US NEC 690.8(A)).
const SUN: f64 = 1.25;
/// The code's factor on a current that lasts for hours (US NEC 690.8(B)).
const LASTING: f64 = 1.25;
/// An ampacity met exactly is enough: relative slack for rounding.
const TOLERANCE: f64 = 1e-9;

/// Where a cross-section comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CableSize {
    /// The site file says that it is laid.
    Laid(CrossSection),
    /// The smallest that carries the current and keeps the drop low.
    Proposed(CrossSection),
    /// No listed size does.
    NoneServes,
}

/// What decides how much a cable must carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NeededBy {
    /// 1.25 × 1.25 × the short-circuit current behind it.
    ShortCircuit,
    /// The fuse that guards it.
    Fuse,
    /// What the other strings could feed into a short, with no fuse in the way.
    Feed,
    /// 1.25 × the controller's charging current.
    Charging,
}

impl NeededBy {
    /// Standard and clause, or the practice behind it.
    #[must_use]
    pub fn basis(self) -> &'static str {
        match self {
            Self::ShortCircuit => "US NEC 690.8, from a secondary source: check your edition",
            Self::Fuse => {
                "a cable is not weaker than its fuse: US NEC 240.4, IEC 62548; from memory, check your edition"
            }
            Self::Feed => "IEC 62548, from memory, check your edition",
            Self::Charging => "US NEC 690.8, from memory, check your edition",
        }
    }
}

/// What is lost on a run while the array operates at full sun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CableLoss {
    /// The largest current in one conductor. \[A\]
    pub current: Amps,
    /// Voltage lost out and back, at that current. \[V\]
    pub drop: Volts,
    /// The same as a share of the voltage there. \[%\]
    pub percent: f64,
    /// Power lost in all conductors of the run. \[W\]
    pub watts: Watts,
}

/// One run of cable, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cable {
    /// As the site file gives it.
    pub run: Run,
    /// What is laid or proposed.
    pub size: CableSize,
    /// It must carry at least this much. \[A\]
    pub need: Amps,
    /// Why.
    pub needed_by: NeededBy,
    /// Air around it.
    pub air: Celsius,
    /// It may carry this much; `None` where no size serves.
    pub carries: Option<Ampacity>,
    /// What is lost; `None` where no size serves, or the array gives nothing.
    pub loss: Option<CableLoss>,
}

impl Cable {
    /// What is laid or proposed.
    #[must_use]
    pub fn cross_section(&self) -> Option<CrossSection> {
        match self.size {
            CableSize::Laid(size) | CableSize::Proposed(size) => Some(size),
            CableSize::NoneServes => None,
        }
    }

    /// May it carry less than it must?
    #[must_use]
    pub fn is_too_small(&self) -> bool {
        self.carries.is_some_and(|a| a.allowed.amps() < self.need.amps() * (1.0 - TOLERANCE))
    }

    /// The same run with the size that would be proposed for it.
    #[must_use]
    pub fn replaced(&self, installation: &Installation, state: &State) -> Option<Self> {
        let run = Run { size: None, ..self.run };
        judged(run, installation, state)
    }
}

/// What flows through a run.
struct Load {
    /// In each pair of conductors. \[A\]
    currents: Vec<Amps>,
    v: Volts,
    need: Amps,
    needed_by: NeededBy,
}

/// The runs of a site under a wiring, in the order of [`Installation::runs`]; none for an input with
/// nothing wired.
#[must_use]
pub fn cables(installation: &Installation, state: &State) -> Vec<Cable> {
    installation.runs.iter().filter_map(|run| judged(*run, installation, state)).collect()
}

fn judged(run: Run, installation: &Installation, state: &State) -> Option<Cable> {
    let load = load(run, installation, state)?;
    let air = run.air.unwrap_or(installation.site.hottest);
    let size = match run.size {
        Some(size) => CableSize::Laid(size),
        None => propose(run, air, &load, allowed_drop(run, installation)),
    };
    let mut cable = Cable {
        run,
        size,
        need: load.need,
        needed_by: load.needed_by,
        air,
        carries: None,
        loss: None,
    };
    if let Some(size) = cable.cross_section() {
        cable.carries = Some(ampacity(size, run.rating, air));
        cable.loss = loss(run, size, air, &load);
    }
    Some(cable)
}

/// As a fraction of the voltage.
fn allowed_drop(run: Run, installation: &Installation) -> f64 {
    let before_controller = |r: &&Run| r.at == run.at && r.part != RunPart::Battery;
    match run.part {
        RunPart::Battery => BATTERY_DROP,
        RunPart::Strings | RunPart::Array => {
            let n_runs = installation.runs.iter().filter(before_controller).count();
            ARRAY_DROP / n_runs.max(1) as f64
        }
    }
}

fn propose(run: Run, air: Celsius, load: &Load, allowed_drop: f64) -> CableSize {
    let sizes: Vec<CrossSection> = match run.given_in {
        LengthUnit::Metres => SQUARE_MM_SIZES.map(CrossSection::SquareMm).to_vec(),
        LengthUnit::Feet => AWG_SIZES.map(CrossSection::Awg).to_vec(),
    };
    let serves = |size: &CrossSection| {
        let carries = ampacity(*size, run.rating, air).allowed.amps();
        let drop = loss(run, *size, air, load).map_or(0.0, |l| l.percent / 100.0);
        carries >= load.need.amps() * (1.0 - TOLERANCE) && drop <= allowed_drop
    };
    sizes.into_iter().find(serves).map_or(CableSize::NoneServes, CableSize::Proposed)
}

fn loss(run: Run, size: CrossSection, air: Celsius, load: &Load) -> Option<CableLoss> {
    if load.v.volts() <= 0.0 {
        return None;
    }
    let drop = |current: Amps| {
        let conductor = conductor_temperature(size, run.rating, air, current);
        voltage_drop(size, conductor, run.length, current)
    };
    let current = load.currents.iter().copied().reduce(Amps::max)?;
    Some(CableLoss {
        current,
        drop: drop(current),
        percent: 100.0 * drop(current).volts() / load.v.volts(),
        watts: load.currents.iter().map(|i| drop(*i) * *i).sum(),
    })
}

fn load(run: Run, installation: &Installation, state: &State) -> Option<Load> {
    if run.part == RunPart::Battery {
        return charging(run, installation, state);
    }
    let input = state.inputs.iter().find(|i| i.at == run.at && !i.strings.is_empty())?;
    let wiring = wiring_of(input);
    let (currents, (need, needed_by)) = match run.part {
        RunPart::Strings => {
            let currents = input.strings.iter().map(|s| s.current.max(s.current * -1.0));
            let needs = (0..input.strings.len()).map(|s| string_need(s, &wiring, installation));
            let most = needs.reduce(|a, b| if b.0 > a.0 { b } else { a })?;
            (currents.collect(), most)
        }
        _ => {
            let need = array_i_sc(&wiring.array, installation) * (SUN * LASTING);
            (vec![input.i], (need, NeededBy::ShortCircuit))
        }
    };
    Some(Load { currents, v: input.v, need, needed_by })
}

/// What the battery's cable carries while all inputs of the controller give what they can.
fn charging(run: Run, installation: &Installation, state: &State) -> Option<Load> {
    let Output::Battery(bank) = installation.controller(run.at).output else { return None };
    let its = state.inputs.iter().filter(|i| i.at.controller == run.at.controller);
    let wired: Vec<&InputState> = its.filter(|i| !i.strings.is_empty()).collect();
    let v = bank.charging_voltage();
    if wired.is_empty() || v.volts() <= 0.0 {
        return None;
    }
    let power: Watts = wired.iter().map(|i| i.power).sum();
    let gives = Amps(power.watts() / v.volts());
    let current = bank.charge_limit.map_or(gives, |limit| gives.min(limit));
    let need = bank.charge_limit.unwrap_or(current) * LASTING;
    Some(Load { currents: vec![current], v, need, needed_by: NeededBy::Charging })
}

/// What the cable of one string must carry: the string's own current, and what could come back into a
/// short in it, up to its fuse.
pub(super) fn string_need(
    string: usize,
    wiring: &InputWiring,
    installation: &Installation,
) -> (Amps, NeededBy) {
    let kinds = &installation.kinds;
    let strings = &wiring.array.strings;
    let own = string_i_sc(&strings[string], kinds);
    let own = (own * (SUN * LASTING), NeededBy::ShortCircuit);
    let fuse = fuse_needs(wiring, kinds)
        .into_iter()
        .find(|f| f.string == string && f.place == FusePlace::String)
        .and_then(|f| f.size);
    let others = strings.iter().enumerate().filter(|(s, _)| *s != string);
    let feed: Amps = others.map(|(_, other)| string_i_sc(other, kinds)).sum();
    let back = fuse.map_or((feed * SUN, NeededBy::Feed), |size| (size, NeededBy::Fuse));
    if back.0 > own.0 { back } else { own }
}

/// Short-circuit current of all strings together. \[A\]
pub(super) fn array_i_sc(array: &ArrayWiring, installation: &Installation) -> Amps {
    array.strings.iter().map(|s| string_i_sc(s, &installation.kinds)).sum()
}

/// What a cable must carry whose current lasts for hours: 1.25 × that. \[A\]
pub(super) fn lasting(current: Amps) -> Amps {
    current * LASTING
}

/// What an input's cables and disconnect must carry: 1.25 × 1.25 × its short-circuit current. \[A\]
pub(super) fn lasting_i_sc(i_sc: Amps) -> Amps {
    i_sc * (SUN * LASTING)
}

/// What flows at most for minutes: 1.25 × the short-circuit current. \[A\]
pub(super) fn sunny_i_sc(i_sc: Amps) -> Amps {
    i_sc * SUN
}

/// The wiring that a state is of.
pub(super) fn wiring_of(input: &InputState) -> InputWiring {
    let strings = input.strings.iter().map(|s| s.wiring.clone()).collect();
    InputWiring { at: input.at, array: ArrayWiring { strings } }
}
