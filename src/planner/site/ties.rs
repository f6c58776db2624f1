//! Near-ties over several inputs: fewest panels, then fewest joints.
//!
//! That no near-tie has fewer panels is proven by sharing out again with one panel fewer, until the
//! bound falls below what a near-tie must have. Joints are compared among the near-ties that were
//! met, and those that each input finds for its part.

use crate::model::{ArrayWiring, InputWiring};
use crate::plan::{charging_flows, fewest_joints_of};
use crate::planner::columns::installed_array;
use crate::planner::level::{LevelAnswer, Pick};
use crate::planner::terms::CountRow;
use crate::solve::Effort;
use crate::solve::master::{Aim, Pace};
use crate::units::Amps;

use super::level::{Search, SiteLevel, Stock};

/// Most questions in search of a near-tie with fewer panels, each time.
const ASKS: usize = 60;
/// Most near-ties of which joints are compared, and most steps in listing them.
const COMPARED: usize = 60;
const STEPS: usize = 20_000;

/// Near-ties of the best.
pub(super) struct Ties<'a> {
    /// Wirings of today on all inputs, planned or not.
    pub today: &'a [InputWiring],
    pub stock: &'a Stock,
    pub effort: Effort,
}

impl Ties<'_> {
    /// The preferred among what is as good as the best.
    pub(super) fn settle(&self, search: &mut Search, best: SiteLevel) -> SiteLevel {
        let within = best.bound / (1.0 + self.effort.proof);
        let floor = best.charged - self.effort.proof * best.charged.abs();
        let floor = if within <= best.charged { floor.max(within) } else { floor };
        let mut top = best;
        while let Some(fewer) = n_panels(&top.arrays).checked_sub(1) {
            let stock = Stock { most: Some(fewer), ..self.stock.clone() };
            let pace = Pace { asks: ASKS, ..search.pace };
            let known = [top.arrays.clone()];
            let out = search.share(&stock, &known, Aim::AtLeast(floor), pace);
            match out.best.filter(|b| b.value >= floor) {
                Some(found) => {
                    top.arrays = search.arrays(&found.tags);
                    top.charged = found.value;
                }
                None => {
                    top.ties_complete &= out.complete;
                    break;
                }
            }
        }
        self.fewest_joints(search, top, floor)
    }

    fn fewest_joints(&self, search: &mut Search, top: SiteLevel, floor: f64) -> SiteLevel {
        let mut plans = vec![(top.charged, top.arrays.clone())];
        plans.extend(self.each_by_itself(search, &top.arrays));
        plans.extend(self.met(search, n_panels(&top.arrays), floor));
        for (_, arrays) in plans.clone() {
            plans.extend(changed_places(search, &arrays));
        }
        let fits = |arrays: &Vec<ArrayWiring>| {
            self.keeps_rows(search, arrays) && self.stock.allows(arrays)
        };
        plans.retain(|(charged, arrays)| *charged >= floor && fits(arrays));
        // Of equally few joints the first is taken: the one for which fewest panels change their input.
        plans.sort_by_cached_key(|(_, arrays)| self.moved(search, arrays));
        let wirings: Vec<Vec<InputWiring>> =
            plans.iter().map(|(_, arrays)| self.wiring(search, arrays)).collect();
        let Some((at, _)) = fewest_joints_of(self.today, &wirings) else { return top };
        let (charged, arrays) = plans.swap_remove(at);
        SiteLevel { arrays, charged, ..top }
    }

    /// Each input's near-tie of fewest joints with the panels that it has.
    fn each_by_itself(
        &self,
        search: &Search,
        arrays: &[ArrayWiring],
    ) -> Option<(f64, Vec<ArrayWiring>)> {
        let mut charged = 0.0;
        let mut own = Vec::with_capacity(arrays.len());
        for (input, array) in search.inputs.inputs.iter().zip(arrays) {
            if array.strings.is_empty() {
                own.push(array.clone());
                continue;
            }
            let mut terms = input.terms.clone();
            let counts = array.count_by_kind(terms.spares.len());
            for (k, n) in counts.iter().enumerate() {
                let coefficients = |a: f64| {
                    let mut only = vec![0.0; counts.len()];
                    only[k] = a;
                    only
                };
                let n = *n as f64;
                terms.counted.push(CountRow { coefficients: coefficients(1.0), most: n });
                terms.counted.push(CountRow { coefficients: coefficients(-1.0), most: -n });
            }
            let known = std::slice::from_ref(array);
            match input.session.solve(&terms, known, self.effort, Pick::Preferred) {
                LevelAnswer::Found(level) => {
                    charged += level.charged - input.entry - input.beyond(&counts);
                    own.push(level.array);
                }
                LevelAnswer::NoWiring(_) | LevelAnswer::LimitReached => return None,
            }
        }
        Some((charged, own))
    }

    /// Choices met on the way that go together as a near-tie with as many panels.
    fn met(&self, search: &Search, n_panels: usize, floor: f64) -> Vec<(f64, Vec<ArrayWiring>)> {
        let inputs = &search.inputs.inputs;
        let mut lists: Vec<Vec<usize>> = Vec::with_capacity(inputs.len());
        let mut best = Vec::with_capacity(inputs.len());
        for input in inputs {
            let mut list: Vec<usize> = (0..input.met.len()).collect();
            let value = |tag: usize| input.met[tag].value;
            list.sort_by(|a, b| value(*b).total_cmp(&value(*a)).then(a.cmp(b)));
            best.push(list.first().map_or(0.0, |tag| value(*tag)));
            lists.push(list);
        }
        let mut walk =
            Walk { search, lists, best, n_panels, floor, steps: STEPS, found: Vec::new() };
        walk.descend(&mut Vec::new(), 0.0, &self.stock.panels);
        let arrays = |(charged, tags): (f64, Vec<usize>)| (charged, search.arrays(&tags));
        walk.found.into_iter().map(arrays).collect()
    }

    /// Do wirings keep what the inputs share besides panels: the battery, and the order in which a
    /// spare controller's inputs are used?
    fn keeps_rows(&self, search: &Search, arrays: &[ArrayWiring]) -> bool {
        let inputs = &search.inputs.inputs;
        let used = |place: usize| !arrays[place].strings.is_empty();
        let follows =
            inputs.iter().all(|i| i.after.is_none_or(|first| used(first) || !used(i.place)));
        let installation = inputs[0].session.bench.installation;
        let flows = || charging_flows(installation, &self.wiring(search, arrays));
        let flow = || flows().iter().map(|(_, amps)| amps.amps()).sum::<f64>();
        let kept = |limit: Amps| flow() <= limit.amps() * (1.0 + 1e-9);
        follows && installation.site.battery_charge.is_none_or(kept)
    }

    /// Panels that must change their input, spares going first.
    fn moved(&self, search: &Search, arrays: &[ArrayWiring]) -> usize {
        let mut wanted = vec![0; self.stock.panels.len()];
        let mut spare = self.stock.panels.clone();
        for (input, array) in search.inputs.inputs.iter().zip(arrays) {
            let own = installed_array(input.session.bench).count_by_kind(wanted.len());
            let planned = array.count_by_kind(wanted.len());
            for (k, own) in own.iter().enumerate() {
                spare[k] -= own;
                wanted[k] += planned[k].saturating_sub(*own);
            }
        }
        wanted.iter().zip(spare).map(|(n, spare)| n.saturating_sub(spare)).sum()
    }

    fn wiring(&self, search: &Search, arrays: &[ArrayWiring]) -> Vec<InputWiring> {
        let mut wiring = self.today.to_vec();
        for (input, array) in search.inputs.inputs.iter().zip(arrays) {
            let at = input.session.bench.at;
            wiring.iter_mut().filter(|w| w.at == at).for_each(|w| w.array = array.clone());
        }
        wiring
    }
}

