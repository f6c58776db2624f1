//! What to be careful of when acting on an answer: the short set that applies.
//!
//! The sentences are general knowledge of the trade in our own words (common practice, no source,
//! unless a line names one). They stand wherever output tells anyone to touch wiring.

use super::{CheckRule, Outcome, State};
use crate::model::{Installation, Kind, KindIdx, Output};
use crate::units::{Celsius, Volts};

/// Above this a person can be killed by a dry touch. \[V\]
///
/// Limits of the voltage class that may be touched, dry and wet (DVC-A of IEC 62109-1; from memory, check
/// your edition).
const SHOCK_DRY: Volts = Volts(60.0);
/// The same in the wet. \[V\]
const SHOCK_WET: Volts = Volts(35.0);

const UNDER_LOAD: &str = "Never part or plug a connector under load: disconnect, then prove zero amps with a clamp meter.";
const LIVE: &str = "Panels are live in any light, and a DC arc does not put itself out: use DC-rated \
    parts. Cracked or wet panels stay out.";
const SHOCK_ANY_TIME: &str =
    "Some of this wiring stands above 60 V DC and can kill; in the wet, 35 V is enough.";
const SHOCK_IN_THE_WET: &str = "Some of this wiring stands above 35 V DC: dangerous in the wet.";
const OVERVOLTAGE: &str = "Voltage above the controller's maximum does not clip, it destroys; one cold morning is enough.";
const REVERSE: &str =
    "Unequal strings push current into each other, also with the controller idle: add no others.";
const POLARITY: &str =
    "Measure polarity and open voltage of each string and block before you put them in parallel.";
const FUSES: &str =
    "A fuse above the label's maximum, or one fuse over several strings, protects nothing.";
const NO_BYPASS: &str = "A panel without bypass diodes can overheat where stronger ones drive \
    current through it: look for hot spots.";
const MIXING: &str = "Connectors of different makers do not mate safely even where they fit. Mixing \
    panels may void listing, warranty or insurance.";
const BATTERY_ORDER: &str = "Battery before array when connecting, array before battery when parting; the manual comes first.";
const NEW_CONTROLLER: &str = "A new controller must be set to this battery, needs its own fuse or \
    breaker at the battery's plus pole, and gets the battery before any panel.";
const BATTERY_CARE: &str =
    "A shorted battery burns. Lead-acid cells give off explosive gas: air the room.";
const BATTERY_CARE_COLD: &str = "A shorted battery burns; lead-acid gives off explosive gas; never \
    charge lithium below freezing.";
const ASSUMED: &str =
    "Some figures are assumed, not read from a label: measure before you trust a narrow margin.";
const LAST_WORD: &str = "Heights, roofs, grounding, arc-fault and shutdown rules, anything on a \
    building or the grid: licensed work. Local code and a licensed person have the last word.";

/// The cautions that apply to a wiring, from the most pressing.
///
/// Each is one or two short sentences, so that the set fits under an answer. Never empty.
#[must_use]
pub fn cautions_for(installation: &Installation, state: &State) -> Vec<&'static str> {
    let wiring = Wired::new(installation, state);
    let highest = wiring.highest_voltage();
    let battery = wiring.has_battery();
    let freezing = installation.site.coldest < Celsius(0.0);
    let candidates = [
        (true, UNDER_LOAD),
        (true, LIVE),
        (highest > SHOCK_DRY, SHOCK_ANY_TIME),
        (highest > SHOCK_WET && highest <= SHOCK_DRY, SHOCK_IN_THE_WET),
        (wiring.flagged(&[CheckRule::ColdVoc]), OVERVOLTAGE),
        (wiring.has_unequal_strings(), REVERSE),
        (wiring.has_parallel(), POLARITY),
        (wiring.needs_fuses(), FUSES),
        (wiring.any_kind(|k| k.bypass_diodes == Some(0)), NO_BYPASS),
        (wiring.mixes_labels(), MIXING),
        (battery, BATTERY_ORDER),
        (wiring.has_new_controller(), NEW_CONTROLLER),
        (battery && freezing, BATTERY_CARE_COLD),
        (battery && !freezing, BATTERY_CARE),
        (wiring.any_kind(lacks_a_figure), ASSUMED),
        (true, LAST_WORD),
    ];
    candidates.into_iter().filter_map(|(applies, text)| applies.then_some(text)).collect()
}

/// What of the wiring decides which cautions apply.
struct Wired<'a> {
    installation: &'a Installation,
    state: &'a State,
    /// Kinds that are wired, ascending.
    kinds: Vec<KindIdx>,
}

