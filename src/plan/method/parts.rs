//! What to buy for a plan.
//!
//! The site file does not say which fuses, holders, cables or labels are there today. So every item
//! has a least and a most count, and what is not known about it.

use super::cables::{
    Cable, NeededBy, array_i_sc, cables, lasting, lasting_i_sc, string_need, sunny_i_sc, wiring_of,
};
use super::links::Rewired;
use super::part::{Item, Part, PartPlace, Unsure};
use crate::electrical::element_i_sc;
use crate::model::{InputWiring, Installation, Output, Run, RunPart};
use crate::plan::limits::fuse_needs;
use crate::plan::{Advice, FuseNeed, FusePlace, InputState, State, fewest_joints};
use crate::units::{Amps, Volts};

/// What to buy for the best plan, input by input; empty without one, or where it changes nothing.
#[must_use]
pub fn parts(installation: &Installation, advice: &Advice) -> Vec<Part> {
    let Some(plan) = advice.best.map(|b| &advice.plans[b]).filter(|p| p.changes_wiring()) else {
        return Vec::new();
    };
    let wanted: Vec<InputWiring> = plan.state.inputs.iter().map(wiring_of).collect();
    let rewiring = fewest_joints(&installation.installed, &wanted);
    let mut list = Vec::new();
    for input in &plan.state.inputs {
        let find = |all: &[InputWiring]| all.iter().find(|w| w.at == input.at).cloned();
        let none = || InputWiring { at: input.at, array: crate::model::ArrayWiring::default() };
        let today = find(&installation.installed).unwrap_or_else(none);
        let planned = find(&rewiring.inputs).unwrap_or_else(none);
        if today.array.canonical() == planned.array.canonical() {
            continue;
        }
        let rewired = Rewired { at: input.at, installation, rewiring: &rewiring };
        let buyer = Buyer { installation, state: &plan.state, input, today, planned, rewired };
        buyer.list(&mut list);
    }
    list
}

/// What the list of one input is made from.
struct Buyer<'a> {
    installation: &'a Installation,
    state: &'a State,
    input: &'a InputState,
    today: InputWiring,
    planned: InputWiring,
    rewired: Rewired<'a>,
}

