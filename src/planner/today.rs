//! The site as it stands, and with one input rewired.

use super::Desk;
use super::terms::Question;
use crate::model::{ArrayWiring, InputRef, InputWiring};
use crate::patterns::Bench;
use crate::plan::{State, Touch};

impl Desk<'_> {
    /// Charged watts of the site as it stands. \[W\]
    pub(super) fn charged_today(&self, bench: &Bench, today: &State) -> f64 {
        let question = Question { season: None, ..self.question(Touch::None) };
        let charge: f64 = self
            .installation
            .installed
            .iter()
            .map(|w| {
                question.charge_of(bench, &w.array.count_by_kind(self.installation.kinds.len()))
            })
            .sum();
        self.by_rule(today.watts(), today.nameplate()) - charge
    }

    /// Today's wiring with one input rewired.
    pub(super) fn site_wiring(&self, at: InputRef, array: ArrayWiring) -> Vec<InputWiring> {
        let mut wiring = self.installation.installed.clone();
        for input in wiring.iter_mut().filter(|w| w.at == at) {
            input.array = array.clone();
        }
        wiring
    }
}
