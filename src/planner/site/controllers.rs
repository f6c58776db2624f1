//! What each sort of spare controller is worth, and why the rest stays where it is.

use crate::energy::Span;
use crate::model::{InputWiring, Installation, KindIdx, Spare};
use crate::patterns::{Bench, Screening};
use crate::plan::{ControllerAnswer, Help, Verdict};
use crate::planner::gain::Gain;
use crate::planner::level::{LevelAnswer, Pick, Session};
use crate::planner::terms::Terms;
use crate::planner::verdict;
use crate::solve::Effort;
use crate::units::Watts;

use super::level::{Search, Stock};
use super::plan::arrays_today;
use super::verdicts::Verdicts;
use super::wired::Wired;

/// Most further panels of one kind that are asked for.
const MOST_MORE: usize = 4;

/// A sort of which none is used, since nothing here is for it or no wiring keeps all limits.
fn unused(installation: &Installation, units: &[usize]) -> Option<ControllerAnswer> {
    let first = *units.first()?;
    let spare = installation.controllers[first].spare.as_ref()?;
    let because = if installation.has_output_for(first) {
        "no wiring of this site keeps all limits".to_owned()
    } else {
        verdict::other_battery(installation, first)
    };
    Some(ControllerAnswer {
        sort: spare.sort.clone(),
        offered: spare.of,
        used: 0,
        adds: Watts(0.0),
        adds_energy: None,
        verdict: Verdict::Breaches,
        because,
        would_help: String::new(),
        helps: Vec::new(),
        price: spare.price,
    })
}

/// The answers where nothing here is for any of the spare controllers.
pub(in crate::planner) fn none_usable(installation: &Installation) -> Vec<ControllerAnswer> {
    installation.spare_sorts().iter().filter_map(|units| unused(installation, units)).collect()
}

