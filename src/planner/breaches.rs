//! What stands in the way where nothing can be wired.

use super::{Desk, columns};
use crate::model::{ArrayWiring, InputWiring, KindIdx};
use crate::patterns::{Bench, Screening};
use crate::plan::{Check, CheckRule, Outcome, Touch};

impl Desk<'_> {
    /// Checks that fail where nothing can be wired: today's own, or those of the nearest misses.
    pub(super) fn breaches(
        &self,
        bench: &Bench,
        touch: Touch,
        screening: &Screening,
    ) -> Vec<Check> {
        let mut arrays = Vec::new();
        if touch != Touch::Free {
            arrays.push(columns::installed_array(bench).clone());
        }
        let kinds = (0..self.installation.kinds.len()).map(KindIdx);
        let strings = kinds.flat_map(|k| screening.near_misses(k)).map(|m| m.string.clone());
        arrays.extend(strings.map(|s| ArrayWiring { strings: vec![s] }));
        let standing = self.evaluator.state(&self.installation.installed).checks;
        let battery =
            |c: &Check| c.rule == CheckRule::BatteryCharge && c.outcome == Outcome::Breach;
        let mut failed: Vec<Check> = standing.into_iter().filter(battery).collect();
        for array in arrays {
            let checks = self.evaluator.checks(&InputWiring { at: bench.at, array });
            for check in checks.into_iter().filter(|c| c.outcome == Outcome::Breach) {
                if !failed.iter().any(|f| f.rule == check.rule) {
                    failed.push(check);
                }
            }
        }
        failed
    }
}