impl Buyer<'_> {
    fn list(&self, list: &mut Vec<Part>) {
        if !self.planned.array.strings.is_empty() {
            self.controller(list);
            self.fuses(list);
            self.branches(list);
            self.connectors(list);
            self.cables(list);
            self.at_the_combiner(list);
            self.signs(list);
        }
        self.caps(list);
    }

    fn part(&self, item: Item, at_least: usize, at_most: usize) -> Part {
        let place = PartPlace { at: self.input.at, string: None, element: None, member: None };
        let (kind, amps) = (None, None);
        let volts = Some(self.highest_voltage());
        Part { item, at_least, at_most, place, kind, volts, amps, unsure: Vec::new() }
    }

    /// Is the input one of a controller that is hung up?
    fn is_new(&self) -> bool {
        self.installation.is_spare(self.input.at)
    }

    /// A controller that is hung up, and what leads to its battery; with its first input.
    fn controller(&self, list: &mut Vec<Part>) {
        let at = self.input.at;
        let mut of_it = self.state.inputs.iter().filter(|i| i.at.controller == at.controller);
        let first = of_it.find(|i| !i.strings.is_empty()).is_some_and(|i| i.at == at);
        let controller = self.installation.controller(at);
        let Some(spare) = controller.spare.as_ref().filter(|_| first) else { return };
        let charge = controller.charge_limit();
        list.push(self.part(Item::Controller { charge, price: spare.price }, 1, 1));
        let Output::Battery(bank) = controller.output else { return };
        let (volts, amps) = (Some(bank.charging_voltage()), charge.map(lasting));
        let fuse = self.part(Item::BatteryFuse, 1, 1);
        list.push(Part { volts, amps, ..fuse });
        let item = Item::UnknownCable { part: RunPart::Battery, needed_by: NeededBy::Charging };
        let cable = self.part(item, 1, 1);
        list.push(Part { volts, amps, unsure: vec![Unsure::Length], ..cable });
    }

    /// Open circuit on the coldest morning, the highest of all strings: what a part bears in a fault.
    fn highest_voltage(&self) -> Volts {
        self.input.strings.iter().map(|s| s.cold_v_oc).fold(Volts(0.0), Volts::max)
    }

    fn n_new_strings(&self) -> usize {
        self.planned.array.strings.len().saturating_sub(self.today.array.strings.len())
    }

    fn fuses(&self, list: &mut Vec<Part>) {
        let kinds = &self.installation.kinds;
        let mut today: Vec<(FuseNeed, _)> = fuse_needs(&self.today, kinds)
            .into_iter()
            .map(|need| (need.clone(), self.today.array.strings[need.string].canonical()))
            .collect();
        for need in fuse_needs(&self.planned, kinds) {
            let string = &self.planned.array.strings[need.string];
            let (mut element, mut member, mut kind) = (None, None, None);
            if let FusePlace::Member { element: e, member: m } = need.place {
                (element, member) = (Some(e), Some(m));
                kind = Some(string.elements()[e].members()[m]);
            }
            let wiring = string.canonical();
            let same_place = |then: &FuseNeed| {
                (then.place == FusePlace::String) == (need.place == FusePlace::String)
            };
            let before = today.iter().position(|(then, its)| {
                *its == wiring && then.size == need.size && same_place(then)
            });
            if let Some(found) = before {
                today.swap_remove(found);
            }
            // Places of a combiner often hold fuses before any rule asks for them; a panel's lead
            // does not, nor does a combiner that is not there yet.
            let in_combiner = need.place == FusePlace::String && !self.is_new();
            let presence = match before {
                Some(_) => Some(Unsure::NeededToday),
                None => in_combiner.then_some(Unsure::MaybeThere),
            };
            let at_least = usize::from(presence.is_none() && need.size.is_some());
            let mut unsure: Vec<Unsure> = presence.iter().cloned().collect();
            if !need.unrated.is_empty() {
                unsure.push(Unsure::Unrated(need.unrated.clone()));
            } else if need.size.is_none() {
                unsure.push(Unsure::NoStandardSize);
            }
            if need.place == FusePlace::String {
                unsure.push(Unsure::Poles);
            }
            let place = PartPlace { at: self.input.at, string: Some(need.string), element, member };
            let (amps, held) = (need.size, Item::FuseHolder(need.place));
            let fuse = self.part(Item::Fuse(need), at_least, 1);
            list.push(Part { place, kind, amps, unsure, ..fuse });
            let unsure = presence.into_iter().collect();
            let holder = self.part(held, at_least, 1);
            list.push(Part { place, kind, amps, unsure, ..holder });
        }
    }

    fn branches(&self, list: &mut Vec<Part>) {
        let (new, mut freed) = self.rewired.blocks();
        for block in new {
            let element = &self.planned.array.strings[block.string].elements()[block.element];
            let i_sc = element_i_sc(element, &self.installation.kinds);
            let mut unsure = vec![Unsure::Make, Unsure::LeadLength];
            let reused = freed.iter().position(|ways| *ways >= block.ways);
            if let Some(found) = reused {
                freed.swap_remove(found);
                unsure.push(Unsure::Freed(1));
            }
            let part =
                self.part(Item::BranchPair { ways: block.ways }, usize::from(reused.is_none()), 1);
            let place = PartPlace {
                string: Some(block.string),
                element: Some(block.element),
                ..part.place
            };
            list.push(Part { place, amps: Some(sunny_i_sc(i_sc)), unsure, ..part });
        }
    }

    /// A link to the combiner takes a connector that the cable does not have yet; a link between two
    /// panels takes none, if their leads are of one make and reach.
    fn connectors(&self, list: &mut Vec<Part>) {
        let links = self.rewired.links();
        let (made, opened) =
            (links.home_made + links.series_made, links.home_opened + links.series_opened);
        if made == 0 {
            return;
        }
        let mut unsure = vec![Unsure::LeadLength];
        if links.mixed_made > 0 {
            unsure.push(Unsure::Make);
        }
        if opened > 0 {
            unsure.push(Unsure::Freed(opened));
        }
        let amps = self.most_in_a_string().map(|(amps, _)| amps);
        let at_least = links.home_made.saturating_sub(links.home_opened);
        let part = self.part(Item::ConnectorPair, at_least, made);
        list.push(Part { amps, unsure, ..part });
    }

    fn cables(&self, list: &mut Vec<Part>) {
        let at = self.input.at;
        let (new, all) = (self.n_new_strings(), self.planned.array.strings.len());
        let runs = cables(self.installation, self.state);
        let here = |c: &Cable| match c.run.part {
            RunPart::Battery => c.run.at.controller == at.controller,
            _ => c.run.at == at,
        };
        for cable in runs.iter().filter(|c| here(c)) {
            let laid = cable.run.size;
            let too_small = laid.is_some() && cable.is_too_small();
            let (at_least, at_most) = match (cable.run.part, too_small) {
                (RunPart::Strings, true) => (all, all),
                (RunPart::Strings, false) => (new, if laid.is_some() { new } else { all }),
                (_, true) => (1, 1),
                (_, false) => (0, usize::from(laid.is_none())),
            };
            if at_most == 0 {
                continue;
            }
            let replaced = if too_small {
                cable.replaced(self.installation, self.state).unwrap_or(*cable)
            } else {
                *cable
            };
            let mut unsure = Vec::new();
            if at_least < at_most {
                unsure.push(Unsure::MaybeThere);
            }
            if cable.run.air.is_none() {
                unsure.push(Unsure::Air);
            }
            let instead_of = laid.filter(|_| too_small);
            let part = self.part(Item::Cable { cable: replaced, instead_of }, at_least, at_most);
            let volts = self.voltage_of(cable.run).or(part.volts);
            list.push(Part { volts, amps: Some(cable.need), unsure, ..part });
        }
        let given = |part| runs.iter().any(|c| c.run.at == at && c.run.part == part);
        if new > 0
            && !given(RunPart::Strings)
            && let Some((amps, needed_by)) = self.most_in_a_string()
        {
            let item = Item::UnknownCable { part: RunPart::Strings, needed_by };
            let part = self.part(item, new, new);
            list.push(Part { amps: Some(amps), unsure: vec![Unsure::Length], ..part });
        }
        if !given(RunPart::Array) && self.carries_more() {
            let amps = Some(lasting_i_sc(self.i_sc()));
            let needed_by = NeededBy::ShortCircuit;
            let at_least = usize::from(self.is_new());
            let part =
                self.part(Item::UnknownCable { part: RunPart::Array, needed_by }, at_least, 1);
            let unsure = match self.is_new() {
                true => vec![Unsure::Length],
                false => vec![Unsure::MaybeThere, Unsure::Length],
            };
            list.push(Part { amps, unsure, ..part });
        }
    }

    /// What the cable of the string that asks for most must carry.
    fn most_in_a_string(&self) -> Option<(Amps, NeededBy)> {
        let strings = 0..self.planned.array.strings.len();
        let needs = strings.map(|s| string_need(s, &self.planned, self.installation));
        needs.reduce(|a, b| if b.0 > a.0 { b } else { a })
    }

    /// The battery's voltage for its cable.
    fn voltage_of(&self, run: Run) -> Option<Volts> {
        match (run.part, self.installation.controller(run.at).output) {
            (RunPart::Battery, Output::Battery(bank)) => Some(bank.charging_voltage()),
            _ => None,
        }
    }

    fn i_sc(&self) -> Amps {
        array_i_sc(&self.planned.array, self.installation)
    }

    fn carries_more(&self) -> bool {
        self.i_sc().amps() > array_i_sc(&self.today.array, self.installation).amps() + 1e-9
    }

    fn at_the_combiner(&self, list: &mut Vec<Part>) {
        let amps = Some(lasting_i_sc(self.i_sc()));
        let strings = self.planned.array.strings.len();
        let ports = self.installation.controller(self.input.at).string_ports;
        if strings > 1 {
            let part =
                self.part(Item::Combiner { strings, ports }, usize::from(strings > ports), 1);
            list.push(Part { amps, unsure: self.perhaps_there(), ..part });
        }
        let part = self.part(Item::Disconnect, usize::from(self.is_new()), 1);
        list.push(Part { amps, unsure: self.perhaps_there(), ..part });
    }

    /// At a controller that is hung up nothing is there yet.
    fn perhaps_there(&self) -> Vec<Unsure> {
        if self.is_new() { Vec::new() } else { vec![Unsure::MaybeThere] }
    }

    /// The figures on the sign change with the wiring; a second one belongs where connectors are
    /// within reach, if that is another place.
    fn signs(&self, list: &mut Vec<Part>) {
        let part = self.part(Item::WarningLabel, 1, 2);
        list.push(Part { amps: Some(sunny_i_sc(self.i_sc())), ..part });
        let most = 2 * self.planned.array.strings.len();
        let least = 2 * self.n_new_strings();
        let part = self.part(Item::StringTag, least, most);
        list.push(Part { volts: None, ..part });
    }

    /// Both leads of each panel that is left out, and both ends of each cable to the combiner that no
    /// string uses any more.
    fn caps(&self, list: &mut Vec<Part>) {
        let fewer = self.today.array.strings.len().saturating_sub(self.planned.array.strings.len());
        let most = 2 * (self.rewired.left_out().len() + fewer);
        if most == 0 {
            return;
        }
        let part = self.part(Item::LeadCap, 0, most);
        list.push(Part { volts: None, unsure: vec![Unsure::StaysInPlace], ..part });
    }
}
