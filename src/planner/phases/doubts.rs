//! What if a phase never comes, or a kind cannot be had any more when its phase does?

use super::ground::Stand;
use super::orders::{Chosen, Search, on_site};
use super::path::Measures;
use super::sequence::Used;
use super::supply::{Good, Purchase, money};
use super::year::Year;
use crate::model::{ArrayWiring, Element, InputWiring, KindIdx, PanelString};
use crate::plan::{Brings, Cancelled, Evaluator, Outcome, PhaseStep, SoldOut, Substitute};
use crate::units::Watts;

/// Substitutes that are named for a kind.
const NAMED: usize = 3;

impl Search<'_, '_> {
    /// What if a phase and all after it never come?
    pub(super) fn cancelled(&mut self, chosen: &Chosen, steps: &[PhaseStep]) -> Vec<Cancelled> {
        (1..steps.len()).map(|t| self.without_phases_from(chosen, steps, t)).collect()
    }

    fn without_phases_from(&mut self, chosen: &Chosen, steps: &[PhaseStep], t: usize) -> Cancelled {
        let way = chosen.way.as_ref().expect("there are steps");
        let left = steps[t - 1].plan().state.passed().watts();
        let passed = |s: &PhaseStep| s.plan().state.passed().watts();
        let before = steps[t - 1].energy;
        let lost = Brings {
            watt_years: steps[t..].iter().map(|s| s.years * (passed(s) - left)).sum(),
            energy: steps[t..].iter().map(|s| Some((s.energy? - before?) * s.years)).sum(),
        };
        let bought: Vec<Purchase> = way.bought.iter().copied().filter(|p| p.phase < t).collect();
        let wiring = steps[t - 1].plan().state.wiring();
        let idle = self.idle_of(&bought, &wiring);
        let ahead = |p: &&Purchase| match p.good {
            Good::Controller(c) => chosen.used[c].is_some_and(|from| from >= t),
            Good::Panels(_) => false,
        };
        let controllers: f64 = bought.iter().filter(ahead).map(|p| money(&[*p])).sum();
        let idle_money: f64 = idle.iter().map(|(k, n)| self.dearest(&bought, *k, *n)).sum();
        Cancelled {
            phase: t,
            watts: Watts(left),
            lost,
            regret: self.regret(chosen, t),
            idle,
            idle_money: idle_money + controllers,
        }
    }

    /// What the best way for those who know of the end has more, of the wirings met.
    fn regret(&mut self, chosen: &Chosen, t: usize) -> Brings {
        let way = chosen.way.as_ref().expect("there are steps");
        let used: Used = chosen.used.iter().map(|u| u.filter(|from| *from < t)).collect();
        let whole = self.campaign(&used).measures;
        let mut years = whole.years[..t].to_vec();
        years[t - 1] += whole.years[t..].iter().sum::<f64>();
        let measures = Measures { years, ..whole };
        let mut steps = std::mem::take(&mut self.steps);
        let pools: Vec<&[Stand]> =
            (0..t).map(|s| self.ground_of(&used, s).stands.as_slice()).collect();
        let (best, _) = measures.best(&self.today, &pools, &mut steps);
        let stands: Vec<&Stand> = way.stands[..t].iter().collect();
        let ours = measures.way(&self.today, &stands, &mut steps);
        self.steps = steps;
        let nothing = Brings { watt_years: 0.0, energy: None };
        let Some((best, ours)) = best.zip(ours).filter(|(b, o)| b.value > o.value) else {
            return nothing;
        };
        let pairs = best.stands.iter().zip(&ours.stands).zip(&measures.years).enumerate();
        let more = pairs.map(|(s, ((best, ours), years))| {
            *years * self.between(&used, s, &ours.wiring, &best.wiring)
        });
        more.reduce(|a, b| a + b).unwrap_or(nothing)
    }

    /// What one wiring brings more than another in a year of a phase; energy where that is sought.
    fn between(&self, used: &Used, s: usize, less: &[InputWiring], more: &[InputWiring]) -> Brings {
        let ground = self.ground_of(used, s);
        let passed = |wiring: &[InputWiring]| self.state_of(used, s, wiring).passed().watts();
        let between = |year: &Year| {
            let energy = |wiring| year.energy(&on_site(&ground.lot.site, wiring));
            energy(more) - energy(less)
        };
        Brings {
            watt_years: passed(more) - passed(less),
            energy: ground.year.as_ref().map(between),
        }
    }

    /// What if a kind that is bought in a later phase is sold out by then?
    pub(super) fn sold_out(&mut self, chosen: &Chosen, steps: &[PhaseStep]) -> Vec<SoldOut> {
        let Some(way) = &chosen.way else { return Vec::new() };
        let mut found: Vec<SoldOut> = Vec::new();
        for purchase in way.bought.iter().filter(|p| p.phase > 0) {
            let Good::Panels(kind) = purchase.good else { continue };
            if !found.iter().any(|f| f.kind == kind) {
                found.push(self.without_kind(chosen, steps, kind, purchase.phase));
            }
        }
        found
    }

