//! Clear and overcast days behind a monthly mean.

use crate::units::whole_power;

/// The most overcast day there is, as clearness (the paper's).
const K_MIN: f64 = 0.05;
/// Below this mean, and near the clearest day there is, days are taken as all alike: the
/// correlation was not made for it.
const LEAST_MEAN: f64 = 0.10;
/// How near.
const LEAST_ROOM: f64 = 0.02;
/// Points over which a class is averaged; more change no fourth decimal.
const PARTS: usize = 10;

/// Clearness of five equally likely days in a month with a mean clearness, in ascending order.
///
/// One mean day would be 16 % low to 5 % high with a tilt and an output limit.
/// P. Bendt, M. Collares-Pereira, A. Rabl, Solar Energy 27(1), 1981,
/// doi:10.1016/0038-092X(81)90013-X (coefficients from memory, check your copy); scaled so that the
/// five have the mean asked for.
#[must_use]
pub fn clearness_classes(mean: f64) -> [f64; 5] {
    let k_max = 0.6313 + 0.267 * mean - 11.9 * whole_power(mean - 0.75, 8);
    if mean < LEAST_MEAN || k_max - mean < LEAST_ROOM {
        return [mean; 5];
    }
    let xi = (k_max - K_MIN) / (k_max - mean);
    let gamma = -1.498 + (1.184 * xi - 27.182 * (-1.5 * xi).exp()) / (k_max - K_MIN);
    let at = |f: f64| {
        if gamma.abs() < 1e-6 {
            return K_MIN + f * (k_max - K_MIN);
        }
        ((1.0 - f) * (gamma * K_MIN).exp() + f * (gamma * k_max).exp()).ln() / gamma
    };
    // The mean of a class, not its middle: the distribution bends.
    let class = |idx: usize| {
        let part = |p: usize| at((idx as f64 + (p as f64 + 0.5) / PARTS as f64) / 5.0);
        (0..PARTS).map(part).sum::<f64>() / PARTS as f64
    };
    let classes: [f64; 5] = std::array::from_fn(class);
    let found = classes.iter().sum::<f64>() / 5.0;
    classes.map(|k| k * mean / found)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed by an independent program from the same correlation.
    #[test]
    fn the_classes_of_a_half_clear_month_are_the_correlations() {
        let expected = [0.1952, 0.4001, 0.5377, 0.6417, 0.7253];
        for (found, expected) in clearness_classes(0.5).into_iter().zip(expected) {
            assert!((found - expected).abs() < 1e-4, "{found} not {expected}");
        }
    }

    #[test]
    fn classes_keep_the_mean_ascend_and_stay_possible() {
        for step in 0..=90 {
            let mean = f64::from(step) / 100.0;
            let classes = clearness_classes(mean);
            assert!((classes.iter().sum::<f64>() / 5.0 - mean).abs() < 1e-12);
            assert!(classes.windows(2).all(|k| k[0] <= k[1]), "{mean}: {classes:?}");
            assert!(classes.iter().all(|k| (0.0..=0.95).contains(k)), "{mean}: {classes:?}");
        }
    }
}
