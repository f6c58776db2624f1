//! The verdict at both ends of what a label's tolerance and the panel's age leave open.

use super::change::Refit;
use super::verdict;
use super::worth::Worth;
use crate::model::KindIdx;
use crate::plan::Certainty;
use crate::units::Watts;

impl Worth<'_> {
    /// Repeats the verdict on a spare kind with its power at either end of its band.
    ///
    /// Tolerance and fading are taken to be in the current: that is where modules fade most (common
    /// practice, no source). Limits use the unsafe end at all times.
    pub(super) fn certainty(&self, kind: KindIdx) -> Option<Certainty> {
        let (low, high) = self.desk.installation.kind(kind).power_band()?;
        let (at_low, at_high) = (self.at_end(kind, low), self.at_end(kind, high));
        let flips = at_low.is_some() != at_high.is_some();
        let adds = (at_low.unwrap_or(0.0), at_high.unwrap_or(0.0));
        Some(Certainty {
            low,
            high,
            adds_low: Watts(adds.0),
            adds_high: Watts(adds.1),
            flips,
            words: verdict::certain((low, high), adds, flips),
        })
    }

    /// Watts that the kind's spares add with its currents scaled; `None` if they are not worth it.
    fn at_end(&self, kind: KindIdx, factor: f64) -> Option<f64> {
        let base = self.installed(kind);
        let refit = Refit::Currents(factor);
        let changed = refit.apply(self.desk.installation, self.planned.at, kind)?;
        self.relisted(&changed, refit, |session, terms| self.gain(session, terms, kind, base))
    }
}
