//! From a choice to what a site gets: evaluated on the curves, and audited.

use std::collections::BTreeMap;

use super::customer::Desk;
use super::options::{FleetFailure, FleetOptions};
use super::shelf::Shelf;
use crate::electrical::Catalog;
use crate::model::{
    ArrayWiring, Element, InputRef, InputWiring, Installation, KindIdx, PanelString, Spare,
    StockItem,
};
use crate::plan::{
    AuditTerms, Bound, Customer, Evaluator, FleetAim, Outcome, Placed, Plan, Rewiring,
    SiteAllotment, audit_with, fewest_joints,
};
use crate::units::Watts;

/// What judging needs.
pub(super) struct Judge<'a> {
    pub customers: &'a [Customer],
    pub desks: &'a [Desk],
    pub stock: &'a [StockItem],
    pub shelf: &'a Shelf,
    pub options: &'a FleetOptions,
}

/// A site's allotment, and its worth in the aim less the charges of its panels: what was searched by.
pub(super) struct Judged {
    pub allotment: SiteAllotment,
    pub charged: f64,
}

impl Judge<'_> {
    /// What comes of new arrays on some inputs of a customer, over its own kinds and the stock's.
    pub(super) fn judge(
        &self,
        customer: usize,
        arrays: &BTreeMap<InputRef, ArrayWiring>,
        searched: String,
    ) -> Result<Judged, FleetFailure> {
        let own = &self.customers[customer].installation;
        let n_own = own.kinds.len();
        let mut placed: BTreeMap<usize, usize> = BTreeMap::new();
        for kind in arrays.values().flat_map(ArrayWiring::panels) {
            if let Some(stock) = kind.0.checked_sub(n_own) {
                *placed.entry(stock).or_default() += 1;
            }
        }
        let placed: Vec<Placed> =
            placed.into_iter().map(|(stock, count)| Placed { stock, count }).collect();
        let installation = self.with_placed(own, &placed);
        let catalog = self.desks[customer]
            .catalog
            .followed_by(&self.shelf.catalog.of(placed.iter().map(|p| KindIdx(p.stock))));
        let kind = |k: KindIdx| match k.0.checked_sub(n_own) {
            None => k,
            Some(stock) => {
                let at = placed.iter().position(|p| p.stock == stock);
                KindIdx(n_own + at.expect("every panel wired was counted"))
            }
        };
        let wanted: Vec<InputWiring> = own
            .installed
            .iter()
            .map(|stands| match arrays.get(&stands.at) {
                Some(array) => InputWiring { at: stands.at, array: renamed(array, kind) },
                None => stands.clone(),
            })
            .collect();
        let Rewiring { joints, inputs: wiring, .. } = fewest_joints(&own.installed, &wanted);
        let evaluator = Evaluator::new(&installation, &catalog);
        let today = evaluator.state(&own.installed);
        let state = evaluator.state(&wiring);
        let charge = |wiring: &[InputWiring]| -> f64 {
            wiring
                .iter()
                .flat_map(|w| w.array.panels())
                .map(|k| self.options.charge(installation.kind(k)))
                .sum()
        };
        let charges = charge(&wiring);
        let added = state.watts() - today.watts();
        let plan = Plan {
            touch: self.customers[customer].touch,
            added,
            charged: Watts(state.watts().watts() - charges),
            bound: Bound { watts: state.watts(), gap: 0.0, proven: false },
            joints,
            energy: None,
            state,
        };
        self.audit(customer, &installation, &catalog, &plan, arrays)?;
        let state = plan.state;
        let terms = &self.desks[customer].terms;
        let asking: Option<f64> =
            placed.iter().map(|p| Some(self.stock[p.stock].price? * p.count as f64)).sum();
        let costs = match self.options.aim {
            FleetAim::Watts => 0.0,
            FleetAim::Margin => {
                asking.unwrap_or(0.0)
                    + self.options.visit_cost
                    + self.options.joint_cost * joints.total() as f64
            }
        };
        let passed = (today.passed(), state.passed());
        let gained = passed.1 - passed.0;
        let value = terms.watt * gained.watts() - costs;
        let spared = terms.watt * (charges - charge(&own.installed));
        let allotment = SiteAllotment {
            customer,
            own: own_spares_used(own, &wiring),
            placed,
            watts: (today.watts(), state.watts()),
            passed,
            utilization: (today.utilization(), state.utilization()),
            joints,
            worth: self.desks[customer].watt.map(|w| w * gained.watts()),
            asking,
            value,
            checks: state.checks.into_iter().filter(|c| c.outcome != Outcome::Pass).collect(),
            wiring,
            installation,
            searched,
        };
        Ok(Judged { allotment, charged: value - spared })
    }

    /// Inputs that stay as they are may have breaches of today, which are no part of the change.
    fn audit(
        &self,
        customer: usize,
        installation: &Installation,
        catalog: &Catalog,
        plan: &Plan,
        arrays: &BTreeMap<InputRef, ArrayWiring>,
    ) -> Result<(), FleetFailure> {
        let stays = installation.installed.iter().map(|w| w.at);
        let kept = stays.filter(|at| !arrays.contains_key(at)).collect();
        let audited = Installation { kept, ..installation.clone() };
        let terms = AuditTerms {
            charge_watts: Watts(self.options.threshold_watts),
            charge_share: self.options.threshold_share,
            ..AuditTerms::default()
        };
        audit_with(&audited, catalog, plan, &installation.installed, &terms)
            .map_err(|error| FleetFailure::Audit { customer, error })
    }

    /// The site with what is placed there as spares.
    fn with_placed(&self, own: &Installation, placed: &[Placed]) -> Installation {
        let mut installation = own.clone();
        for p in placed {
            let item = &self.stock[p.stock];
            let mut kind = item.kind.clone();
            // A site may have a kind of its own by the same name.
            while installation.kinds.iter().any(|k| k.id == kind.id) {
                kind.id.push_str("-stock");
            }
            let at = KindIdx(installation.kinds.len());
            installation.kinds.push(kind);
            let (count, price) = (p.count, item.price);
            installation.spares.push(Spare { kind: at, count, price, places: Vec::new() });
        }
        installation
    }
}

fn renamed(array: &ArrayWiring, kind: impl Fn(KindIdx) -> KindIdx) -> ArrayWiring {
    let element = |e: &Element| Element::block(e.members().iter().map(|k| kind(*k)).collect());
    let string = |s: &PanelString| PanelString::new(s.elements().iter().map(element).collect());
    ArrayWiring { strings: array.strings.iter().map(string).collect() }
}

/// Own spares that are wired.
fn own_spares_used(own: &Installation, wiring: &[InputWiring]) -> Vec<(KindIdx, usize)> {
    let count = |wiring: &[InputWiring], kind: KindIdx| {
        wiring.iter().flat_map(|w| w.array.panels()).filter(|k| *k == kind).count()
    };
    (0..own.kinds.len())
        .map(KindIdx)
        .map(|k| (k, count(wiring, k).saturating_sub(count(&own.installed, k))))
        .filter(|(_, n)| *n > 0)
        .collect()
}
