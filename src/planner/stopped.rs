//! What is said where a search was stopped before its end.

use super::Desk;
use crate::model::KindIdx;
use crate::plan::{SpareAnswer, Touch, Verdict};

impl Desk<'_> {
    /// Why the search was told to end with what it has, if it was: "after 5 s".
    pub(super) fn stopped(&self) -> Option<String> {
        self.options.effort.watch.stopped()
    }

    /// Shows that a level is being planned.
    pub(super) fn shows_level(&self, touch: Touch) {
        self.options.effort.watch.doing(|| format!("planning, touch {}", touch.name()));
    }

    /// Shows that a spare kind is being asked about.
    pub(super) fn shows_spare(&self, kind: KindIdx) {
        let id = self.installation.kind(kind).label_id();
        self.options.effort.watch.doing(|| format!("what `{id}` is worth"));
    }

    /// An answer about a spare kind, unless the search is stopped before it is whole.
    pub(super) fn unless_stopped(
        &self,
        kind: KindIdx,
        (offered, used): (usize, usize),
        ask: impl FnOnce() -> SpareAnswer,
    ) -> SpareAnswer {
        let unasked = |because: String| SpareAnswer {
            because,
            ..SpareAnswer::bare(kind, (offered, used), Verdict::NotWorkedOut)
        };
        self.shows_spare(kind);
        // Whatever is found between a word to stop and the end rests on searches cut short.
        let answer = self.not_worked_out().is_none().then(ask);
        match (self.not_worked_out(), answer) {
            (None, Some(answer)) => answer,
            (words, _) => unasked(words.unwrap_or_default()),
        }
    }

    /// What is said in the place of a reason that was not found.
    pub(super) fn not_worked_out(&self) -> Option<String> {
        self.stopped().map(|when| format!("not worked out: stopped {when}"))
    }

    /// What the whole answer says of having been stopped.
    pub(super) fn stopped_note(&self) -> Option<String> {
        self.stopped().map(|when| {
            format!(
                "Stopped {when}, before the search had ended: the plans are the best found by then, \
                 and their bounds hold. Another run may find others."
            )
        })
    }
}
