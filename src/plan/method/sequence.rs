//! The steps from today's wiring to the planned one, in a safe order.

use super::float::circulating;
use super::nets::{Rejoined, Tag, Terminal, joinings, openings, places, tags};
use super::order::{Order, isolated_findings, joining_order};
use super::step::{StateFound, Step, Work};
use crate::electrical::cold_v_oc;
use crate::model::{
    ArrayWiring, InputRef, InputWiring, Installation, KindIdx, Output, PanelString,
};
use crate::plan::{Evaluator, FuseNeed, FusePlace, PanelPlace, PanelSource, Rewiring};
use crate::units::{Amps, Volts};

/// One input on which something is parted or made.
struct Site<'a> {
    at: InputRef,
    today: &'a InputWiring,
    planned: &'a InputWiring,
    openings: Vec<Rejoined>,
    joinings: Vec<Rejoined>,
}

/// The steps, in order. Empty where nothing is parted or made.
pub(super) fn steps(
    evaluator: &Evaluator,
    installation: &Installation,
    today: &[InputWiring],
    rewiring: &Rewiring,
) -> Vec<Step> {
    let opened = openings(today, rewiring);
    let made = joinings(today, rewiring);
    let empty: Vec<InputWiring> = inputs(today, rewiring)
        .into_iter()
        .map(|at| InputWiring { at, array: ArrayWiring::default() })
        .collect();
    let on = |wiring: &'_ [InputWiring], at| wiring.iter().position(|w| w.at == at);
    let works: Vec<Site> = empty
        .iter()
        .filter_map(|none| {
            let at = none.at;
            let here = |all: &[Rejoined]| -> Vec<Rejoined> {
                all.iter().filter(|r| r.at == at).cloned().collect()
            };
            let (openings, joinings) = (here(&opened), here(&made));
            let touched = !openings.is_empty() || !joinings.is_empty();
            touched.then(|| Site {
                at,
                today: on(today, at).map_or(none, |i| &today[i]),
                planned: on(&rewiring.inputs, at).map_or(none, |i| &rewiring.inputs[i]),
                openings,
                joinings,
            })
        })
        .collect();
    if works.is_empty() {
        return Vec::new();
    }
    let writer = Writer { evaluator, installation, rewiring };
    let mut steps = vec![writer.prepare(&works)];
    for work in &works {
        steps.extend(writer.isolate(work));
    }
    for work in &works {
        steps.extend(writer.take_apart(work));
    }
    for work in &works {
        steps.extend(writer.join(work));
    }
    for work in &works {
        steps.extend(writer.hang(work));
        steps.extend(writer.connect(work));
    }
    let moved = moved(rewiring);
    let highest = works.iter().map(|w| writer.highest(&w.planned.array.strings));
    let highest = highest.fold(Volts(0.0), Volts::max);
    steps.push(quiet(None, Work::AfterAnHour, highest));
    steps.push(quiet(None, Work::Record { moved }, highest));
    steps
}

/// Every input of either wiring, in order.
fn inputs(today: &[InputWiring], rewiring: &Rewiring) -> Vec<InputRef> {
    let mut all: Vec<InputRef> =
        today.iter().chain(&rewiring.inputs).map(|wiring| wiring.at).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Installed panels that change their place, with the new one, and spares with theirs.
fn moved(rewiring: &Rewiring) -> Vec<(Tag, PanelPlace)> {
    let panels = rewiring.panels.iter().zip(tags(rewiring));
    panels
        .filter(|(panel, _)| panel.from != PanelSource::Installed(panel.to))
        .map(|(panel, tag)| (tag, panel.to))
        .collect()
}

/// A step that passes through no new state.
fn quiet(at: Option<InputRef>, work: Work, highest: Volts) -> Step {
    Step { at, work, highest, circulating: Amps(0.0), states: Vec::new() }
}

struct Writer<'a> {
    evaluator: &'a Evaluator<'a>,
    installation: &'a Installation,
    rewiring: &'a Rewiring,
}

