//! What each kind is worth to a whole site, and why the rest adds nothing.

use crate::energy::{EnergyModel, Span};
use crate::model::{ArrayWiring, InputRef, KindIdx, Spare};
use crate::patterns::Screening;
use crate::plan::{Certificate, ControllerAnswer, IdlePanels, SpareAnswer, Verdict, WorthPoint};
use crate::planner::found::Found;
use crate::planner::level::Session;
use crate::planner::worth::{MOST_POINTS, Worth, freest, put_up, standing};
use crate::planner::{Desk, Options, verdict};
use crate::solve::Effort;
use crate::solve::master::Pace;
use crate::units::Watts;

use super::alone::{as_planned, count, first_wired, one_input};
use super::level::{Search, Stock};
use super::plan::{SitePlanned, arrays_today, stock_of};
use super::wired::Wired;
use super::{benches, seen_from, sessions};

/// Work on questions about single kinds.
const NODES_PAST_PROOF: usize = 20;
const ASKS: usize = 60;
const ASKS_PAST_PROOF: usize = 0;

/// Answers about single kinds around the best plan of a site.
pub(in crate::planner) struct Verdicts<'d> {
    pub(super) desk: &'d Desk<'d>,
    pub(super) planned: &'d SitePlanned,
    pub(super) stock: Stock,
    pub(super) best: Option<Wired>,
    pub(super) energy: Option<&'d EnergyModel<'d>>,
}

impl<'d> Verdicts<'d> {
    pub(in crate::planner) fn new(
        desk: &'d Desk<'d>,
        planned: &'d SitePlanned,
        energy: Option<&'d EnergyModel<'d>>,
    ) -> Self {
        let stock = stock_of(desk.installation, &planned.inputs);
        let mut verdicts = Self { desk, planned, stock, best: None, energy };
        let arrays = planned.best.map(|at| planned.arrays[at].clone());
        verdicts.best = arrays.map(|arrays| verdicts.measure(desk, arrays));
        verdicts
    }

    /// One answer for every spare kind and every sort of spare controller, and the installed panels that the best plan leaves out.
    pub(in crate::planner) fn all(
        &self,
    ) -> (Vec<SpareAnswer>, Vec<ControllerAnswer>, Vec<IdlePanels>) {
        let desk = self.desk;
        let inputs = &self.planned.inputs;
        let touch = freest(&desk.options.touch);
        let seen = seen_from(desk.installation, inputs, touch);
        let benches = benches(desk, &seen, inputs);
        let sessions = sessions(&benches, desk.question(touch));
        let spares = &desk.installation.spares;
        let mut search = self.search(desk, &sessions);
        let mut known = vec![arrays_today(desk, inputs)];
        known.extend(self.best.iter().map(|best| best.arrays.clone()));
        let whole = self.share(desk, &mut search, &self.stock, &known);
        let spare = |s: &Spare| {
            let ask = || self.spare(&mut search, s.kind, s.count, whole.as_ref());
            desk.unless_stopped(s.kind, (s.count, self.used(s.kind)), ask)
        };
        let answers = spares.iter().map(spare).collect();
        let controllers = self.controllers(&mut search);
        (answers, controllers, self.idle())
    }

