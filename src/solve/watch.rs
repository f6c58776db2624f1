//! What a search shows of itself while it works, and where it is told to stop.
//!
//! A search reads no clock: whoever watches it does, and puts a word on the board. Without a board
//! every search takes its counts of work, and the same question has the same answer.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

/// Shared between a search and whoever watches it.
#[derive(Debug, Default)]
pub struct Board {
    stop: AtomicBool,
    why: Mutex<String>,
    shown: Mutex<Shown>,
}

/// What is being done, and how far it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shown {
    /// In words; empty before anything is done.
    pub doing: String,
    /// The best value so far, and a bound that nothing exceeds.
    pub reached: Option<(f64, f64)>,
}

impl Board {
    /// Tells the search to end with what it has; `why` is repeated in the answer.
    pub fn stop(&self, why: &str) {
        why.clone_into(&mut self.why.lock().unwrap_or_else(PoisonError::into_inner));
        self.stop.store(true, Ordering::Release);
    }

    /// What the search shows at this moment.
    #[must_use]
    pub fn shown(&self) -> Shown {
        self.shown.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn change(&self, change: impl FnOnce(&mut Shown)) {
        change(&mut self.shown.lock().unwrap_or_else(PoisonError::into_inner));
    }
}

/// A search's own view of a board, or of none.
#[derive(Debug, Clone, Copy, Default)]
pub struct Watch {
    board: Option<&'static Board>,
    is_quiet: bool,
}

/// The same board.
impl PartialEq for Watch {
    fn eq(&self, other: &Self) -> bool {
        let address = |watch: &Self| watch.board.map(std::ptr::from_ref);
        address(self) == address(other) && self.is_quiet == other.is_quiet
    }
}

impl Watch {
    /// Shows on a board, and stops when it says so.
    #[must_use]
    pub fn on(board: &'static Board) -> Self {
        Self { board: Some(board), is_quiet: false }
    }

    /// Stops when the board says so, and shows nothing: for a part of a larger question.
    #[must_use]
    pub fn quietly(self) -> Self {
        Self { is_quiet: true, ..self }
    }

    /// Is the search to end with what it has?
    #[must_use]
    pub fn is_stopped(self) -> bool {
        self.board.is_some_and(|board| board.stop.load(Ordering::Relaxed))
    }

    /// Why the search was told to end, if it was.
    #[must_use]
    pub fn stopped(self) -> Option<String> {
        let board = self.board.filter(|board| board.stop.load(Ordering::Acquire))?;
        Some(board.why.lock().unwrap_or_else(PoisonError::into_inner).clone())
    }

    /// Shows what is being done.
    pub fn doing(self, words: impl FnOnce() -> String) {
        if let Some(board) = self.board {
            board.change(|shown| *shown = Shown { doing: words(), reached: None });
        }
    }

    /// Shows the best value so far and a bound.
    pub(super) fn reached(self, best: f64, bound: f64) {
        if let Some(board) = self.board.filter(|_| !self.is_quiet) {
            board.change(|shown| shown.reached = Some((best, bound)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quiet_watch_obeys_and_shows_nothing() {
        let board: &'static Board = Box::leak(Box::default());
        let watch = Watch::on(board);
        watch.doing(|| "this".to_owned());
        watch.reached(1.0, 2.0);
        watch.quietly().reached(5.0, 6.0);
        assert_eq!(board.shown(), Shown { doing: "this".to_owned(), reached: Some((1.0, 2.0)) });
        assert!(!watch.is_stopped());
        assert_eq!(watch.stopped(), None);
        board.stop("after 5 s");
        assert!(watch.is_stopped() && watch.quietly().is_stopped());
        assert_eq!(watch.quietly().stopped().as_deref(), Some("after 5 s"));
        assert!(!Watch::default().is_stopped());
    }
}
