//! Some sites shared out anew, all others staying: those that have least of what they want, and
//! those that hold it.

use super::super::pool::priced;
use super::super::shares::{Share, Shares};
use super::Search;
use super::dive::dive;
use super::finish::Whole;

/// Sites that lead one round.
const LEADERS: usize = 15;
/// Others that hold what a leader lacks.
const HOLDERS: usize = 3;
/// Most rounds.
const ROUNDS: usize = 40;
/// A row that lacks something costs this many times all that there is to win.
const FENCE: f64 = 1e3;
const PIVOTS: usize = 4_000;
/// What a site lacks less of counts as nothing.
pub(super) const NO_REGRET: f64 = 1e-6;

impl Whole {
    /// Shares anew among some sites at a time, those first that are furthest from what they like at
    /// these prices.
    pub(super) fn reconsider(&mut self, search: &Search, prices: &[f64]) {
        let mut regret: Vec<(f64, usize)> = (0..search.pool.n_sites())
            .map(|site| (self.regret(search, site, prices), site))
            .filter(|(regret, _)| *regret > NO_REGRET)
            .collect();
        regret.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        for leaders in regret.chunks(LEADERS).take(ROUNDS) {
            let sites = self.around(search, prices, leaders);
            self.share_anew(search, &sites);
        }
    }

    /// Leaders, and some that hold what they lack.
    fn around(&self, search: &Search, prices: &[f64], leaders: &[(f64, usize)]) -> Vec<usize> {
        let holders = self.holders(search);
        let mut sites: Vec<usize> = leaders.iter().map(|(_, site)| *site).collect();
        for &(_, site) in leaders {
            let worth = |o: &super::Offer| priced(o, prices);
            let offers = search.pool.all(site).iter();
            let Some(wanted) = offers.reduce(|a, b| if worth(b) > worth(a) { b } else { a }) else {
                continue;
            };
            for &(row, a) in &wanted.uses {
                if self.lacks(search, site, row, a) > 0.0 {
                    let from = site % holders[row].len().max(1);
                    let others = holders[row].iter().cycle().skip(from).take(holders[row].len());
                    sites.extend(others.take(HOLDERS));
                }
            }
        }
        sites.sort_unstable();
        sites.dedup();
        sites
    }

    /// Shares what some sites have, and what is left, out among them anew; kept if it is worth more.
    fn share_anew(&mut self, search: &Search, sites: &[usize]) {
        let value = |whole: &Self| -> f64 {
            sites.iter().map(|s| search.pool.of(*s, whole.places[*s]).value).sum()
        };
        let before = value(self);
        let old: Vec<usize> = sites.iter().map(|s| self.places[*s]).collect();
        sites.iter().for_each(|site| self.take(search, *site, 0));
        let most = sites.iter().flat_map(|s| search.pool.all(*s)).map(|o| o.value.abs());
        let fence = FENCE * most.fold(1.0, f64::max);
        let share = |at: usize, place: usize| {
            let offer = search.pool.of(sites[at], place);
            Share { site: at, value: offer.value, uses: offer.uses.clone() }
        };
        let first = (0..sites.len()).map(|at| share(at, 0)).collect();
        let mut program = Shares::new(self.left.clone(), first, fence);
        let mut columns: Vec<(usize, usize)> = (0..sites.len()).map(|at| (at, 0)).collect();
        for (at, site) in sites.iter().enumerate() {
            for place in 1..search.pool.all(*site).len() {
                program.add(share(at, place));
                columns.push((at, place));
            }
        }
        program.climb_in_batches(PIVOTS);
        for (at, place) in dive(&program, &columns, sites.len()) {
            if self.fits(search, sites[at], place) {
                self.take(search, sites[at], place);
            }
        }
        if value(self) <= before + 1e-9 {
            sites.iter().for_each(|site| self.take(search, *site, 0));
            sites.iter().zip(old).for_each(|(site, place)| self.take(search, *site, place));
        }
    }
}
