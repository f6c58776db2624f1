//! What a wiring drawing shows, before it is known where: strings, their panels and conductors, and
//! what becomes of each against today.

use super::joints::{Stands, terminals_that_stand};
use crate::electrical::Catalog;
use crate::model::{InputWiring, Installation, KindIdx};
use crate::plan::{
    Advice, Evaluator, FuseNeed, FusePlace, InputState, PanelMove, PanelPlace, PanelSource, Plan,
    Rewiring, StringState, Tag, fewest_joints,
};
use crate::report::names::Names;
use crate::report::numbers::{amps, plain, volts};
use crate::units::Amps;

/// One input as it is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Scene {
    pub(super) strings: Vec<StringRow>,
    /// Panels that leave the array.
    pub(super) out: Vec<Panel>,
}

/// A string, or several that are drawn alike.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct StringRow {
    /// Index of the first.
    pub(super) first: usize,
    /// How many.
    pub(super) alike: usize,
    /// Volts and amps.
    pub(super) figures: String,
    /// From the minus end to the plus end, as they stand from left to right.
    pub(super) elements: Vec<ElementBox>,
    /// What its fuse says, where it needs one.
    pub(super) fuse: Option<String>,
    /// The joints at the combiner.
    pub(super) minus_port: Stands,
    pub(super) plus_port: Stands,
}

/// A panel, a block, or several alike in a row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ElementBox {
    /// How many of them follow each other.
    pub(super) alike: usize,
    pub(super) members: Vec<Panel>,
}

/// One panel.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Panel {
    pub(super) kind: KindIdx,
    /// Its place, as the steps name it; the first of several alike.
    pub(super) place: String,
    /// The last of several alike.
    pub(super) last_place: Option<String>,
    pub(super) mark: Mark,
    /// What is written on its tape, if it is new.
    pub(super) tape: String,
    pub(super) fuse: Option<String>,
    pub(super) minus: Stands,
    pub(super) plus: Stands,
}

/// What becomes of a panel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Mark {
    /// It stands where it stood.
    AsToday,
    /// It comes from the spares.
    New,
    /// It stood elsewhere.
    From(String),
    /// It leaves the array.
    Out,
}

/// Today's scene, and the plan's where it differs.
pub(super) fn scenes(installation: &Installation, advice: &Advice) -> (Scene, Option<Scene>) {
    let today = advice.today.wiring();
    let now = of_today(installation, advice, &today);
    let plan = advice.best.map(|b| &advice.plans[b]).filter(|plan| plan.changes_wiring());
    (now, plan.map(|plan| of_plan(installation, advice, &today, plan)))
}

fn of_today(installation: &Installation, advice: &Advice, today: &[InputWiring]) -> Scene {
    let stays = |kind, to| PanelMove { kind, from: PanelSource::Installed(to), to };
    let mut panels = Vec::new();
    for wiring in today.iter().filter(|w| w.at == advice.planned) {
        each_place(wiring, |kind, to| panels.push(stays(kind, to)));
    }
    let build = Builder {
        names: Names(installation),
        today,
        wiring: today,
        panels: &panels,
        fuses: fuses(installation, advice, today),
        stands: &|_| Stands::Today,
    };
    build.scene(advice, &advice.today.inputs)
}

fn of_plan(
    installation: &Installation,
    advice: &Advice,
    today: &[InputWiring],
    plan: &Plan,
) -> Scene {
    let rewiring = fewest_joints(today, &plan.state.wiring());
    let stand = terminals_that_stand(today, &rewiring, advice.planned);
    let build = Builder {
        names: Names(installation),
        today,
        wiring: &rewiring.inputs,
        panels: &rewiring.panels,
        fuses: fuses(installation, advice, &rewiring.inputs),
        stands: &|terminal| if stand.contains(&terminal) { Stands::Today } else { Stands::New },
    };
    let mut scene = build.scene(advice, &plan.state.inputs);
    scene.out = left_out(Names(installation), advice, today, &rewiring);
    scene
}

/// Panels of the planned input that the plan does not wire.
fn left_out(
    names: Names<'_>,
    advice: &Advice,
    today: &[InputWiring],
    rewiring: &Rewiring,
) -> Vec<Panel> {
    let mut out = Vec::new();
    for wiring in today.iter().filter(|w| w.at == advice.planned) {
        each_place(wiring, |kind, at| {
            if rewiring.panels.iter().all(|p| p.from != PanelSource::Installed(at)) {
                out.push(Panel {
                    kind,
                    place: names.place(today, at),
                    last_place: None,
                    mark: Mark::Out,
                    tape: String::new(),
                    fuse: None,
                    minus: Stands::New,
                    plus: Stands::New,
                });
            }
        });
    }
    out
}

