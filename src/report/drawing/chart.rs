//! A chart: a frame with two scales, few ticks, lines and dots in it.

use super::letters::width;
use super::svg::{Canvas, Fill, Pen, Type};
use crate::report::numbers::plain;

/// Where a chart stands and what its edges mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chart {
    /// Left and upper edge.
    pub(super) at: (f64, f64),
    pub(super) size: (f64, f64),
    /// What its left and right edges mean.
    pub(super) across: (f64, f64),
    /// What its lower and upper edges mean.
    pub(super) up: (f64, f64),
}

impl Chart {
    pub(super) fn x(&self, value: f64) -> f64 {
        self.at.0 + self.size.0 * (value - self.across.0) / (self.across.1 - self.across.0)
    }

    pub(super) fn y(&self, value: f64) -> f64 {
        self.bottom() - self.size.1 * (value - self.up.0) / (self.up.1 - self.up.0)
    }

    pub(super) fn point(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.x(x), self.y(y))
    }

    pub(super) fn right(&self) -> f64 {
        self.at.0 + self.size.0
    }

    pub(super) fn bottom(&self) -> f64 {
        self.at.1 + self.size.1
    }

    /// Both axes, with ticks and figures on the left one, and its title above it.
    pub(super) fn draw_axes(&self, canvas: &mut Canvas, title: &str) {
        canvas.text((4.0, self.at.1 - 10.0), title, Type::START);
        for tick in ticks(self.up, 4.0) {
            let y = self.y(tick);
            if tick > self.up.0 {
                canvas.line(&[(self.at.0, y), (self.right(), y)], Pen { width: 0.3, ..Pen::HAIR });
            }
            canvas.line(&[(self.at.0 - 4.0, y), (self.at.0, y)], Pen::THIN);
            canvas.text((self.at.0 - 7.0, y + 4.5), &plain(tick, 3), Type::END);
        }
        let corner = (self.at.0, self.bottom());
        canvas.line(&[self.at, corner, (self.right(), self.bottom())], Pen::THIN);
    }

    /// Ticks and figures below, and the title under them.
    pub(super) fn draw_scale_below(&self, canvas: &mut Canvas, title: &str, ticks: &[f64]) {
        for tick in ticks {
            let x = self.x(*tick);
            canvas.line(&[(x, self.bottom()), (x, self.bottom() + 4.0)], Pen::THIN);
            canvas.text((x, self.bottom() + 17.0), &plain(*tick, 3), Type::MIDDLE);
        }
        canvas.text((self.right(), self.bottom() + 34.0), title, Type::END);
    }
}

/// About `wanted` round values between two.
pub(super) fn ticks(range: (f64, f64), wanted: f64) -> Vec<f64> {
    let step = round_step((range.1 - range.0) / wanted);
    let first = (range.0 / step - 1e-9).ceil() as i64;
    let last = (range.1 / step + 1e-9).floor() as i64;
    (first..=last).map(|i| i as f64 * step).collect()
}

/// 1, 2 or 5 times a power of ten, at least as large.
pub(super) fn round_step(least: f64) -> f64 {
    let power = 10f64.powf(least.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0];
    let step = steps.into_iter().find(|s| s * power >= least * (1.0 - 1e-9));
    step.unwrap_or(10.0) * power
}

/// Where one works: a ringed dot.
pub(super) fn ringed_dot(canvas: &mut Canvas, at: (f64, f64)) {
    canvas.circle(at, RING, Pen::THIN, Fill::None);
    canvas.circle(at, 3.0, Pen::THIN, Fill::Ink);
}

/// Another place one might come to: a hollow dot.
pub(super) fn hollow_dot(canvas: &mut Canvas, at: (f64, f64)) {
    canvas.circle(at, 4.0, Pen { width: 1.5, ..Pen::THIN }, Fill::Paper);
}

/// Radius of the ring.
pub(super) const RING: f64 = 7.0;

/// Room for the figures of a scale, left of a chart.
pub(super) fn figures_width(ups: &[(f64, f64)]) -> f64 {
    let figures = ups.iter().flat_map(|up| ticks(*up, 4.0));
    figures.map(|tick| width(&plain(tick, 3))).fold(0.0, f64::max) + 12.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_few_and_round() {
        assert_eq!(ticks((0.0, 97.0), 4.0), [0.0, 50.0]);
        assert_eq!(ticks((0.0, 9.4), 4.0), [0.0, 5.0]);
        assert_eq!(ticks((600.0, 850.0), 4.0), [600.0, 700.0, 800.0]);
    }
}
