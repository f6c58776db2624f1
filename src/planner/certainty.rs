//! The verdict at both ends of what a label's tolerance and the panel's age leave open.

use super::change::Refit;
use super::gain::{Gain, said};
use super::season::Season;
use super::verdict;
use super::worth::Worth;
use crate::model::KindIdx;
use crate::plan::Certainty;

impl Worth<'_> {
    /// Repeats the verdict on a spare kind with its power at either end of its band.
    ///
    /// Tolerance and fading are taken to be in the current: that is where modules fade most (common
    /// practice, no source). Limits use the unsafe end at all times.
    pub(super) fn certainty(&self, kind: KindIdx) -> Option<Certainty> {
        let (low, high) = self.desk.installation.kind(kind).power_band()?;
        let (at_low, at_high) = (self.at_end(kind, low), self.at_end(kind, high));
        Some(certain((low, high), (at_low, at_high), self.question.season))
    }

    /// What the kind's spares add with its currents scaled; `None` if they are not worth it.
    fn at_end(&self, kind: KindIdx, factor: f64) -> Option<Gain> {
        let base = self.installed(kind);
        let refit = Refit::Currents(factor);
        let changed = refit.apply(self.desk.installation, self.planned.at, kind)?;
        self.relisted(&changed, refit, |session, terms| self.gain(session, terms, kind, base))
    }
}

/// What both ends of a band come to.
pub(super) fn certain(
    (low, high): (f64, f64),
    ends: (Option<Gain>, Option<Gain>),
    season: Option<&Season>,
) -> Certainty {
    let flips = ends.0.is_some() != ends.1.is_some();
    let nothing = Gain::of_watts(0.0);
    let (at_low, at_high) = (ends.0.unwrap_or(nothing), ends.1.unwrap_or(nothing));
    let words = |gain: Gain| said(gain.watts(), gain.energy(season));
    Certainty {
        low,
        high,
        adds_low: at_low.watts(),
        adds_high: at_high.watts(),
        flips,
        words: verdict::certain((low, high), (&words(at_low), &words(at_high)), flips),
    }
}