fn each_place(wiring: &InputWiring, mut visit: impl FnMut(KindIdx, PanelPlace)) {
    for (string, s) in wiring.array.strings.iter().enumerate() {
        for (element, e) in s.elements().iter().enumerate() {
            for (member, kind) in e.members().iter().enumerate() {
                visit(*kind, PanelPlace { at: wiring.at, string, element, member });
            }
        }
    }
}

fn fuses(installation: &Installation, advice: &Advice, wiring: &[InputWiring]) -> Vec<FuseNeed> {
    let catalog = Catalog::fit(&installation.kinds).expect("an answer's labels have curves");
    let evaluator = Evaluator::new(installation, &catalog);
    let planned = wiring.iter().filter(|w| w.at == advice.planned);
    planned.flat_map(|w| evaluator.fuses(w)).collect()
}

/// What a fuse says beside it.
fn fuse_size(need: &FuseNeed) -> String {
    need.size.map_or_else(|| "? A".into(), |size| format!("{}\u{a0}A", plain(size.amps(), 1)))
}

/// A terminal of the wiring that is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Terminal {
    Minus(PanelPlace),
    Plus(PanelPlace),
    /// The combiner's, by string.
    MinusPort(usize),
    PlusPort(usize),
}

struct Builder<'a> {
    names: Names<'a>,
    today: &'a [InputWiring],
    wiring: &'a [InputWiring],
    panels: &'a [PanelMove],
    fuses: Vec<FuseNeed>,
    stands: &'a dyn Fn(Terminal) -> Stands,
}

impl Builder<'_> {
    fn scene(&self, advice: &Advice, inputs: &[InputState]) -> Scene {
        let state = inputs.iter().find(|i| i.at == advice.planned);
        let wiring = self.wiring.iter().find(|w| w.at == advice.planned);
        let (Some(state), Some(wiring)) = (state, wiring) else {
            return Scene { strings: Vec::new(), out: Vec::new() };
        };
        let n_strings = wiring.array.strings.len();
        let strings = (0..n_strings).map(|s| self.string(state, wiring, s)).collect();
        Scene { strings, out: Vec::new() }
    }

    fn string(&self, state: &InputState, wiring: &InputWiring, string: usize) -> StringRow {
        let wanted = wiring.array.strings[string].canonical();
        let found = state.strings.iter().find(|s| s.wiring.canonical() == wanted);
        let n_elements = wiring.array.strings[string].elements().len();
        let elements = (0..n_elements).rev().map(|element| {
            let here = self.panels.iter().filter(|p| {
                p.to.at == wiring.at && p.to.string == string && p.to.element == element
            });
            ElementBox { alike: 1, members: here.map(|p| self.panel(p)).collect() }
        });
        StringRow {
            first: string,
            alike: 1,
            figures: found.map_or_else(String::new, |s| figures(state, s)),
            elements: elements.collect(),
            fuse: self.fuse(string, FusePlace::String),
            minus_port: (self.stands)(Terminal::MinusPort(string)),
            plus_port: (self.stands)(Terminal::PlusPort(string)),
        }
    }

    fn panel(&self, panel: &PanelMove) -> Panel {
        // A panel that gets another across it stays where it is.
        let spot = |p: PanelPlace| (p.at, p.string, p.element);
        let mark = match panel.from {
            PanelSource::Spare => Mark::New,
            PanelSource::Installed(from) if spot(from) == spot(panel.to) => Mark::AsToday,
            PanelSource::Installed(from) => Mark::From(self.names.place(self.today, from)),
        };
        let PanelPlace { string, element, member, .. } = panel.to;
        Panel {
            kind: panel.kind,
            place: self.names.place(self.wiring, panel.to),
            last_place: None,
            mark,
            tape: self.tape(panel),
            fuse: self.fuse(string, FusePlace::Member { element, member }),
            minus: (self.stands)(Terminal::Minus(panel.to)),
            plus: (self.stands)(Terminal::Plus(panel.to)),
        }
    }

    /// Spares are counted as in the steps, through the whole site.
    fn tape(&self, panel: &PanelMove) -> String {
        let spares = self.panels.iter().filter(|p| p.from == PanelSource::Spare);
        let number = spares.enumerate().find(|(_, p)| p.to == panel.to).map(|(n, _)| n);
        number
            .filter(|_| panel.from == PanelSource::Spare)
            .map_or_else(String::new, |n| self.names.tag(Tag::Spare(n)))
    }

    fn fuse(&self, string: usize, place: FusePlace) -> Option<String> {
        self.fuses.iter().find(|f| f.string == string && f.place == place).map(fuse_size)
    }
}

/// `54.9 V, 8.7 A`.
fn figures(state: &InputState, string: &StringState) -> String {
    if string.current < Amps(0.0) {
        return format!("{}, takes {}", volts(state.v), amps(string.current * -1.0));
    }
    format!("{}, {}", volts(state.v), amps(string.current))
}