impl Verdicts<'_> {
    /// One answer for each sort of spare controller, in file order.
    pub(super) fn controllers(&self, search: &mut Search) -> Vec<ControllerAnswer> {
        let sorts = self.desk.installation.spare_sorts();
        let mut answered = |units: &[usize]| {
            let before = self.desk.not_worked_out();
            let answer = if before.is_none() { self.sort(search, units) } else { None };
            // As with panels: what rests on searches cut short is not told.
            let Some(because) = self.desk.not_worked_out() else { return answer };
            let blank = unused(self.desk.installation, units)?;
            let used = self.best.as_ref().map_or(0, |best| self.n_used(best, units));
            Some(ControllerAnswer { used, verdict: Verdict::NotWorkedOut, because, ..blank })
        };
        sorts.iter().filter_map(|units| answered(units)).collect()
    }

    fn sort(&self, search: &mut Search, units: &[usize]) -> Option<ControllerAnswer> {
        let installation = self.desk.installation;
        let blank = unused(installation, units)?;
        if !installation.has_output_for(units[0]) {
            return Some(blank);
        }
        let Some(best) = &self.best else { return Some(blank) };
        let used = self.n_used(best, units);
        let mut answer = ControllerAnswer { used, because: String::new(), ..blank };
        if used > 0 {
            self.measure_worth(search, units, best, &mut answer);
        }
        match units.get(used) {
            Some(next) => self.left_over(search, *next, best, answer),
            None if used < answer.offered => {
                let because = format!("more than {used} of them were not weighed");
                Some(ControllerAnswer { verdict: Verdict::AddsPart, because, ..answer })
            }
            None => Some(answer),
        }
    }

    /// Units of a sort that some wirings use.
    fn n_used(&self, best: &Wired, units: &[usize]) -> usize {
        units.iter().filter(|c| self.is_used(best, **c)).count()
    }

    /// What the best plan loses without a sort.
    fn measure_worth(
        &self,
        search: &mut Search,
        units: &[usize],
        best: &Wired,
        answer: &mut ControllerAnswer,
    ) {
        let stock = Stock { closed: units.to_vec(), ..self.stock.clone() };
        let known = [arrays_today(self.desk, &self.planned.inputs)];
        let without = self.share(self.desk, search, &stock, &known);
        let passed = without.as_ref().map_or(0.0, |w| w.passed);
        answer.adds = Watts(best.passed - passed);
        answer.adds_energy = self.energy_between(without.as_ref(), best, Span::Year);
        let gain = best.passed - passed;
        let hidden = gain < self.desk.options.controller_watts && best.passed < best.watts;
        answer.verdict = if hidden { Verdict::AddsInWeakSun } else { Verdict::Adds };
        if hidden {
            answer.because = verdict::clipped(best.watts, best.passed, answer.adds_energy);
        }
    }

    /// Why one more unit stays where it is.
    fn left_over(
        &self,
        search: &mut Search,
        unit: usize,
        best: &Wired,
        answer: ControllerAnswer,
    ) -> Option<ControllerAnswer> {
        let place = search.inputs.inputs.iter().position(|i| i.session.bench.at.controller == unit);
        let session = search.inputs.inputs.get(place?)?.session;
        let stock = Stock { must: Some(unit), ..self.stock.clone() };
        let shown = self.share(self.desk, search, &stock, std::slice::from_ref(&best.arrays));
        let shown = shown.map(|wired| (wired.passed - best.passed, self.strings_on(&wired, unit)));
        let (verdict, because) = match (&shown, answer.used) {
            (Some((change, strings)), 0) => {
                let because = verdict::controller_too_little(
                    *change,
                    strings,
                    self.desk.options.controller_watts,
                    self.desk.installation,
                );
                (Verdict::AddsNothing, because)
            }
            (Some((change, strings)), _) => {
                let because = verdict::controller_too_little(
                    *change,
                    strings,
                    self.desk.options.controller_watts,
                    self.desk.installation,
                );
                (Verdict::AddsPart, format!("one more: {because}"))
            }
            (None, 0) => (Verdict::Breaches, self.nothing_on_it(session)),
            (None, _) => (Verdict::AddsPart, format!("one more: {}", self.nothing_on_it(session))),
        };
        let helps = if answer.used == 0 { self.more_panels(session) } else { Vec::new() };
        let would_help = if answer.used == 0 { verdict::first_help(&helps) } else { String::new() };
        Some(ControllerAnswer { verdict, because, would_help, helps, ..answer })
    }

    fn is_used(&self, wired: &Wired, controller: usize) -> bool {
        let mut inputs = self.planned.inputs.iter().zip(&wired.arrays);
        inputs.any(|(at, array)| at.controller == controller && !array.strings.is_empty())
    }

    fn strings_on(&self, wired: &Wired, controller: usize) -> Vec<crate::model::PanelString> {
        let inputs = self.planned.inputs.iter().zip(&wired.arrays);
        let own = inputs.filter(|(at, _)| at.controller == controller);
        own.flat_map(|(_, array)| array.strings.clone()).collect()
    }

    /// The nearest miss of any kind that could be wired to it.
    fn nothing_on_it(&self, session: &Session) -> String {
        let installation = self.desk.installation;
        let at_hand: Vec<KindIdx> = (0..installation.kinds.len())
            .map(KindIdx)
            .filter(|k| self.stock.panels[k.0] > 0)
            .collect();
        let screening: &Screening = &session.candidates.screening;
        let missed = at_hand.iter().find(|k| screening.near_misses(**k).next().is_some());
        match missed {
            Some(kind) => verdict::nothing_fits(*kind, Some(screening), installation),
            None if session.candidates.patterns.is_empty() => {
                "there is no panel that could be wired to it".to_owned()
            }
            None => "no wiring with it keeps the limits that all share".to_owned(),
        }
    }

    /// The fewest further panels of each spare kind that alone would be worth the controller.
    fn more_panels(&self, session: &Session) -> Vec<Help> {
        let at = session.bench.at;
        let mut helps: Vec<(usize, Help)> = Vec::new();
        for spare in &self.desk.installation.spares {
            let kind = spare.kind;
            let mut site: Installation = self.desk.installation.clone();
            site.site.battery_charge = None;
            site.spares = vec![Spare { count: MOST_MORE, ..spare.clone() }];
            for wiring in &mut site.installed {
                wiring.array = crate::model::ArrayWiring::default();
            }
            let bench = Bench::new(&site, self.desk.catalog, at);
            let session = Session::new(&bench, session.question);
            let terms = Terms::of(&bench);
            let effort = Effort { tie_nodes: 0, nodes_past_proof: 20, ..self.desk.options.effort };
            let found = (1..=MOST_MORE).find_map(|n| {
                let terms = terms.with_spares(&bench, kind, n);
                let LevelAnswer::Found(level) = session.solve(&terms, &[], effort, Pick::Highest)
                else {
                    return None;
                };
                let enough = level.charged >= self.desk.options.controller_watts;
                enough.then(|| {
                    let own = self.charge(kind) * level.array.panels().count() as f64;
                    let wiring = InputWiring { at: bench.at, array: level.array };
                    let watts = self.desk.evaluator.watts(&wiring).watts();
                    (n, Gain { watts, sought: level.charged + own })
                })
            });
            if let Some((n, gain)) = found {
                let id = self.desk.installation.kind(kind).label_id();
                let words = format!("{n} more {id}, which would be wired to it");
                let help = Help {
                    change: "more_panels",
                    words,
                    unlocks: gain.watts(),
                    unlocks_energy: gain.energy(self.desk.season),
                };
                helps.push((n, help));
            }
        }
        helps.sort_by(|(a, x), (b, y)| a.cmp(b).then(y.unlocks.0.total_cmp(&x.unlocks.0)));
        helps.into_iter().map(|(_, help)| help).collect()
    }
}