/// The same wirings on other inputs, wherever that is allowed.
fn changed_places(search: &mut Search, arrays: &[ArrayWiring]) -> Vec<(f64, Vec<ArrayWiring>)> {
    let inputs = &mut search.inputs.inputs;
    let mut all = Vec::new();
    for here in 0..inputs.len() {
        let alike =
            |there: &usize| inputs[here].alike.is_some_and(|a| inputs[*there].alike == Some(a));
        let others: Vec<usize> = (here + 1..inputs.len()).filter(|t| !alike(t)).collect();
        for there in others {
            let mut changed = arrays.to_vec();
            changed.swap(here, there);
            let tags: Option<Vec<usize>> =
                inputs.iter_mut().zip(&changed).map(|(i, a)| i.known(a)).collect();
            if let Some(tags) = tags {
                let charged = inputs.iter().zip(tags).map(|(i, tag)| i.met[tag].value).sum();
                all.push((charged, changed));
            }
        }
    }
    all
}

struct Walk<'a, 's, 'b> {
    search: &'a Search<'s, 'b>,
    /// Choices of each input by falling value.
    lists: Vec<Vec<usize>>,
    best: Vec<f64>,
    n_panels: usize,
    floor: f64,
    steps: usize,
    found: Vec<(f64, Vec<usize>)>,
}

impl Walk<'_, '_, '_> {
    fn descend(&mut self, taken: &mut Vec<usize>, charged: f64, left: &[usize]) {
        let depth = taken.len();
        let Some(list) = self.lists.get(depth) else {
            self.found.push((charged, taken.clone()));
            return;
        };
        let list = list.clone();
        let later: f64 = self.best[depth + 1..].iter().sum();
        for tag in list {
            if self.steps == 0 || self.found.len() == COMPARED {
                return;
            }
            self.steps -= 1;
            let met = &self.search.inputs.inputs[depth].met[tag];
            let (value, n) = (charged + met.value, met.counts.iter().sum::<usize>());
            if value + later < self.floor {
                return;
            }
            let fits = met.counts.iter().zip(left).all(|(n, left)| n <= left);
            let last = depth + 1 == self.lists.len();
            if !fits || n > self.n_panels || (last && n != self.n_panels) {
                continue;
            }
            let rest: Vec<usize> = left.iter().zip(&met.counts).map(|(l, n)| l - n).collect();
            self.n_panels -= n;
            taken.push(tag);
            self.descend(taken, value, &rest);
            taken.pop();
            self.n_panels += n;
        }
    }
}

fn n_panels(arrays: &[ArrayWiring]) -> usize {
    arrays.iter().map(|a| a.panels().count()).sum()
}
