//! What each panel is worth, and why the rest adds nothing: found by solving again with one thing changed.

use super::columns::installed_array;
use super::found::Found;
use super::gain::Gain;
use super::level::Session;
use super::terms::{Question, Terms};
use super::{Desk, Planned, verdict};
use crate::energy::{EnergyModel, Span};
use crate::model::{ArrayWiring, Installation, KindIdx, Spare};
use crate::patterns::{Bench, Screening};
use crate::plan::{Certificate, IdlePanels, SpareAnswer, Touch, Verdict, WorthPoint};
use crate::solve::Effort;
use crate::units::Watts;

/// A worth curve has at most so many points above zero panels.
pub(super) const MOST_POINTS: usize = 12;

/// Answers about single kinds around the best plan of one input.
pub(super) struct Worth<'d> {
    pub(super) desk: &'d Desk<'d>,
    pub(super) planned: &'d Planned,
    pub(super) bench: &'d Bench<'d>,
    pub(super) session: &'d Session<'d>,
    /// A year of sun, where the file says enough for it.
    pub(super) energy: Option<&'d EnergyModel<'d>>,
    pub(super) question: Question<'d>,
    pub(super) effort: Effort,
}

/// The level of touch at which panels are compared: the freest one asked for.
pub(super) fn freest(touch: &[Touch]) -> Touch {
    touch.iter().copied().max().unwrap_or(Touch::Free)
}

impl<'d> Worth<'d> {
    pub(super) fn new(
        desk: &'d Desk<'d>,
        planned: &'d Planned,
        bench: &'d Bench<'d>,
        session: &'d Session<'d>,
        energy: Option<&'d EnergyModel<'d>>,
    ) -> Self {
        let question = desk.question(freest(&desk.options.touch));
        // Comparisons need watts, not the choice among near-ties nor the last fraction of the gap.
        let effort = desk.options.effort;
        let watch = effort.watch.quietly();
        let effort = Effort { tie_nodes: 0, nodes_past_proof: 20, watch, ..effort };
        Self { desk, planned, bench, session, energy, question, effort }
    }

    /// One answer for every spare kind.
    pub(super) fn spares(&self) -> Vec<SpareAnswer> {
        let used = |kind| self.best_array().map_or(0, |array| self.put_up(array, kind));
        let spare = |s: &Spare| {
            let ask = || self.spare(s.kind, s.count);
            self.desk.unless_stopped(s.kind, (s.count, used(s.kind)), ask)
        };
        self.desk.installation.spares.iter().map(spare).collect()
    }