impl Writer<'_> {
    fn prepare(&self, works: &[Site]) -> Step {
        let panels = || self.rewiring.panels.iter();
        let spares: Vec<KindIdx> =
            panels().filter(|p| p.from == PanelSource::Spare).map(|p| p.kind).collect();
        let marks =
            works.iter().any(|w| !w.openings.is_empty() || !w.today.array.strings.is_empty());
        let alone = |kind: &KindIdx| {
            let single = crate::model::Element::single(*kind);
            self.highest(&[PanelString::new(vec![single])])
        };
        let standing = works.iter().map(|w| self.highest(&w.today.array.strings));
        let highest = standing.chain(spares.iter().map(alone)).fold(Volts(0.0), Volts::max);
        quiet(None, Work::Prepare { spares, marks }, highest)
    }

    /// The disconnect, then the strings one by one.
    fn isolate(&self, site: &Site) -> Vec<Step> {
        let strings = &site.today.array.strings;
        if strings.is_empty() {
            return Vec::new();
        }
        let highest = self.highest(strings);
        let circulating = self.circulating(site.at, strings);
        let all: Vec<usize> = (0..strings.len()).collect();
        let mut steps = vec![Step {
            at: Some(site.at),
            work: Work::OpenDisconnect,
            highest,
            circulating,
            states: vec![self.state(site.today, &all)],
        }];
        let Order { strings: mut order, safe } = joining_order(self.evaluator, site.today);
        order.reverse();
        let states = (1..order.len()).map(|n| self.state(site.today, &order[n..])).collect();
        let work = Work::LiftStrings { order, safe };
        steps.push(Step { at: Some(site.at), work, highest, circulating, states });
        steps
    }

    fn take_apart(&self, site: &Site) -> Vec<Step> {
        let string_of = |string: usize| {
            let here = site.openings.iter().filter(move |o| o.string == string);
            let openings: Vec<Rejoined> = here.cloned().collect();
            (!openings.is_empty()).then(|| {
                let wired = &site.today.array.strings[string];
                let leaving = places(site.today)
                    .filter(|(place, _)| place.string == string)
                    .filter(|(place, _)| self.leaves(*place))
                    .map(|(place, kind)| (Tag::Installed(place), kind))
                    .collect();
                Step {
                    at: Some(site.at),
                    work: Work::TakeApart { string, openings, leaving },
                    highest: self.highest(std::slice::from_ref(wired)),
                    circulating: self.circulating(site.at, std::slice::from_ref(wired)),
                    states: vec![self.state(site.today, &[string])],
                }
            })
        };
        (0..site.today.array.strings.len()).filter_map(string_of).collect()
    }

    fn leaves(&self, place: PanelPlace) -> bool {
        self.rewiring.panels.iter().all(|p| p.from != PanelSource::Installed(place))
    }

    /// Joints inside the planned strings, blocks first, then one after another.
    fn join(&self, site: &Site) -> Vec<Step> {
        let fuses = self.evaluator.fuses(site.planned);
        let string_of = |string: usize| {
            let of_members = |f: &&FuseNeed| f.string == string && f.place != FusePlace::String;
            let here = site.joinings.iter().filter(|j| j.string == string);
            let inside: Vec<Rejoined> = here.filter_map(without_ports).collect();
            (!inside.is_empty()).then(|| {
                let wired = std::slice::from_ref(&site.planned.array.strings[string]);
                let in_blocks = self.circulating(site.at, wired);
                Step {
                    at: Some(site.at),
                    work: Work::Join {
                        string,
                        joinings: inside,
                        in_blocks,
                        fuses: fuses.iter().filter(of_members).cloned().collect(),
                    },
                    highest: self.highest(wired),
                    circulating: in_blocks,
                    states: vec![self.state(site.planned, &[string])],
                }
            })
        };
        (0..site.planned.array.strings.len()).filter_map(string_of).collect()
    }

    /// A spare controller, before its first input gets anything.
    fn hang(&self, site: &Site) -> Option<Step> {
        let (controller, planned) = (site.at.controller, &self.rewiring.inputs);
        let used = |w: &&InputWiring| w.at.controller == controller && !w.array.strings.is_empty();
        let first = planned.iter().find(used)?.at;
        let is_new = self.installation.is_spare(site.at) && first == site.at;
        let volts = match self.installation.controller(site.at).output {
            Output::Battery(bank) => bank.charging_voltage(),
            Output::Converter { .. } => Volts(0.0),
        };
        is_new.then(|| quiet(Some(site.at), Work::HangController, volts))
    }

    /// Proof of each string, the combiner, the disconnect, the controller.
    fn connect(&self, site: &Site) -> Vec<Step> {
        let strings = &site.planned.array.strings;
        if strings.is_empty() {
            return Vec::new();
        }
        let highest = self.highest(strings);
        let at = Some(site.at);
        let Order { strings: order, safe } = joining_order(self.evaluator, site.planned);
        let states = (1..=order.len()).map(|n| self.state(site.planned, &order[..n])).collect();
        let joinings = site.joinings.iter().filter_map(only_ports).collect();
        let mut fuses = self.evaluator.fuses(site.planned);
        fuses.retain(|f| f.place == FusePlace::String);
        let stc = &self.evaluator.floating_curves()[0];
        let controller = self.installation.controller(site.at);
        let v_oc =
            crate::electrical::array_curve(&site.planned.array, stc, controller.blocking_diodes)
                .map_or(Volts(0.0), |curve| curve.v_oc());
        vec![
            quiet(at, Work::ProveStrings { strings: (0..strings.len()).collect() }, highest),
            Step {
                at,
                work: Work::ConnectStrings { order, joinings, fuses, safe },
                highest,
                circulating: self.circulating(site.at, strings),
                states,
            },
            quiet(at, Work::CloseDisconnect { v_oc, most: controller.max_pv }, highest),
            quiet(at, Work::ProveOperation, highest),
        ]
    }

    fn state(&self, wiring: &InputWiring, joined: &[usize]) -> StateFound {
        let findings = isolated_findings(self.evaluator, wiring, joined);
        StateFound { joined: joined.to_vec(), findings }
    }

    fn highest(&self, strings: &[PanelString]) -> Volts {
        let (kinds, coldest) = (&self.installation.kinds, self.installation.site.coldest);
        let v_oc = |s| {
            let cold = cold_v_oc(s, kinds, coldest);
            cold.v_oc.max(cold.by_table)
        };
        strings.iter().map(v_oc).fold(Volts(0.0), Volts::max)
    }

    fn circulating(&self, at: InputRef, strings: &[PanelString]) -> Amps {
        let has_diodes = self.installation.controller(at).blocking_diodes;
        let array = ArrayWiring { strings: strings.to_vec() };
        circulating(self.evaluator, &array, has_diodes).largest()
    }
}

/// Is it a terminal of a combiner?
fn is_port(terminal: &Terminal) -> bool {
    matches!(terminal, Terminal::Port(..))
}

/// What is joined apart from the combiner's terminal; `None` if nothing is left to join.
fn without_ports(net: &Rejoined) -> Option<Rejoined> {
    let mut groups: Vec<Vec<Terminal>> =
        net.groups.iter().map(|g| g.iter().filter(|t| !is_port(t)).copied().collect()).collect();
    groups.retain(|g: &Vec<Terminal>| !g.is_empty());
    (groups.len() > 1).then(|| Rejoined { groups, ..net.clone() })
}

/// What is joined to a combiner's terminal that stands alone.
fn only_ports(net: &Rejoined) -> Option<Rejoined> {
    let (port, panels): (Vec<_>, Vec<_>) =
        net.groups.iter().cloned().partition(|g| g.len() == 1 && is_port(&g[0]));
    let port = port.into_iter().next()?;
    let rest: Vec<Terminal> = panels.into_iter().flatten().collect();
    (!rest.is_empty()).then(|| Rejoined { groups: vec![port, rest], ..net.clone() })
}