    fn without_kind(
        &mut self,
        chosen: &Chosen,
        steps: &[PhaseStep],
        kind: KindIdx,
        t: usize,
    ) -> SoldOut {
        let way = chosen.way.as_ref().expect("something is bought for a way");
        let of_kind = || way.bought.iter().filter(|p| p.good == Good::Panels(kind));
        let had: usize = of_kind().filter(|p| p.phase < t).map(|p| p.count).sum();
        let count = of_kind().filter(|p| p.phase >= t).map(|p| p.count).sum();
        let mut most = self.supply.stock(self.supply.n_phases() - 1);
        most[kind.0] = self.supply.own[kind.0] + had;
        let campaign = self.campaign(&chosen.used);
        let mut work = std::mem::take(&mut self.steps);
        let mut grounds = self.grounds_of(&chosen.used);
        let on = campaign.on_from(&mut grounds, &mut work, &way.stands[..t], &most);
        self.steps = work;
        let lost = on.and_then(|on| {
            let stands = on.stands.iter().zip(&way.stands).enumerate().skip(t);
            let lost = stands.map(|(s, (a, b))| {
                steps[s].years * self.between(&chosen.used, s, &a.wiring, &b.wiring)
            });
            lost.reduce(|a, b| a + b)
        });
        let substitutes = self.substitutes(chosen, kind, t, had);
        SoldOut { kind, phase: t, count, lost, substitutes }
    }

    /// Kinds of the file that keep every limit in the places of another.
    fn substitutes(&self, chosen: &Chosen, kind: KindIdx, t: usize, had: usize) -> Vec<Substitute> {
        let way = chosen.way.as_ref().expect("something is bought for a way");
        let kept = self.supply.own[kind.0] + had;
        let change = |other: KindIdx| -> Option<Brings> {
            let mut change: Option<Brings> = None;
            for (s, stand) in way.stands.iter().enumerate().skip(t) {
                let wiring = with_kind(&stand.wiring, kind, other, kept);
                let site = &self.ground_of(&chosen.used, s).lot.site;
                let evaluator = Evaluator::new(site, self.catalog);
                let state = evaluator.state(&on_site(site, &wiring));
                if state.checks.iter().any(|c| c.outcome == Outcome::Breach)
                    || !blocks_fit(site, &wiring)
                {
                    return None;
                }
                let years = self.installation.phases[s].years();
                let more = years * self.between(&chosen.used, s, &stand.wiring, &wiring);
                change = Some(change.map_or(more, |sum| sum + more));
            }
            change
        };
        let mut fitting: Vec<Substitute> = (0..self.installation.kinds.len())
            .map(KindIdx)
            .filter(|other| *other != kind)
            .filter_map(|other| change(other).map(|change| Substitute { kind: other, change }))
            .collect();
        let by_energy = self.basis.is_some();
        let sought = |s: &Substitute| match s.change.energy {
            Some(energy) if by_energy => energy.kilowatt_hours(),
            _ => s.change.watt_years,
        };
        fitting.sort_by(|a, b| sought(b).total_cmp(&sought(a)));
        fitting.truncate(NAMED);
        fitting
    }
}

/// A wiring in which all but the first few panels of a kind are of another.
fn with_kind(
    wiring: &[InputWiring],
    kind: KindIdx,
    other: KindIdx,
    kept: usize,
) -> Vec<InputWiring> {
    let mut left = kept;
    let mut panel = |k: &KindIdx| {
        if *k != kind {
            return *k;
        }
        if left > 0 {
            left -= 1;
            return kind;
        }
        other
    };
    let mut out = Vec::with_capacity(wiring.len());
    for input in wiring {
        let mut strings = Vec::with_capacity(input.array.strings.len());
        for string in &input.array.strings {
            let elements = string.elements().iter();
            let elements =
                elements.map(|e| Element::block(e.members().iter().map(&mut panel).collect()));
            strings.push(PanelString::new(elements.collect()));
        }
        out.push(InputWiring { at: input.at, array: ArrayWiring { strings } });
    }
    out
}

/// Do the panels of every block have voltages that may stand side by side?
fn blocks_fit(site: &crate::model::Installation, wiring: &[InputWiring]) -> bool {
    let elements = wiring.iter().flat_map(|w| &w.array.strings).flat_map(|s| s.elements());
    elements.filter(|e| e.is_block()).all(|block| {
        let v_oc = |k: &KindIdx| site.kind(*k).label.v_oc.volts();
        let high = block.members().iter().map(v_oc).fold(0.0, f64::max);
        let low = block.members().iter().map(v_oc).fold(f64::INFINITY, f64::min);
        high - low <= crate::plan::BLOCK_SPREAD * high
    })
}
