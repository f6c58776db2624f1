//! Power over sun and air as a table, since a year asks for it thousands of times.

/// Steps of sun. They are quadratic, so that weak sun has narrow ones.
const SUN_STEPS: usize = 28;
/// Widest step of air temperature. \[K\]
const AIR_STEP: f64 = 5.0;

/// The nodes of a table: sun from just above nothing to its most, air from its least to its most.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Grid {
    most_sun: f64,
    least_air: f64,
    air_step: f64,
    n_air: usize,
}

impl Grid {
    /// A grid over what occurs. \[W/m²\], \[°C\]
    pub(super) fn over(most_sun: f64, (least_air, most_air): (f64, f64)) -> Self {
        let span = (most_air - least_air).max(1e-6);
        let n_steps = (span / AIR_STEP).ceil().max(1.0);
        Self { most_sun, least_air, air_step: span / n_steps, n_air: n_steps as usize + 1 }
    }

    /// Sun and air of every node, in the order of a table's values.
    pub(super) fn nodes(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        (0..=SUN_STEPS).flat_map(move |s| {
            // Not zero: what matters in the dark is the slope of power.
            let root = (s as f64).max(0.5) / SUN_STEPS as f64;
            let sun = self.most_sun * root * root;
            (0..self.n_air).map(move |t| (sun, self.least_air + t as f64 * self.air_step))
        })
    }

    /// Power under some sun and air, from power over sun at the nodes. \[W\]
    ///
    /// Power over sun, along the root of the sun, is nearly straight: a logarithm and a line.
    pub(super) fn power(&self, per_sun: &[f64], sun: f64, air: f64) -> f64 {
        let root = SUN_STEPS as f64 * (sun / self.most_sun).max(0.0).sqrt();
        let s = (root.floor() as usize).min(SUN_STEPS - 1);
        let lowest = if s == 0 { 0.5 } else { s as f64 };
        let along = ((root - lowest) / ((s + 1) as f64 - lowest)).clamp(0.0, 1.0);
        let t_all = ((air - self.least_air) / self.air_step).clamp(0.0, (self.n_air - 1) as f64);
        let t = (t_all.floor() as usize).min(self.n_air - 2);
        let across = t_all - t as f64;
        let at = |s: usize, t: usize| per_sun[s * self.n_air + t];
        let row = |s: usize| at(s, t) * (1.0 - across) + at(s, t + 1) * across;
        sun * (row(s) * (1.0 - along) + row(s + 1) * along)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_gives_back_its_nodes() {
        let grid = Grid::over(1100.0, (-12.0, 31.0));
        let f = |sun: f64, air: f64| sun * (0.7 + 0.02 * (sun + 1.0).ln() - 0.002 * air);
        let per_sun: Vec<f64> = grid.nodes().map(|(sun, air)| f(sun, air) / sun).collect();
        for (sun, air) in grid.nodes() {
            assert!((grid.power(&per_sun, sun, air) - f(sun, air)).abs() < 1e-9);
        }
        for (sun, air) in [(3.0, 0.0), (60.0, -3.3), (777.0, 29.0), (1100.0, 31.0)] {
            let power = grid.power(&per_sun, sun, air);
            assert!((power / f(sun, air) - 1.0).abs() < 2e-3, "{sun} {air}: {power}");
        }
        assert_eq!(grid.power(&per_sun, 0.0, 10.0), 0.0);
    }

    #[test]
    fn one_air_temperature_is_enough_for_a_table() {
        let grid = Grid::over(900.0, (10.0, 10.0));
        let per_sun: Vec<f64> = grid.nodes().map(|_| 0.5).collect();
        assert!((grid.power(&per_sun, 400.0, 10.0) - 200.0).abs() < 1e-9);
    }
}
