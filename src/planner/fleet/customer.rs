//! One customer's desk: its labels fitted, its array as it stands, and what counts there.

use super::ground::most_pushed;
use super::options::{FleetFailure, FleetOptions};
use super::terms::SiteTerms;
use crate::electrical::Catalog;
use crate::energy::EnergyModel;
use crate::model::{InputRef, InputWiring, Installation, StockItem};
use crate::plan::{Customer, Evaluator, FleetAim};
use crate::planner::site::movable;

/// One customer's desk.
pub(super) struct Desk {
    pub catalog: Catalog,
    /// Inputs that may be changed; none where nothing is worth anything.
    pub inputs: Vec<InputRef>,
    /// What of each of these inputs' watts counts, where an output is limited. \[W\]
    passed: Vec<Option<f64>>,
    pub terms: SiteTerms,
    /// Of a visit, where several inputs bear it together.
    pub visit: f64,
    /// What one more watt is worth there; `None` where the site does not say.
    pub watt: Option<f64>,
}

impl Desk {
    pub(super) fn new(
        index: usize,
        customer: &Customer,
        stock: &[StockItem],
        options: &FleetOptions,
    ) -> Result<Self, FleetFailure> {
        let installation = &customer.installation;
        let catalog = Catalog::fit(&installation.kinds).map_err(|(kind, error)| {
            let kind = installation.kind(kind).id.clone();
            FleetFailure::Label { customer: index, kind, error }
        })?;
        let watt = worth_of_watt(customer, &catalog);
        let counts = match options.aim {
            FleetAim::Watts => Some(1.0),
            FleetAim::Margin => watt.filter(|w| *w > 0.0),
        };
        let inputs = if counts.is_some() { movable(installation) } else { Vec::new() };
        let margin = options.aim == FleetAim::Margin;
        let asking = stock.iter().map(|item| item.price.unwrap_or(0.0));
        let terms = SiteTerms {
            watt: counts.unwrap_or(1.0),
            asking: if margin { asking.collect() } else { Vec::new() },
            visit: if margin && inputs.len() < 2 { options.visit_cost } else { 0.0 },
            joint: if margin { options.joint_cost } else { 0.0 },
            threshold_watts: options.threshold_watts,
            threshold_share: options.threshold_share,
        };
        let passed =
            inputs.iter().map(|at| most_passed(installation, &catalog, &inputs, *at)).collect();
        let visit = if margin && inputs.len() > 1 { options.visit_cost } else { 0.0 };
        Ok(Self { catalog, inputs, passed, terms, visit, watt })
    }

    /// What of an input's watts counts, where its controller's output is limited. \[W\]
    pub(super) fn most_passed(&self, at: InputRef) -> Option<f64> {
        let place = self.inputs.iter().position(|input| *input == at)?;
        self.passed[place]
    }

    /// All that matters about an input, in one text: inputs with the same are asked once.
    pub(super) fn key(&self, customer: &Customer, at: InputRef) -> String {
        let installation = &customer.installation;
        let kinds: Vec<_> = installation
            .kinds
            .iter()
            .map(|kind| crate::model::Kind { id: String::new(), ..kind.clone() })
            .collect();
        let site = &installation.site;
        let controller = crate::model::Controller {
            id: String::new(),
            n_inputs: 1,
            ..installation.controller(at).clone()
        };
        let array = installation.installed.iter().find(|w| w.at == at).map(|w| &w.array);
        format!(
            "{kinds:?}{:?}{:?}{}{}{controller:?}{array:?}{:?}{:?}{:?}{:?}{:?}{}",
            site.coldest.celsius(),
            site.hottest.celsius(),
            site.block_max,
            site.isc_factor,
            installation.spares,
            customer.touch,
            self.terms,
            self.most_passed(at),
            most_pushed(installation, at),
            self.inputs.len() > 1,
        )
    }
}

/// What of an input's watts counts: what its controller's output leaves beside its other inputs as they
/// stand. \[W\]
///
/// Several inputs that may be changed are planned apart: of what is left today each may take its part.
fn most_passed(
    installation: &Installation,
    catalog: &Catalog,
    inputs: &[InputRef],
    at: InputRef,
) -> Option<f64> {
    let limit = installation.controller(at).clip_limit()?.watts();
    let evaluator = Evaluator::new(installation, catalog);
    let gives = |other: &&InputWiring| evaluator.watts(other).watts();
    let on_output = || installation.installed.iter().filter(|w| w.at.controller == at.controller);
    let own: f64 = on_output().filter(|w| w.at == at).map(|w| gives(&w)).sum();
    let others: f64 = on_output().filter(|w| w.at != at).map(|w| gives(&w)).sum();
    let sharing = inputs.iter().filter(|input| input.controller == at.controller).count();
    if sharing < 2 {
        return Some((limit - others).max(0.0));
    }
    Some(own + (limit - others - own).max(0.0) / sharing as f64)
}

/// What one more watt at full sun is worth: as given, or by what a watt of today's array brings in a
/// year.
fn worth_of_watt(customer: &Customer, catalog: &Catalog) -> Option<f64> {
    customer.worth_per_watt.or_else(|| {
        let each = customer.worth_per_kwh?;
        Some(each * kwh_of_watt(&customer.installation, catalog)?)
    })
}

/// Kilowatt-hours a year of one watt of today's array; `None` without one, or without its sun.
fn kwh_of_watt(installation: &Installation, catalog: &Catalog) -> Option<f64> {
    let model = EnergyModel::of(installation, catalog)?;
    let watts = Evaluator::new(installation, catalog).state(&installation.installed).watts();
    let year = model.year(&installation.installed).out();
    (watts.watts() > 0.0).then(|| year.kilowatt_hours() / watts.watts())
}

/// Desks of all customers.
pub(super) fn desks(
    customers: &[Customer],
    stock: &[StockItem],
    options: &FleetOptions,
) -> Result<Vec<Desk>, FleetFailure> {
    use rayon::prelude::*;
    let desk = |(index, customer)| Desk::new(index, customer, stock, options);
    customers.par_iter().enumerate().map(desk).collect()
}
