//! How far the work has come, on a terminal alone, and what a journal keeps of it.

use std::io::{self, IsTerminal, Write};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::journal::Journal;
use crate::plan::{OfferRecord, Stage};
use crate::planner::Progress;

/// Shortest time between two lines: faster than this nobody reads.
const PAUSE: Duration = Duration::from_millis(200);

/// Watches over one piece of work.
pub(super) struct Watch<'j> {
    journal: Option<&'j Journal>,
    line: Option<Mutex<Line>>,
}

/// What stands on the terminal.
struct Line {
    shown: Option<Instant>,
    width: usize,
    /// When the work began that is shown now.
    work_began: Instant,
    work: &'static str,
}

impl<'j> Watch<'j> {
    /// Begins to watch.
    pub(super) fn new(journal: Option<&'j Journal>) -> Self {
        let began = Instant::now();
        let line = io::stderr()
            .is_terminal()
            .then(|| Mutex::new(Line { shown: None, width: 0, work_began: began, work: "" }));
        Self { journal, line }
    }

    /// Clears the line.
    pub(super) fn done(&self) {
        self.show("");
    }

    fn show(&self, text: &str) {
        let Some(line) = &self.line else { return };
        let mut line = line.lock().unwrap_or_else(PoisonError::into_inner);
        let width = text.chars().count();
        let over = " ".repeat(line.width.saturating_sub(width));
        // If nobody listens, nobody is missed.
        let _ = write!(
            io::stderr().lock(),
            "\r{text}{over}{}",
            if text.is_empty() { "\r" } else { "" }
        );
        let _ = io::stderr().flush();
        line.width = width;
        line.shown = Some(Instant::now());
    }

    /// So much of some work is done.
    pub(super) fn count(&self, work: &'static str, done: usize, of: usize) {
        if let Some(run) = self.due(work) {
            self.show(&format!("{work}: {done} of {of}{}", time_left(done, of, run)));
        }
    }

    /// Is it time for another line? If so, how long the work has run.
    fn due(&self, work: &'static str) -> Option<Duration> {
        let mut line = self.line.as_ref()?.lock().unwrap_or_else(PoisonError::into_inner);
        if work != line.work {
            (line.work, line.work_began, line.shown) = (work, Instant::now(), None);
        }
        let due = line.shown.is_none_or(|at| at.elapsed() >= PAUSE);
        due.then(|| line.work_began.elapsed())
    }
}

impl Progress for Watch<'_> {
    fn at(&self, stage: Stage) {
        match stage {
            Stage::Alone { done, of } => self.count("asking sites", done, of),
            Stage::Audit { done, of } => self.count("checking wirings", done, of),
            Stage::Prices { round, gap } => {
                if self.due("sharing out").is_some() {
                    self.show(&format!("sharing out: round {round}{}", within(gap)));
                }
            }
            Stage::Whole { gap } => {
                if self.due("whole panels").is_some() {
                    self.show(&format!("whole panels{}", within(gap)));
                }
            }
        }
    }

    fn met(&self, offer: &OfferRecord) {
        if let Some(journal) = self.journal {
            journal.keep(offer);
        }
    }
}

fn within(gap: f64) -> String {
    if gap.is_finite() {
        format!(", within {:.1} % of the best", 100.0 * gap)
    } else {
        String::new()
    }
}

/// How long the rest takes if it goes on like this; nothing before it can be told.
fn time_left(done: usize, of: usize, run: Duration) -> String {
    if done == 0 || done >= of || run < Duration::from_secs(1) {
        return String::new();
    }
    let left = run.as_secs_f64() * (of - done) as f64 / done as f64;
    match left.ceil() {
        s if s < 90.0 => format!(", about {s:.0} s left"),
        s if s < 5400.0 => format!(", about {:.0} min left", (s / 60.0).ceil()),
        s => format!(", about {:.1} h left", s / 3600.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_time_left_is_told_once_it_is_known() {
        let left = |done, of, s| time_left(done, of, Duration::from_secs(s));
        assert_eq!(left(0, 1000, 5), "");
        assert_eq!(left(100, 1000, 0), "");
        assert_eq!(left(100, 1000, 5), ", about 45 s left");
        assert_eq!(left(100, 1000, 60), ", about 9 min left");
        assert_eq!(left(100, 10_000, 600), ", about 16.5 h left");
        assert_eq!(left(1000, 1000, 60), "");
    }
}
