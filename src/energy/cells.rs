//! Hours with like light on several planes, put together, since a year asks for power thousands of times.

use super::SunHour;
use super::split::split_up;

/// Most cells.
const MOST: usize = 400;
/// Air that counts as much as a plane's sun from none to the brightest. \[K\]
const AIR_LIKE_SUN: f64 = 120.0;

/// Hours of a year in cells of like light and air.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cells {
    /// The mean of each cell: irradiance on every plane \[W/m²\], and air \[°C\].
    means: Vec<(Vec<f64>, f64)>,
    /// The cell of each hour.
    cell: Vec<usize>,
}

impl Cells {
    /// Puts hours together.
    pub(super) fn of(hours: &[SunHour]) -> Self {
        let most = hours.iter().flat_map(|h| &h.sun).copied().fold(1.0, f64::max);
        // The root, so that weak sun is told apart more finely.
        let figures = |h: &usize| -> Vec<f64> {
            let suns = hours[*h].sun.iter().map(|sun| (sun / most).max(0.0).sqrt());
            suns.chain([hours[*h].air / AIR_LIKE_SUN]).collect()
        };
        let energy = |h: &usize| hours[*h].hours * hours[*h].sun.iter().sum::<f64>();
        let mut classes = split_up((0..hours.len()).collect(), MOST, figures, energy);
        classes.retain(|class| !class.is_empty());
        let mut cell = vec![0; hours.len()];
        for (c, class) in classes.iter().enumerate() {
            class.iter().for_each(|h| cell[*h] = c);
        }
        let mean = |class: &Vec<usize>| {
            let lasts: f64 = class.iter().map(|h| hours[*h].hours).sum();
            let of = |figure: &dyn Fn(&SunHour) -> f64| {
                class.iter().map(|h| hours[*h].hours * figure(&hours[*h])).sum::<f64>() / lasts
            };
            let n_planes = class.first().map_or(0, |h| hours[*h].sun.len());
            ((0..n_planes).map(|p| of(&|hour| hour.sun[p])).collect(), of(&|hour| hour.air))
        };
        Self { means: classes.iter().map(mean).collect(), cell }
    }

    /// Sun on every plane and air of every cell.
    pub(super) fn nodes(&self) -> impl Iterator<Item = (Vec<f64>, f64)> + '_ {
        self.means.iter().cloned()
    }

    /// The cell that an hour lies in.
    pub(super) fn of_hour(&self, hour: usize) -> usize {
        self.cell[hour]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hour(k: usize) -> SunHour {
        let sun = vec![(k % 40) as f64 * 25.0, (k / 40) as f64 * 40.0];
        SunHour { month: 0, hours: 2.0, air: (k % 7) as f64, sun }
    }

    #[test]
    fn every_hour_has_a_cell_near_it_and_each_plane_keeps_its_energy() {
        let hours: Vec<SunHour> = (1..1000).map(hour).collect();
        let cells = Cells::of(&hours);
        let nodes: Vec<_> = cells.nodes().collect();
        assert_eq!(nodes.len(), MOST);
        for p in 0..2 {
            let all: f64 = hours.iter().map(|h| h.sun[p]).sum();
            let kept: f64 = (0..hours.len()).map(|h| nodes[cells.of_hour(h)].0[p]).sum();
            assert!((kept - all).abs() < 1e-6 * all, "plane {p}: {kept} of {all}");
        }
        for (h, hour) in hours.iter().enumerate() {
            let (sun, _) = &nodes[cells.of_hour(h)];
            let off = hour.sun.iter().zip(sun).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            assert!(off < 60.0, "hour {h} is {off} W/m² off");
        }
    }
}
