//! What comes on offer in each phase: panels and controllers, held against the phases before.

use std::collections::HashMap;

use super::warn_too_low;
use crate::diagnostic::Place;
use crate::input::codes::{DUPLICATE_ID, LAST_CHANCE, REPLACES, SPARE_TWICE, TOO_MANY};
use crate::input::controllers::read_controller;
use crate::input::document::Node;
use crate::input::fields::{Fields, Typed};
use crate::input::findings::{Findings, quoted};
use crate::input::ids::Ids;
use crate::input::keys::{CONTROLLER, PHASE_CONTROLLER, PHASE_SPARE};
use crate::input::places::Places;
use crate::model::{Controller, KindIdx, PhaseController, PhaseSpare};

/// Most controllers on offer: each makes twice as many upgrades to compare.
const MAX_CONTROLLERS: usize = 4;
/// Most panels on offer in one phase.
const MAX_PANELS: usize = 5_000;

/// Everything that has come on offer so far.
pub(super) struct Offers<'i> {
    kinds: &'i Ids,
    places: Places<'i>,
    /// Kinds that were on offer for the last time, and in which phase.
    gone: HashMap<usize, String>,
    controllers: Vec<(String, usize)>,
    /// Prices of what can be had now.
    panels: HashMap<usize, (f64, bool)>,
    dear: Vec<(f64, bool)>,
}

impl<'i> Offers<'i> {
    pub(super) fn new(kinds: &'i Ids, places: Places<'i>) -> Self {
        Self {
            kinds,
            places,
            gone: HashMap::new(),
            controllers: Vec::new(),
            panels: HashMap::new(),
            dear: Vec::new(),
        }
    }

    /// The panels of one phase; `phase` is its name.
    pub(super) fn read_spares(
        &mut self,
        nodes: &[Node],
        phase: &str,
        findings: &mut Findings,
    ) -> Vec<PhaseSpare> {
        self.panels.retain(|_, (_, last)| !*last);
        let mut spares: Vec<PhaseSpare> = Vec::new();
        let mut first: HashMap<usize, Place> = HashMap::new();
        let mut leaving: Vec<usize> = Vec::new();
        for node in nodes {
            let Some(fields) = Fields::open(node, &PHASE_SPARE, findings) else { continue };
            let kind = fields.text("kind", findings);
            let count = fields.count("count", findings).map(|n| n.value);
            let price = fields.number("price", findings).map(|x| x.value);
            let last_chance = fields.switch("last_chance", findings).unwrap_or(false);
            let Some(kind) = kind else { continue };
            let Some(idx) = self.kinds.find(&kind.value) else {
                self.kinds.report_unknown(&kind.value, kind.at, 1, findings);
                continue;
            };
            if let Some(before) = first.insert(idx, kind.at) {
                let message = format!(
                    "kind {} is listed twice in this phase (the first in line {})",
                    quoted(&kind.value),
                    before.line
                );
                findings.error(SPARE_TWICE, kind.at, message, "add the counts in one entry");
                continue;
            }
            if let Some(then) = self.gone.get(&idx) {
                let message = format!(
                    "kind {} is on offer here, but phase {} was the last chance to have it",
                    quoted(&kind.value),
                    quoted(then)
                );
                let help = "take out `last_chance` there, or the entry here";
                findings.error(LAST_CHANCE, kind.at, message, help);
                continue;
            }
            let Some(count) = count else { continue };
            self.panels.insert(idx, (price.unwrap_or(0.0), last_chance));
            leaving.extend(last_chance.then_some(idx));
            spares.push(PhaseSpare { kind: KindIdx(idx), count, price, last_chance });
        }
        self.gone.extend(leaving.into_iter().map(|idx| (idx, phase.to_owned())));
        let n_panels: usize = spares.iter().map(|s| s.count).sum();
        if let Some(at) = nodes.first().filter(|_| n_panels > MAX_PANELS) {
            let message = format!(
                "there are too many panels on offer in this phase ({n_panels}; at most {MAX_PANELS} are read)"
            );
            findings.error(TOO_MANY, at.place, message, "write only as many as there is room for");
        }
        spares
    }