    fn spare(&self, kind: KindIdx, offered: usize) -> SpareAnswer {
        let blank = SpareAnswer {
            obvious: self.desk.obvious_ways(self.planned.at, kind),
            certainty: self.certainty(kind),
            ..SpareAnswer::bare(kind, (offered, 0), Verdict::Breaches)
        };
        let Some(best) = self.best() else {
            let helps = self.helps(kind, offered);
            return SpareAnswer {
                because: "no wiring of this site keeps all limits".to_owned(),
                would_help: verdict::first_help(&helps),
                helps,
                ..blank
            };
        };
        let used = self.put_up(&best.array, kind);
        let (worth, none) = self.worth_curve(kind, offered, &best);
        let without = none.as_ref().map_or(0.0, |w| w.watts);
        let adds = if used > 0 { best.watts - without } else { 0.0 };
        let passed = best.passed - none.as_ref().map_or(0.0, |w| w.passed);
        let (adds_energy, adds_sought) = match used {
            0 => (None, None),
            _ => (
                self.energy_between(none.as_ref(), &best, Span::Year),
                self.sought_between(none.as_ref(), &best),
            ),
        };
        let blank =
            SpareAnswer { used, adds: Watts(adds), worth, adds_energy, adds_sought, ..blank };
        if used == offered {
            let hidden = passed < self.charge(kind) * used as f64 && best.passed < best.watts;
            if !hidden {
                return SpareAnswer { verdict: Verdict::Adds, ..blank };
            }
            let helps = self.next_charge(&best);
            return SpareAnswer {
                verdict: Verdict::AddsInWeakSun,
                because: verdict::clipped(best.watts, best.passed, adds_energy),
                would_help: verdict::first_help(&helps),
                helps,
                ..blank
            };
        }
        let aside = self.best_joints_aside().unwrap_or(best);
        if let Some((because, would_help)) = self.not_its_joints(kind, &aside) {
            let verdict = if used == 0 { Verdict::AddsNothing } else { Verdict::AddsPart };
            let would_help = if used == 0 { would_help } else { String::new() };
            return SpareAnswer { verdict, because, would_help, ..blank };
        }
        let certificate = self.certificate(kind, &aside);
        let battery = self.battery_in_the_way(kind);
        let (verdict, because) = match &certificate {
            Ok(shown) if used == 0 => (Verdict::AddsNothing, self.in_words(kind, shown)),
            Ok(shown) => (Verdict::AddsPart, self.in_words(kind, shown)),
            Err(screening) => {
                let verdict = if used == 0 { Verdict::Breaches } else { Verdict::AddsPart };
                (verdict, self.nothing_fits(kind, screening.as_ref(), &blank))
            }
        };
        let because = battery.unwrap_or(because);
        let helps = if used == 0 { self.helps(kind, offered) } else { Vec::new() };
        SpareAnswer {
            verdict,
            because,
            would_help: if used == 0 { verdict::first_help(&helps) } else { String::new() },
            helps,
            certificate: certificate.ok(),
            ..blank
        }
    }

    fn nothing_fits(
        &self,
        kind: KindIdx,
        screening: Option<&Screening>,
        answer: &SpareAnswer,
    ) -> String {
        if let Some(words) = verdict::no_room(kind, answer.used + 1, self.desk.installation) {
            return words;
        }
        let obvious: Vec<String> = answer.obvious.iter().filter_map(verdict::breached).collect();
        if answer.used == 0 && !obvious.is_empty() {
            return obvious.join("; ");
        }
        verdict::nothing_fits(kind, screening, self.desk.installation)
    }

    /// Best watts for ever more panels of a kind on offer, and the best without any of them.
    fn worth_curve(
        &self,
        kind: KindIdx,
        offered: usize,
        best: &Found,
    ) -> (Vec<WorthPoint>, Option<Found>) {
        let terms = Terms::of(self.bench);
        let mut points: Vec<WorthPoint> = Vec::new();
        let mut none = None;
        let mut known = Vec::new();
        let mut gap_before = 0.0;
        for n in 0..=offered.min(MOST_POINTS) {
            if n == offered {
                known.push(best.array.clone());
            }
            let found = self.solve_as_best(&terms.with_spares(self.bench, kind, n), &known);
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
            known = found.iter().map(|f| f.array.clone()).collect();
            if n == 0 {
                none = found;
            }
        }
        (points, none)
    }

    /// Installed panels that the best plan leaves out.
    pub(super) fn idle(&self) -> Vec<IdlePanels> {
        let Some(best) = self.best() else { return Vec::new() };
        let aside = self.best_joints_aside().unwrap_or_else(|| best.clone());
        (0..self.desk.installation.kinds.len())
            .map(KindIdx)
            .filter_map(|kind| {
                let standing_now = count_of(installed_array(self.bench), kind);
                let left = standing_now.saturating_sub(count_of(&best.array, kind));
                let stopped = self.desk.not_worked_out();
                (left > 0).then(|| match stopped {
                    Some(because) => {
                        IdlePanels { kind, count: left, because, instead: String::new() }
                    }
                    None => IdlePanels {
                        kind,
                        count: left,
                        because: self.why_left_out(kind, &aside),
                        instead: verdict::instead(&self.own_places(standing(kind, left))),
                    },
                })
            })
            .collect()
    }

