//! A new controller: hung up, given its battery, before any panel.

use super::super::blocks::StepText;
use super::Said;
use crate::model::Output;
use crate::plan::Step;
use crate::report::numbers::{amps, plain, volts};
use crate::units::Amps;

/// Factor on a current that lasts for hours (US NEC 690.8(B), from a secondary source: check your
/// edition).
const LASTING: f64 = 1.25;

impl Said<'_> {
    pub(super) fn hang(&self, step: &Step, at: &str) -> StepText {
        let controller = step.at.map(|at| self.names.0.controller(at));
        let id = controller.map_or_else(|| at.to_owned(), |c| c.id.clone());
        let place =
            "Fix it as its manual says: upright, on what does not burn, with air around it, \
                     near what it feeds and out of reach of a battery's gas."
                .to_owned();
        let disconnect =
            "Put a disconnect rated for direct current between its input and its strings, and \
                          leave it open."
                .to_owned();
        let Some(Output::Battery(bank)) = controller.map(|c| c.output) else {
            let output =
                "Connect its output as its manual says; on the grid or in a building that is \
                          licensed work."
                    .to_owned();
            return StepText {
                title: format!("Hang up {id}"),
                acts: vec![place, disconnect, output],
                live: "what it feeds".into(),
                prove: vec!["It is off, and nothing of the array is connected to it.".into()],
                found: Vec::new(),
            };
        };
        let fuse = bank.charge_limit.map_or_else(
            || "sized by its manual".to_owned(),
            |most| format!("of at least {}", amps(Amps(most.amps() * LASTING))),
        );
        StepText {
            title: format!("Hang up {id} and give it its battery"),
            acts: vec![
                place,
                disconnect,
                format!(
                    "It is for a battery of {} V: measure the battery. Set it to that voltage, to the same sort \
                     of battery as the other controllers, and to their charging voltage ({}).",
                    plain(bank.nominal.volts(), 1),
                    volts(bank.charging_voltage())
                ),
                format!(
                    "Fit a fuse or breaker for direct current at the battery's plus pole, {fuse} and at most \
                     what its cable carries, and leave it open. It breaks what a battery drives into a \
                     short: ask for its interrupting rating."
                ),
                "Lead plus and minus from it to the battery, each to the pole or bar of its own: two joints \
                 there, two at its input. Then close the battery's fuse: battery before array when \
                 connecting."
                    .to_owned(),
            ],
            live: format!("the battery, up to {}, and whatever it drives into a short", volts(step.highest)),
            prove: vec![
                "Before the battery's fuse is closed: polarity at the controller's battery terminals.".into(),
                "After it: the controller shows the battery's voltage, and nothing from an array.".into(),
            ],
            found: Vec::new(),
        }
    }
}
