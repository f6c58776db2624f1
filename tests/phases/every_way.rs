//! Random upgrades of two phases, and the best way by trying every one.

use sungraft::electrical::Catalog;
use sungraft::energy::EnergyModel;
use sungraft::model::{ArrayWiring, InputWiring, Installation, KindIdx, Phase, PhaseSpare, Spare};
use sungraft::plan::{Aim, Rule, Touch, fewest_joints};
use sungraft::planner::PhaseOptions;

use super::random::Random;
use super::sites::{AT, Best, allowed_wirings, random_site};
use super::suns::{charges, own_energy};

/// A small site whose spares come on offer in two phases, with prices and budgets.
pub(crate) fn random_upgrade(rng: &mut Random, n_panels: usize) -> Installation {
    let mut site = random_site(rng, n_panels);
    let mut phases: Vec<Phase> = ["now", "later"].map(|name| phase(rng, name)).to_vec();
    for spare in std::mem::take(&mut site.spares) {
        let price = rng.chance(0.8).then(|| rng.between(5.0, 60.0).round());
        let first = rng.below(spare.count + 1);
        if rng.chance(0.15) {
            site.spares.push(Spare { price, ..spare });
            continue;
        }
        let last_chance = first == spare.count && rng.chance(0.5);
        for (t, count) in [(0, first), (1, spare.count - first)] {
            if count > 0 {
                let last_chance = t == 0 && last_chance;
                phases[t].spares.push(PhaseSpare { kind: spare.kind, count, price, last_chance });
            }
        }
    }
    site.phases = phases;
    site
}

fn phase(rng: &mut Random, name: &str) -> Phase {
    Phase {
        name: name.to_owned(),
        date: None,
        months: Some([6.0, 12.0, 30.0][rng.below(3)]),
        budget: rng.chance(0.4).then(|| rng.between(0.0, 150.0).round()),
        carry: false,
        spares: Vec::new(),
        controllers: Vec::new(),
        joints: None,
        hours: None,
    }
}

/// What a way is worth, and its wirings.
pub(crate) struct BestWay {
    pub(crate) value: f64,
    pub(crate) wirings: [ArrayWiring; 2],
}

/// Panels of a kind on offer by the end of a phase, and those that cost nothing from the beginning.
struct Stock {
    own: Vec<usize>,
    by: [Vec<usize>; 2],
}

fn stock(site: &Installation) -> Stock {
    let n = site.kinds.len();
    let mut own = site.installed[0].array.count_by_kind(n);
    let mut first = vec![0; n];
    for spare in &site.spares {
        let of = if spare.price.is_none() { &mut own } else { &mut first };
        of[spare.kind.0] += spare.count;
    }
    let mut second = first.clone();
    for (t, phase) in site.phases.iter().enumerate() {
        for spare in &phase.spares {
            second[spare.kind.0] += spare.count;
            if t == 0 {
                first[spare.kind.0] += spare.count;
            }
        }
    }
    Stock { own, by: [first, second] }
}

/// Price of a kind in a phase: the newest there is.
fn price(site: &Installation, kind: usize, t: usize) -> f64 {
    let of_phase = |s: usize| site.phases[s].spares.iter().find(|p| p.kind == KindIdx(kind));
    let newest = (0..=t).rev().find_map(of_phase).map(|p| p.price);
    let at_first = || site.spares.iter().find(|s| s.kind == KindIdx(kind)).and_then(|s| s.price);
    newest.unwrap_or_else(at_first).unwrap_or(0.0)
}

/// Least money for what two wirings need, by trying every way to buy; `None` beyond the budgets.
fn least_money(site: &Installation, stock: &Stock, needs: &[[usize; 2]]) -> Option<f64> {
    fn descend(
        site: &Installation,
        stock: &Stock,
        needs: &[[usize; 2]],
        spent: [f64; 2],
    ) -> Option<f64> {
        let within =
            |t: usize, more: f64| site.phases[t].budget.is_none_or(|b| spent[t] <= b + more + 1e-9);
        let left = site.phases[0].budget.filter(|_| site.phases[0].carry).map(|b| b - spent[0]);
        if !(within(0, 0.0) && within(1, left.unwrap_or(0.0))) {
            return None;
        }
        let k = site.kinds.len() - needs.len();
        let Some(([first, all], rest)) = needs.split_first().map(|(n, rest)| (*n, rest)) else {
            return Some(spent[0] + spent[1]);
        };
        let gone = site.phases[0].spares.iter().any(|s| s.kind == KindIdx(k) && s.last_chance);
        let now = first..=all.min(stock.by[0][k]);
        now.filter(|now| !gone || *now == all)
            .filter_map(|now| {
                let at = |t: usize, n: usize| spent[t] + n as f64 * price(site, k, t);
                descend(site, stock, rest, [at(0, now), at(1, all - now)])
            })
            .reduce(f64::min)
    }
    descend(site, stock, needs, [0.0; 2])
}