impl<'a> Wired<'a> {
    fn new(installation: &'a Installation, state: &'a State) -> Self {
        let mut kinds: Vec<KindIdx> =
            state.inputs.iter().flat_map(|i| &i.strings).flat_map(|s| s.wiring.panels()).collect();
        kinds.sort_unstable();
        kinds.dedup();
        Self { installation, state, kinds }
    }

    fn highest_voltage(&self) -> Volts {
        self.state
            .inputs
            .iter()
            .flat_map(|i| &i.strings)
            .fold(Volts(0.0), |highest, s| highest.max(s.cold_v_oc))
    }

    fn has_battery(&self) -> bool {
        self.state
            .inputs
            .iter()
            .filter(|i| !i.strings.is_empty())
            .any(|i| matches!(self.installation.controller(i.at).output, Output::Battery(_)))
    }

    /// Is a spare controller used that charges a battery?
    fn has_new_controller(&self) -> bool {
        let new = |i: &&super::InputState| {
            !i.strings.is_empty()
                && self.installation.is_spare(i.at)
                && self.installation.controller(i.at).battery().is_some()
        };
        self.state.inputs.iter().any(|i| new(&i))
    }

    fn mixes_labels(&self) -> bool {
        self.kinds.iter().any(|k| !self.installation.alike(*k, self.kinds[0]))
    }

    fn has_unequal_strings(&self) -> bool {
        self.state.inputs.iter().any(|input| {
            let mut alike = input.strings.iter().map(|s| s.wiring.canonical());
            let first = alike.next();
            alike.any(|s| Some(&s) != first.as_ref())
        })
    }

    fn has_parallel(&self) -> bool {
        self.has_block() || self.state.inputs.iter().any(|i| i.strings.len() > 1)
    }

    fn has_block(&self) -> bool {
        self.state
            .inputs
            .iter()
            .flat_map(|i| &i.strings)
            .flat_map(|s| s.wiring.elements())
            .any(crate::model::Element::is_block)
    }

    fn needs_fuses(&self) -> bool {
        self.has_block()
            || self.state.inputs.iter().any(|i| i.strings.len() > 2)
            || self.flagged(&[CheckRule::FaultReverseCurrent, CheckRule::StringFuse])
    }

    /// Is there anything but a pass for one of these rules?
    fn flagged(&self, rules: &[CheckRule]) -> bool {
        self.state.checks.iter().any(|c| c.outcome > Outcome::Pass && rules.contains(&c.rule))
    }

    fn any_kind(&self, test: impl Fn(&Kind) -> bool) -> bool {
        self.kinds.iter().any(|&k| test(self.installation.kind(k)))
    }
}