    /// The controllers of one phase.
    pub(super) fn read_controllers(
        &mut self,
        nodes: &[Node],
        findings: &mut Findings,
    ) -> Vec<PhaseController> {
        self.dear.retain(|(_, last)| !*last);
        let mut read = Vec::new();
        for node in nodes {
            let Some(fields) = Fields::open(node, &PHASE_CONTROLLER, findings) else { continue };
            let group = fields.group("controller", findings);
            let controller = group
                .and_then(|node| Some((Fields::open(node, &CONTROLLER, findings)?, node.place)))
                .and_then(|(inner, at)| Some((read_controller(&inner, findings)?, at)));
            let replaces = fields.text("replaces", findings);
            let price = fields.number("price", findings).map(|x| x.value);
            let last_chance = fields.switch("last_chance", findings).unwrap_or(false);
            let Some((controller, at)) = controller else { continue };
            self.report_id(&controller, at, findings);
            let replaces = match replaces {
                None if fields.has("replaces") => continue,
                None => None,
                Some(id) => match self.replaced(&id, &controller, findings) {
                    None => continue,
                    found => found,
                },
            };
            self.dear.push((price.unwrap_or(0.0), last_chance));
            read.push(PhaseController { controller, replaces, price, last_chance });
        }
        read
    }

    fn report_id(&mut self, controller: &Controller, at: Place, findings: &mut Findings) {
        let id = &controller.id;
        let known = self.controllers.iter().find(|(other, _)| other == id);
        if let Some((_, line)) = known {
            let message = format!(
                "two controllers on offer have the id {} (the first in line {line})",
                quoted(id)
            );
            findings.error(
                DUPLICATE_ID,
                at,
                message,
                "give each its own id; it stays on offer after its phase",
            );
        } else if self.places.ids.find(id).is_some() {
            let message = format!("a controller with the id {} stands already", quoted(id));
            findings.error(DUPLICATE_ID, at, message, "give the one on offer an id of its own");
        }
        self.controllers.push((id.clone(), at.line));
        if self.controllers.len() == MAX_CONTROLLERS + 1 {
            let message =
                format!("there are more than {MAX_CONTROLLERS} controllers on offer in all phases");
            findings.error(TOO_MANY, at, message, "leave in those that come into question");
        }
    }

    /// The controller whose place it takes.
    fn replaced(
        &self,
        id: &Typed<String>,
        by: &Controller,
        findings: &mut Findings,
    ) -> Option<usize> {
        let Some(idx) = self.places.ids.find(&id.value) else {
            self.places.ids.report_unknown(&id.value, id.at, 1, findings);
            return None;
        };
        let before = self.places.controller(idx)?;
        if by.n_inputs < before.n_inputs {
            let message = format!(
                "{} has {} and cannot take the place of {}, which has {}",
                quoted(&by.id),
                if by.n_inputs == 1 {
                    "1 input".to_owned()
                } else {
                    format!("{} inputs", by.n_inputs)
                },
                quoted(&before.id),
                before.n_inputs
            );
            let help = "one that replaces another takes over its strings, input by input: correct `inputs`, or leave `replaces` out";
            findings.error(REPLACES, id.at, message, help);
            return None;
        }
        Some(idx)
    }

    /// Reports a budget below every price of what can be had.
    pub(super) fn hold_against(&self, budget: &Typed<f64>, findings: &mut Findings) {
        let prices = self.panels.values().chain(&self.dear).map(|(price, _)| *price);
        if let Some(cheapest) = prices.reduce(f64::min).filter(|price| *price > budget.value) {
            warn_too_low(budget, cheapest, findings);
        }
    }
}
