//! The clock: a limit in seconds, and a line that says how far a long search is.

use std::io::{self, IsTerminal, Write};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use crate::solve::{Board, Shown, Watch};

/// Work that is over sooner needs no line.
const QUIET: Duration = Duration::from_secs(1);
/// Between two lines.
const PACE: Duration = Duration::from_millis(250);
/// Longest line: one more would wrap on the narrowest usual terminal. \[characters\]
const WIDTH: usize = 79;

/// Does work that is told to end after so many seconds, if that is said, and meanwhile says on a
/// terminal how far it is.
pub(super) fn watched<T>(seconds: Option<f64>, work: impl FnOnce(Watch) -> T) -> T {
    let talks = io::stderr().is_terminal();
    if seconds.is_none() && !talks {
        return work(Watch::default());
    }
    // One for each run of the program, so nothing is lost by keeping it.
    let board: &'static Board = Box::leak(Box::default());
    std::thread::scope(|scope| {
        let (at_work, over) = channel::<()>();
        scope.spawn(move || {
            let mut line = talks.then(Line::default);
            keep_watch(board, seconds, &over, &mut line);
            line.iter_mut().for_each(|line| line.show(""));
        });
        let done = work(Watch::on(board));
        drop(at_work);
        done
    })
}

/// Reads the clock until the work is over.
fn keep_watch(board: &Board, seconds: Option<f64>, over: &Receiver<()>, line: &mut Option<Line>) {
    let start = Instant::now();
    let limit = seconds.and_then(|s| Duration::try_from_secs_f64(s).ok());
    let mut is_told = false;
    loop {
        let left = limit.filter(|_| !is_told).map(|l| l.saturating_sub(start.elapsed()));
        if left.is_some_and(|left| left.is_zero()) {
            board.stop(&format!("after {} s", seconds.unwrap_or_default()));
            is_told = true;
            continue;
        }
        let wait = left.map_or(PACE, |left| left.min(PACE));
        if over.recv_timeout(wait) != Err(RecvTimeoutError::Timeout) {
            return;
        }
        if let Some(line) = line.as_mut().filter(|_| start.elapsed() >= QUIET) {
            line.show(&in_words(&board.shown(), start.elapsed()));
        }
    }
}

/// What is being done, the best so far, and what may be missed.
fn in_words(shown: &Shown, elapsed: Duration) -> String {
    if shown.doing.is_empty() {
        return String::new();
    }
    let reached = match shown.reached {
        Some((best, bound)) if best.is_finite() && bound.is_finite() => {
            let gap = 100.0 * ((bound - best) / best.abs().max(1.0)).max(0.0);
            format!(": best so far {best:.0} W less charges, gap {gap:.2} %")
        }
        Some(_) => ": no plan yet".to_owned(),
        None => String::new(),
    };
    format!("{:.0} s, {}{reached}", elapsed.as_secs_f64(), shown.doing)
}

/// A line on the terminal that is written over.
#[derive(Default)]
struct Line {
    /// Characters that stand there.
    stands: usize,
}

impl Line {
    fn show(&mut self, text: &str) {
        let text: String = text.chars().take(WIDTH).collect();
        let n = text.chars().count();
        if n == 0 && self.stands == 0 {
            return;
        }
        // What stood there before is written over; nothing else wipes it on every terminal.
        let rest = self.stands.saturating_sub(n);
        let mut out = io::stderr().lock();
        let back = if n == 0 { "\r" } else { "" };
        let _ = write!(out, "\r{text}{:rest$}{back}", "").and_then(|()| out.flush());
        self.stands = n;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_what_is_done_the_best_so_far_and_the_gap() {
        let shown = |reached| Shown { doing: "planning, touch free".to_owned(), reached };
        let elapsed = Duration::from_millis(3_200);
        assert_eq!(
            in_words(&shown(Some((5_000.0, 5_025.0))), elapsed),
            "3 s, planning, touch free: best so far 5000 W less charges, gap 0.50 %"
        );
        let none = in_words(&shown(Some((f64::NEG_INFINITY, 9.0))), elapsed);
        assert_eq!(none, "3 s, planning, touch free: no plan yet");
        assert_eq!(in_words(&Shown::default(), elapsed), "");
    }

    #[test]
    fn work_is_told_to_end_when_its_time_is_over_and_not_before() {
        let ends = watched(Some(0.02), |watch| {
            let begun = watch.stopped();
            let start = Instant::now();
            while !watch.is_stopped() && start.elapsed() < Duration::from_secs(20) {
                std::thread::sleep(Duration::from_millis(1));
            }
            (begun, watch.stopped())
        });
        assert_eq!(ends, (None, Some("after 0.02 s".to_owned())));
        assert_eq!(watched(Some(1e6), Watch::stopped), None);
    }
}
