//! What no allocation can be above, by the labels alone: the bound of a search that was stopped early.

use super::customer::Desk;
use super::options::FleetOptions;
use crate::model::{Installation, Kind, KindIdx, StockItem};
use crate::plan::{Customer, Evaluator};

/// Rounding: a curve's peak may be a little above its label.
const ROUNDING: f64 = 1e-6;

/// The most that all sites together can win, less charges, in the unit of the aim: every panel of
/// theirs and of the stock at its label, each of the stock where it is worth most.
pub(super) fn ceiling(
    customers: &[Customer],
    desks: &[Desk],
    stock: &[StockItem],
    options: &FleetOptions,
) -> f64 {
    let asked = || customers.iter().zip(desks).filter(|(_, desk)| !desk.inputs.is_empty());
    let own: f64 = asked()
        .map(|(c, desk)| desk.terms.watt * own_reserve(&c.installation, desk, options))
        .sum();
    let watt = asked().map(|(_, desk)| desk.terms.watt).fold(0.0, f64::max);
    let of_stock = |(at, item): (usize, &StockItem)| {
        let asking = desks.first().map_or(0.0, |desk| desk.terms.asking(at));
        (watt * at_best(&item.kind, options) - asking).max(0.0) * item.count as f64
    };
    own + stock.iter().enumerate().map(of_stock).sum::<f64>()
}

/// What a site's own panels could give at most beyond what they give today, less charges. \[W\]
fn own_reserve(site: &Installation, desk: &Desk, options: &FleetOptions) -> f64 {
    let today: f64 = Evaluator::new(site, &desk.catalog).state(&site.installed).passed().watts();
    let installed = || site.installed.iter().flat_map(|w| w.array.panels()).map(|k| site.kind(k));
    let charges: f64 = installed().map(|kind| options.charge(kind)).sum();
    let spare = |k: usize| site.n_spare(KindIdx(k)) as f64 * at_best(&site.kinds[k], options);
    let spares: f64 = (0..site.kinds.len()).map(spare).sum();
    let most = installed().map(|kind| at_best(kind, options)).sum::<f64>() + spares;
    (most - (today - charges)).max(0.0)
}

/// A panel at its label, less its charge; nothing if that is more. \[W\]
fn at_best(kind: &Kind, options: &FleetOptions) -> f64 {
    let label = kind.label;
    let watts = label.p_mp.watts().max(label.v_mp.volts() * label.i_mp.amps());
    (watts * (1.0 + ROUNDING) - options.charge(kind)).max(0.0)
}
