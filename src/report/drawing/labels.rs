//! Finds a free place for each label of a chart.

use super::letters::{SIZE, width};
use super::svg::Anchor;

/// A rectangle by its edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Room {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Room {
    /// What a text takes.
    pub(super) fn of_text(at: (f64, f64), text: &str, anchor: Anchor) -> Self {
        let wide = width(text);
        let left = match anchor {
            Anchor::Start => at.0,
            Anchor::Middle => at.0 - wide / 2.0,
            Anchor::End => at.0 - wide,
        };
        Self { left, top: at.1 - SIZE * 0.8, right: left + wide, bottom: at.1 + SIZE * 0.25 }
    }

    /// A square around a point.
    pub(super) fn around(at: (f64, f64), half: f64) -> Self {
        Self { left: at.0 - half, top: at.1 - half, right: at.0 + half, bottom: at.1 + half }
    }

    fn meets(&self, other: &Self) -> bool {
        const APART: f64 = 2.0;
        self.left < other.right + APART
            && other.left < self.right + APART
            && self.top < other.bottom + APART
            && other.top < self.bottom + APART
    }

    fn lies_in(&self, other: &Self) -> bool {
        other.left <= self.left
            && self.right <= other.right
            && other.top <= self.top
            && self.bottom <= other.bottom
    }
}

/// A place that a label may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Candidate {
    pub(super) at: (f64, f64),
    pub(super) anchor: Anchor,
    /// How much worse than the best, in points of a line lain over.
    pub(super) cost: usize,
}

/// What stands in one chart already.
#[derive(Debug, Clone)]
pub(super) struct Labels {
    bounds: Room,
    taken: Vec<Room>,
    /// Points along the lines, close to each other.
    lines: Vec<(f64, f64)>,
}

impl Labels {
    pub(super) fn new(bounds: Room) -> Self {
        Self { bounds, taken: Vec::new(), lines: Vec::new() }
    }

    /// Nothing may be written there.
    pub(super) fn take(&mut self, room: Room) {
        self.taken.push(room);
    }

    /// A line that labels should not lie on.
    pub(super) fn add_line(&mut self, points: &[(f64, f64)]) {
        for pair in points.windows(2) {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            let steps = ((x1 - x0).hypot(y1 - y0) / 3.0).ceil().max(1.0) as usize;
            self.lines.extend((0..=steps).map(|i| {
                let part = i as f64 / steps as f64;
                (x0 + (x1 - x0) * part, y0 + (y1 - y0) * part)
            }));
        }
    }

    /// The candidate of least cost, with the lines that lie on it; never one that meets another label
    /// or leaves the chart. `None` if there is none.
    pub(super) fn place(&mut self, text: &str, candidates: &[Candidate]) -> Option<Candidate> {
        let best = candidates
            .iter()
            .filter_map(|c| {
                let room = Room::of_text(c.at, text, c.anchor);
                let free = room.lies_in(&self.bounds) && !self.taken.iter().any(|t| t.meets(&room));
                free.then(|| (self.lines_in(&room) + c.cost, *c, room))
            })
            .min_by_key(|(cost, ..)| *cost);
        let (_, candidate, room) = best?;
        self.taken.push(room);
        Some(candidate)
    }

    fn lines_in(&self, room: &Room) -> usize {
        let within = |(x, y): &&(f64, f64)| {
            room.left - 1.0 <= *x
                && *x <= room.right + 1.0
                && room.top - 1.0 <= *y
                && *y <= room.bottom + 1.0
        };
        self.lines.iter().filter(within).count()
    }
}

/// Places around a dot, from the best.
pub(super) fn around_dot(at: (f64, f64), off: f64) -> Vec<Candidate> {
    let (x, y) = at;
    let mut found = Vec::new();
    for (i, reach) in [1.0, 2.0, 3.5, 5.5, 8.0].into_iter().enumerate() {
        let (side, up) = (off * reach, off * reach);
        for (dx, dy, anchor) in [
            (0.0, -up, Anchor::Middle),
            (side, -up, Anchor::Start),
            (-side, -up, Anchor::End),
            (side, 4.5, Anchor::Start),
            (-side, 4.5, Anchor::End),
            (side, up + 10.0, Anchor::Start),
            (-side, up + 10.0, Anchor::End),
            (0.0, up + 10.0, Anchor::Middle),
        ] {
            found.push(Candidate { at: (x + dx, y + dy), anchor, cost: 12 * i });
        }
    }
    found
}

/// Places along a line, beginning at its middle, above and below it.
pub(super) fn along_line(points: &[(f64, f64)]) -> Vec<Candidate> {
    let n = points.len();
    let mut at: Vec<usize> = (0..n).collect();
    at.sort_by_key(|i| i.abs_diff(n / 2));
    let both = |i: usize| {
        let (x, y) = points[i];
        let spots = [
            (x, y - 5.0, Anchor::Middle),
            (x, y + 14.0, Anchor::Middle),
            (x - 6.0, y + 4.5, Anchor::End),
            (x + 6.0, y + 4.5, Anchor::Start),
            (x - 5.0, y - 6.0, Anchor::End),
            (x + 7.0, y + 14.0, Anchor::Start),
        ];
        spots.map(|(x, y, anchor)| Candidate { at: (x, y), anchor, cost: 0 })
    };
    at.into_iter().flat_map(both).collect()
}