/// Does the label lack a figure that the answer then had to assume?
fn lacks_a_figure(kind: &Kind) -> bool {
    kind.v_oc_coefficient.is_none()
        || kind.i_sc_coefficient.is_none()
        || kind.p_mp_coefficient.is_none()
        || kind.bypass_diodes.is_none()
        || kind.noct.is_none()
        || kind.estimated
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{
        ArrayWiring, BatteryBank, Controller, ControllerType, Element, InputRef, InputWiring,
        Label, PanelString, Site, SunData,
    };
    use crate::plan::{InputState, StringState};
    use crate::units::{Amps, Watts};

    const A: KindIdx = KindIdx(0);
    const B: KindIdx = KindIdx(1);
    const AT: InputRef = InputRef { controller: 0, input: 1 };

    fn kind(id: &str) -> Kind {
        let percent = crate::units::PercentPerC(-0.3);
        Kind {
            id: id.into(),
            label: Label {
                p_mp: Watts(100.0),
                v_mp: Volts(18.0),
                i_mp: Amps(5.556),
                v_oc: Volts(22.0),
                i_sc: Amps(6.0),
            },
            v_oc_coefficient: Some(percent),
            i_sc_coefficient: Some(percent * -0.1),
            p_mp_coefficient: Some(percent),
            cells: None,
            bypass_diodes: Some(2),
            noct: Some(Celsius(45.0)),
            max_fuse: None,
            max_system: None,
            tolerance_percent: None,
            age_years: None,
            v_oc_tolerance_percent: None,
            estimated: false,
            placed: None,
        }
    }

    fn battery() -> Output {
        Output::Battery(BatteryBank { nominal: Volts(24.0), charge: None, charge_limit: None })
    }

    fn apiary(output: Output, coldest: f64) -> Installation {
        Installation {
            site: Site {
                name: "apiary".into(),
                coldest: Celsius(coldest),
                hottest: Celsius(30.0),
                block_max: 2,
                isc_factor: 1.25,
                battery_charge: None,
                sun: SunData::default(),
                money: crate::model::MoneyData::default(),
            },
            kinds: vec![kind("hive-100"), kind("comb-100")],
            controllers: vec![Controller {
                id: "hut".into(),
                controller_type: ControllerType::Mppt,
                output,
                max_pv: Volts(150.0),
                window: Some((Volts(15.0), Volts(130.0))),
                max_pv_current: None,
                max_pv_power: None,
                n_inputs: 1,
                string_ports: 4,
                blocking_diodes: false,
                efficiency: None,
                spare: None,
            }],
            installed: vec![InputWiring { at: AT, array: ArrayWiring::default() }],
            spares: vec![],
            kept: Vec::new(),
            runs: vec![],
            phases: Vec::new(),
        }
    }

    fn wired(strings: Vec<Vec<Element>>, cold_v_oc: f64) -> State {
        let strings = strings
            .into_iter()
            .map(|elements| StringState {
                wiring: PanelString::new(elements),
                current: Amps(5.0),
                power: Watts(90.0),
                own_maximum: Watts(90.0),
                cold_v_oc: Volts(cold_v_oc),
                bypassed: vec![],
            })
            .collect();
        State {
            inputs: vec![InputState {
                at: AT,
                v: Volts(18.0),
                i: Amps(5.0),
                power: Watts(90.0),
                clipped: None,
                label: Watts(100.0),
                nameplate: Watts(90.0),
                strings,
                other_peaks: vec![],
            }],
            checks: vec![],
        }
    }

    fn single(kind: KindIdx) -> Vec<Element> {
        vec![Element::single(kind)]
    }

    #[test]
    fn one_panel_on_a_grid_inverter_gets_only_what_always_applies() {
        let grid = Output::Converter { start: None, max_out: None };
        let found = cautions_for(&apiary(grid, -10.0), &wired(vec![single(A)], 24.0));
        assert_eq!(found, [UNDER_LOAD, LIVE, LAST_WORD]);
    }

    #[test]
    fn voltage_decides_the_shock_caution() {
        let site = apiary(battery(), 5.0);
        let found = |volts| cautions_for(&site, &wired(vec![single(A)], volts));
        assert!(!found(35.0).contains(&SHOCK_IN_THE_WET));
        assert!(found(35.1).contains(&SHOCK_IN_THE_WET));
        assert!(found(60.1).contains(&SHOCK_ANY_TIME));
        assert!(!found(60.1).contains(&SHOCK_IN_THE_WET));
    }

    #[test]
    fn unequal_strings_and_mixed_kinds_are_named_alike_ones_are_not() {
        let site = apiary(battery(), 5.0);
        let alike = cautions_for(&site, &wired(vec![single(A), single(A)], 24.0));
        assert!(alike.contains(&POLARITY));
        assert!(!alike.contains(&REVERSE) && !alike.contains(&MIXING));
        let unequal = cautions_for(&site, &wired(vec![single(A), single(B)], 24.0));
        assert!(unequal.contains(&REVERSE) && unequal.contains(&MIXING));
    }

    #[test]
    fn a_block_brings_the_fuse_and_polarity_cautions() {
        let block = vec![Element::block(vec![A, A])];
        let found = cautions_for(&apiary(battery(), 5.0), &wired(vec![block], 24.0));
        assert!(found.contains(&FUSES) && found.contains(&POLARITY));
    }

    #[test]
    fn lithium_is_named_where_it_freezes() {
        let state = wired(vec![single(A)], 24.0);
        assert!(cautions_for(&apiary(battery(), -1.0), &state).contains(&BATTERY_CARE_COLD));
        assert!(cautions_for(&apiary(battery(), 1.0), &state).contains(&BATTERY_CARE));
    }

    #[test]
    fn a_missing_figure_and_missing_diodes_are_named() {
        let mut site = apiary(battery(), 5.0);
        site.kinds[0].bypass_diodes = Some(0);
        let state = wired(vec![single(A)], 24.0);
        let found = cautions_for(&site, &state);
        assert!(found.contains(&NO_BYPASS) && !found.contains(&ASSUMED));
        site.kinds[0].bypass_diodes = None;
        let found = cautions_for(&site, &state);
        assert!(!found.contains(&NO_BYPASS) && found.contains(&ASSUMED));
    }

    #[test]
    fn every_caution_fits_on_two_lines_of_a_page() {
        for text in [
            UNDER_LOAD,
            LIVE,
            SHOCK_ANY_TIME,
            SHOCK_IN_THE_WET,
            OVERVOLTAGE,
            REVERSE,
            POLARITY,
            FUSES,
            NO_BYPASS,
            MIXING,
            BATTERY_ORDER,
            NEW_CONTROLLER,
            BATTERY_CARE,
            BATTERY_CARE_COLD,
            ASSUMED,
            LAST_WORD,
        ] {
            assert!(text.len() <= 180, "{text}");
            assert!(!text.contains("  "), "{text}");
        }
    }
}