    /// A search that compares: it needs watts, not the last fraction of the gap.
    pub(super) fn search<'s, 'b>(
        &self,
        desk: &Desk,
        sessions: &'s [Session<'b>],
    ) -> Search<'s, 'b> {
        let effort = desk.options.effort;
        let watch = effort.watch.quietly();
        let effort = Effort { nodes_past_proof: NODES_PAST_PROOF, watch, ..effort };
        let mut search = Search::new(sessions, desk.options.controller_watts, effort);
        search.pace = Pace { asks: ASKS, asks_past_proof: ASKS_PAST_PROOF, ..search.pace };
        search
    }

    /// `whole` is the best with all panels of every kind.
    fn spare(
        &self,
        search: &mut Search,
        kind: KindIdx,
        offered: usize,
        whole: Option<&Wired>,
    ) -> SpareAnswer {
        let at = first_wired(self.desk.installation, &self.planned.inputs);
        let blank = SpareAnswer {
            because: "no wiring of this site keeps all limits".to_owned(),
            obvious: self.desk.obvious_ways(at, kind),
            certainty: self.certainty(kind),
            ..SpareAnswer::bare(kind, (offered, 0), Verdict::Breaches)
        };
        let Some(best) = &self.best else { return blank };
        let used = self.used(kind);
        let (worth, none) = self.worth_curve(search, kind, offered, whole);
        let without = none.as_ref().map_or((0.0, 0.0), |w| (w.watts, w.passed));
        let adds = if used > 0 { best.watts - without.0 } else { 0.0 };
        let (adds_energy, adds_sought) = match used {
            0 => (None, None),
            _ => (
                self.energy_between(none.as_ref(), best, Span::Year),
                self.sought_between(none.as_ref(), best),
            ),
        };
        let because = String::new();
        let blank = SpareAnswer {
            used,
            adds: Watts(adds),
            worth,
            because,
            adds_energy,
            adds_sought,
            ..blank
        };
        if used == offered {
            let charge = self.charge(kind) * used as f64;
            let hidden = best.passed - without.1 < charge && best.passed < best.watts;
            let (verdict, because) = if hidden {
                (Verdict::AddsInWeakSun, verdict::clipped(best.watts, best.passed, adds_energy))
            } else {
                (Verdict::Adds, String::new())
            };
            return SpareAnswer { verdict, because, ..blank };
        }
        self.left_out(kind, used, blank)
    }

    /// Why not all of a kind is used, asked of each input in turn: the best reason, and what would help.
    fn left_out(&self, kind: KindIdx, used: usize, blank: SpareAnswer) -> SpareAnswer {
        let name = |at: InputRef| {
            let controller = &self.desk.installation.controller(at).id;
            format!("{controller}, input {}", at.input)
        };
        let mut nearest: Option<(Certificate, String)> = None;
        let mut none: Option<String> = None;
        let mut helps = Vec::new();
        let mut battery: Option<String> = None;
        self.around_best(|at, worth, found| {
            if battery.is_none() {
                let binds = worth.battery_in_the_way(kind);
                battery = binds.map(|words| format!("on {}: {words}", name(at)));
            }
            match worth.certificate(kind, found) {
                Ok(shown) => {
                    let nearer = nearest
                        .as_ref()
                        .is_none_or(|(n, _)| shown.change.watts() > n.change.watts());
                    if nearer {
                        let because = format!("on {}: {}", name(at), worth.in_words(kind, &shown));
                        nearest = Some((shown, because));
                    }
                }
                Err(screening) => {
                    none.get_or_insert_with(|| {
                        self.nothing_fits(kind, screening.as_ref(), used, &blank)
                    });
                }
            }
            if used == 0 {
                for mut help in worth.helps(kind, blank.offered) {
                    if !matches!(help.change, "more_of_it" | "own_input" | "own_controller") {
                        help.words = format!("{}, on {}", help.words, name(at));
                    }
                    // Of one change and place for all inputs the best counts.
                    let own = helps.iter().position(|h: &crate::plan::Help| h.words == help.words);
                    match own {
                        Some(i) if help.unlocks.watts() > helps[i].unlocks.watts() => {
                            helps[i] = help
                        }
                        Some(_) => {}
                        None => helps.push(help),
                    }
                }
            }
        });
        // Those that every input could have come last.
        helps.sort_by_key(|h| matches!(h.change, "own_input" | "own_controller"));
        let verdict = match (used, &nearest) {
            (0, Some(_)) => Verdict::AddsNothing,
            (0, None) => Verdict::Breaches,
            _ => Verdict::AddsPart,
        };
        let (certificate, because) = match nearest {
            Some((certificate, because)) => (Some(certificate), because),
            None => (None, none.unwrap_or_default()),
        };
        let because = battery.unwrap_or(because);
        let would_help = if used == 0 { verdict::first_help(&helps) } else { String::new() };
        SpareAnswer { verdict, because, would_help, helps, certificate, ..blank }
    }

    fn nothing_fits(
        &self,
        kind: KindIdx,
        screening: Option<&Screening>,
        used: usize,
        answer: &SpareAnswer,
    ) -> String {
        if let Some(words) = verdict::no_room(kind, used + 1, self.desk.installation) {
            return words;
        }
        let obvious: Vec<String> = answer.obvious.iter().filter_map(verdict::breached).collect();
        if used == 0 && !obvious.is_empty() {
            return obvious.join("; ");
        }
        verdict::nothing_fits(kind, screening, self.desk.installation)
    }

    /// Best watts of the site for ever more panels of a kind on offer, and the best without any.
    fn worth_curve(
        &self,
        search: &mut Search,
        kind: KindIdx,
        offered: usize,
        whole: Option<&Wired>,
    ) -> (Vec<WorthPoint>, Option<Wired>) {
        let mut points: Vec<WorthPoint> = Vec::new();
        let mut none = None;
        let mut known = vec![arrays_today(self.desk, &self.planned.inputs)];
        let mut gap_before = 0.0;
        for n in 0..=offered.min(MOST_POINTS) {
            let stock = self.with_spares(kind, n);
            let found = match whole {
                Some(whole) if n == offered => Some(whole.clone()),
                _ => self.share(self.desk, search, &stock, &known),
            };
            let (watts, bound) = found.as_ref().map_or((0.0, 0.0), |f| (f.watts, f.bound));
            let gap = bound - watts;
            let step = points.last().map(|p| watts - p.watts.watts());
            let energy = self.energy_point(found.as_ref(), points.last());
            points.push(WorthPoint {
                panels: n,
                watts: Watts(watts),
                bound: Watts(bound),
                step: step.filter(|s| s.abs() <= 1e-9 || *s > gap + gap_before).map(Watts),
                energy,
            });
            gap_before = gap;
            known.extend(found.iter().map(|f| f.arrays.clone()));
            if n == 0 {
                none = found;
            }
        }
        (points, none)
    }

    /// Installed panels that the best plan leaves out.
    fn idle(&self) -> Vec<IdlePanels> {
        let Some(best) = &self.best else { return Vec::new() };
        let today = arrays_today(self.desk, &self.planned.inputs);
        let left = |kind: KindIdx| count(&today, kind).saturating_sub(count(&best.arrays, kind));
        let kinds = (0..self.desk.installation.kinds.len()).map(KindIdx);
        let idle = |kind: KindIdx| {
            let blank = SpareAnswer::bare(kind, (left(kind), 1), Verdict::AddsNothing);
            if let Some(because) = self.desk.not_worked_out() {
                return IdlePanels { kind, count: left(kind), because, instead: String::new() };
            }
            let because = self.left_out(kind, 1, blank).because;
            let mut instead = None;
            self.around_best(|_, worth, _| {
                instead.get_or_insert_with(|| {
                    verdict::instead(&worth.own_places(standing(kind, left(kind))))
                });
            });
            IdlePanels { kind, count: left(kind), because, instead: instead.unwrap_or_default() }
        };
        kinds.filter(|k| left(*k) > 0).map(idle).collect()
    }

    /// Asks something of each input by itself, all inputs being wired as in the best plan and all
    /// panels that it leaves out being spare.
    fn around_best(&self, mut ask: impl FnMut(InputRef, &Worth, &Found)) {
        let (desk, inputs) = (self.desk, &self.planned.inputs);
        let Some(best) = &self.best else { return };
        let standing = as_planned(desk, inputs, &best.arrays);
        let options =
            Options { input: None, joint_worth: None, joint_curve: false, ..desk.options.clone() };
        let standing_desk = Desk::new(&standing, desk.catalog, &options);
        let standing_desk = standing_desk.over(desk.season);
        // Of a spare controller that stays unused nothing is asked here: it has an answer of its own.
        let asked = |at: &InputRef, array: &ArrayWiring| {
            !array.strings.is_empty() || !desk.installation.is_spare(*at)
        };
        for (at, array) in inputs.iter().zip(&best.arrays).filter(|(at, a)| asked(at, a)) {
            one_input(&standing_desk, *at, array.clone(), |worth| {
                if let Some(found) = worth.best() {
                    ask(*at, worth, &found);
                }
            });
        }
    }

    /// Spares of a kind that the best plan wires.
    fn used(&self, kind: KindIdx) -> usize {
        self.best.as_ref().map_or(0, |best| self.put_up(&best.arrays, kind))
    }

    /// Panels of a kind's label beyond those that stand, plane by plane.
    pub(super) fn put_up(&self, arrays: &[ArrayWiring], kind: KindIdx) -> usize {
        let today = arrays_today(self.desk, &self.planned.inputs);
        put_up(self.desk.installation, kind, |k| (count(arrays, k), count(&today, k)))
    }

    /// The stock with another number of a kind's spares.
    pub(super) fn with_spares(&self, kind: KindIdx, n: usize) -> Stock {
        stock_of(&self.desk.installation.with_spares(kind, n), &self.planned.inputs)
    }

    pub(super) fn charge(&self, kind: KindIdx) -> f64 {
        let desk = self.desk;
        desk.question(freest(&desk.options.touch))
            .charge(&desk.bench(self.planned.inputs[0]), kind.0)
    }
}