/// Each wiring's energy in a year, less what its panels are charged, in place of its watts. \[kWh\]
fn reckon_years(site: &Installation, all: &mut [Best]) {
    let catalog = Catalog::fit(&site.kinds).expect("legal labels");
    let model = EnergyModel::of(site, &catalog).expect("the sun is known");
    let own = own_energy(site, Aim::Year, 0);
    for best in all {
        let year = model.year(&[InputWiring { at: AT, array: best.array.clone() }]);
        best.charged = year.out().kilowatt_hours() - charges(site, &own, &best.array);
    }
}

/// The best of all ways.
pub(crate) fn try_every_way(site: &Installation, options: &PhaseOptions) -> Option<BestWay> {
    let stock = stock(site);
    let n = site.kinds.len();
    let touch = options.plan.touch.iter().copied().max().unwrap_or(Touch::Free);
    let today = &site.installed[0].array;
    let wirings = |t: usize, before: &ArrayWiring| -> Vec<Best> {
        let mut then = site.clone();
        then.installed[0].array = before.clone();
        let installed = before.count_by_kind(n);
        then.spares = (0..n)
            .map(|k| Spare {
                kind: KindIdx(k),
                count: stock.own[k] + stock.by[t][k] - installed[k],
                price: None,
                places: Vec::new(),
            })
            .filter(|s| s.count > 0)
            .collect();
        let mut all = allowed_wirings(&then, touch, Rule::Curve);
        if options.plan.aim == Some(Aim::Year) {
            reckon_years(&then, &mut all);
        }
        // Nothing at all is a wiring, too, unless today's may stay or nothing may be touched.
        let stays = all.iter().any(|b| b.array.canonical() == today.canonical());
        if today.strings.is_empty() || (touch == Touch::Free && !stays) {
            all.push(Best { charged: 0.0, array: ArrayWiring::default() });
        }
        all.sort_by(|a, b| b.charged.total_cmp(&a.charged));
        all
    };
    let (firsts, mut seconds) = (wirings(0, today), wirings(1, today));
    let years: Vec<f64> = site.phases.iter().map(Phase::years).collect();
    let all_years: f64 = years.iter().sum();
    let joint = options.plan.joint_worth.unwrap_or(0.0) * all_years;
    let worth = options.money_worth.map(|w| w * all_years);
    let joints = |from: &ArrayWiring, to: &ArrayWiring| {
        let on = |array: &ArrayWiring| [InputWiring { at: AT, array: array.clone() }];
        fewest_joints(&on(from), &on(to)).joints.total() as f64
    };
    let beyond = |array: &ArrayWiring| -> Vec<usize> {
        let counts = array.count_by_kind(n);
        counts.iter().zip(&stock.own).map(|(n, own)| n.saturating_sub(*own)).collect()
    };
    let most = seconds.first()?.charged;
    let mut best: Option<BestWay> = None;
    for first in &firsts {
        let so_far = |best: &Option<BestWay>| best.as_ref().map_or(f64::NEG_INFINITY, |b| b.value);
        let gross = years[0] * first.charged;
        if gross + years[1] * most <= so_far(&best) {
            break;
        }
        let opening =
            if joint > 0.0 { joint * joints(&site.installed[0].array, &first.array) } else { 0.0 };
        let bought = beyond(&first.array);
        if touch != Touch::Free {
            seconds = wirings(1, &first.array);
        }
        for second in &seconds {
            let gross = gross - opening + years[1] * second.charged;
            if gross <= so_far(&best) {
                break;
            }
            let then = beyond(&second.array);
            if worth.is_none() && bought.iter().zip(&then).any(|(a, b)| b < a) {
                continue;
            }
            let needs: Vec<[usize; 2]> =
                bought.iter().zip(&then).map(|(a, b)| [*a, *a.max(b)]).collect();
            let Some(money) = least_money(site, &stock, &needs) else { continue };
            let mut value = gross - worth.unwrap_or(0.0) * money;
            if joint > 0.0 && value > so_far(&best) {
                value -= joint * joints(&first.array, &second.array);
            }
            if value > so_far(&best) {
                let wirings = [first.array.clone(), second.array.clone()];
                best = Some(BestWay { value, wirings });
            }
        }
    }
    best
}