    fn why_left_out(&self, kind: KindIdx, aside: &Found) -> String {
        if let Some((because, _)) = self.not_its_joints(kind, aside) {
            return because;
        }
        match self.certificate(kind, aside) {
            Ok(certificate) => self.in_words(kind, &certificate),
            Err(screening) => {
                verdict::nothing_fits(kind, screening.as_ref(), self.desk.installation)
            }
        }
    }

    pub(super) fn best_array(&self) -> Option<&ArrayWiring> {
        self.planned.best.map(|at| &self.planned.arrays[at])
    }

    /// Panels of a kind's label in an array.
    pub(super) fn count(&self, array: &ArrayWiring, kind: KindIdx) -> usize {
        count(self.desk.installation, array, kind)
    }

    pub(super) fn installed(&self, kind: KindIdx) -> usize {
        self.count(installed_array(self.bench), kind)
    }

    /// Panels of a kind's label that an array has beyond those that stand, plane by plane.
    fn put_up(&self, array: &ArrayWiring, kind: KindIdx) -> usize {
        let own = installed_array(self.bench);
        put_up(self.desk.installation, kind, |k| (count_of(array, k), count_of(own, k)))
    }

    /// Watts, or value, that one panel of a kind must bring.
    pub(super) fn charge(&self, kind: KindIdx) -> f64 {
        self.question.charge(self.bench, kind.0)
    }

    /// What panels of a kind beyond the first `base` add under some terms, if they are worth
    /// their places.
    pub(super) fn gain(
        &self,
        session: &Session,
        terms: &Terms,
        kind: KindIdx,
        base: usize,
    ) -> Option<Gain> {
        self.gain_shown(session, terms, kind, base).map(|(gain, _)| gain)
    }

    /// The same with the wiring that brings them.
    pub(super) fn gain_shown(
        &self,
        session: &Session,
        terms: &Terms,
        kind: KindIdx,
        base: usize,
    ) -> Option<(Gain, ArrayWiring)> {
        let with = self.solve(session, terms, &[]).ok()?;
        let more = self.count(&with.array, kind).saturating_sub(base);
        if more == 0 {
            return None;
        }
        let without = self.solve(session, &terms.capping(session.bench, kind, base), &[]).ok();
        let gain = with.beyond(without.as_ref());
        (gain.sought >= self.charge(kind) * more as f64).then_some((gain, with.array))
    }

    /// Panels of a kind's label that the best plan of all wires.
    pub(super) fn wired(&self, kind: KindIdx) -> usize {
        self.best_array().map_or(0, |array| self.count(array, kind))
    }

    /// Panels of a kind that need no spare: those installed.
    pub(super) fn at_hand(&self, kind: KindIdx) -> usize {
        self.installed(kind).max(self.wired(kind))
    }

    pub(super) fn in_words(&self, kind: KindIdx, certificate: &Certificate) -> String {
        let charge = self.charge(kind);
        let energy = self.question.season.map(|season| season.yields(charge));
        verdict::certified(kind, certificate, self.desk.installation, (charge, energy))
    }
}

/// How many panels of a kind's label an array holds.
pub(super) fn count(installation: &Installation, array: &ArrayWiring, kind: KindIdx) -> usize {
    array.panels().filter(|k| installation.alike(*k, kind)).count()
}

/// How many panels of one kind an array holds.
pub(super) fn count_of(array: &ArrayWiring, kind: KindIdx) -> usize {
    array.panels().filter(|k| *k == kind).count()
}

/// Panels of a kind's label beyond those that stand, from how many of each kind are wired and stand.
pub(super) fn put_up(
    installation: &Installation,
    kind: KindIdx,
    wired_and_standing: impl Fn(KindIdx) -> (usize, usize),
) -> usize {
    let more = |k: KindIdx| {
        let (wired, standing) = wired_and_standing(k);
        wired.saturating_sub(standing)
    };
    installation.same_label(kind).into_iter().map(more).sum()
}

/// Panels that stand on their plane and are wired no longer.
pub(super) fn standing(kind: KindIdx, count: usize) -> Spare {
    Spare { kind, count, price: None, places: Vec::new() }
}
