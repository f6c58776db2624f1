//! Controllers that stand ready: sorts with a count, and the batteries that they could charge.

use super::codes::{DUPLICATE_ID, NO_EFFECT, OTHER_BATTERY};
use super::controllers::read_controller;
use super::document::Node;
use super::fields::Fields;
use super::findings::{Findings, quoted};
use super::ids::Ids;
use super::keys::SPARE_CONTROLLER;
use crate::diagnostic::Place;
use crate::model::{Controller, Installation, SpareUnit};

/// Most sorts of spare controllers of a site.
const MAX_SORTS: usize = 20;
/// Most units of one sort that are weighed: each is an input that the search shares panels out to.
const MOST_UNITS: usize = 4;

/// One sort of spare controller, and how many there are.
pub(super) struct Sort {
    controller: Controller,
    count: usize,
    price: Option<f64>,
}

impl Sort {
    /// Each unit as a controller of its own, as many as can be of use: none without panels.
    pub(super) fn units(self, n_panels: usize) -> Vec<Controller> {
        let most = self.count.min(MOST_UNITS).min(n_panels.max(1));
        let unit = |unit: usize| {
            let sort = self.controller.id.clone();
            let id = if self.count == 1 { sort.clone() } else { format!("{sort} {unit}") };
            let spare = Some(SpareUnit { sort, unit, of: self.count, price: self.price });
            Controller { id, spare, ..self.controller.clone() }
        };
        (1..=most).map(unit).collect()
    }
}

/// The ids of the sorts; none may be that of an installed controller.
pub(super) fn spare_ids(nodes: &[Node], installed: &Ids, findings: &mut Findings) -> Ids {
    let ids = Ids::read(nodes, "spare controller", MAX_SORTS, findings);
    for (id, at) in Ids::each(nodes) {
        // The units of a sort are told apart by numbers behind its id.
        let units = (1..=MOST_UNITS).map(|unit| format!("{id} {unit}"));
        let taken = std::iter::once(id.clone()).chain(units).find(|n| installed.find(n).is_some());
        if let Some(taken) = taken {
            let message = format!(
                "spare controller {} is called as the installed controller {}",
                quoted(&id),
                quoted(&taken)
            );
            let help =
                "give it an id of its own; one that is installed stands under `controllers` alone";
            findings.error(DUPLICATE_ID, at, message, help);
        }
    }
    ids
}

/// The sorts; `None` for one with a mistake, which is reported.
pub(super) fn read_spare_controllers(nodes: &[Node], findings: &mut Findings) -> Vec<Option<Sort>> {
    nodes
        .iter()
        .take(MAX_SORTS)
        .map(|node| {
            let fields = Fields::open(node, &SPARE_CONTROLLER, findings)?;
            let controller = read_controller(&fields, findings);
            let count = fields.count("count", findings);
            let price = fields.number("price", findings).map(|x| x.value);
            Some(Sort { controller: controller?, count: count?.value, price })
        })
        .collect()
}

/// Controllers that charge another battery than the rest: spare ones that nothing here can use, and
/// those that a limit on the battery does not speak of.
pub(super) fn warn_of_batteries(
    nodes: &[Node],
    limit: Option<Place>,
    installation: &Installation,
    findings: &mut Findings,
) {
    for (sort, node) in installation.spare_sorts().into_iter().zip(nodes) {
        let controller = &installation.controllers[sort[0]];
        if installation.has_output_for(sort[0]) {
            continue;
        }
        let Some(spare) = &controller.spare else { continue };
        let whose = match controller.battery() {
            Some(battery) => format!("charges a battery of {} V", battery.volts()),
            None => "has no battery".to_owned(),
        };
        let message = format!(
            "spare controller {} {whose}, and no installed controller does",
            quoted(&spare.sort)
        );
        let help = "it is left out of every plan: its battery must be the one that is there; if it can be set to that voltage, write it as `battery_v`";
        findings.warning(OTHER_BATTERY, node.place, message, help);
    }
    if let Some(at) = limit.filter(|_| installation.site.battery_charge.is_some()) {
        warn_of_limit(at, installation, findings);
    }
}

fn warn_of_limit(at: Place, installation: &Installation, findings: &mut Findings) {
    let Some(limited) = installation.limited_battery() else {
        let message = "`battery_charge_a` has no effect: no installed controller charges a battery";
        findings.warning(
            NO_EFFECT,
            at,
            message,
            "take the key out, or give the controller `battery_v`",
        );
        return;
    };
    let other = |(c, controller): (usize, &Controller)| {
        let volts = controller.battery().filter(|_| !installation.charges_limited_battery(c))?;
        controller.spare.is_none().then(|| (controller.id.clone(), volts))
    };
    if let Some((id, volts)) = installation.controllers.iter().enumerate().find_map(other) {
        let message = format!(
            "`battery_charge_a` is taken as the limit of the battery of {} V; {} charges one of {} V",
            limited.volts(),
            quoted(&id),
            volts.volts()
        );
        let help =
            "it holds for the battery of the first controller; what the other bears is not checked";
        findings.warning(OTHER_BATTERY, at, message, help);
    }
}
