//! What comes from the sun and from the rest of the sky.

/// Irradiance outside the air, facing the sun, at the mean distance. \[W/m²\]
///
/// ASTM E490-00a, from memory, check your edition. Newer measurements have 1361.
const SOLAR_CONSTANT: f64 = 1366.1;

/// Irradiance outside the air, facing the sun, on a day of the year. \[W/m²\]
///
/// J.W. Spencer, Search 2(5), 1971, the series as reprinted in Duffie and Beckman, eq. 1.4.1b.
#[must_use]
pub fn extraterrestrial(day_of_year: f64) -> f64 {
    let b = std::f64::consts::TAU * (day_of_year - 1.0) / 365.0;
    SOLAR_CONSTANT
        * (1.000_11
            + 0.034_221 * b.cos()
            + 0.001_28 * b.sin()
            + 0.000_719 * (2.0 * b).cos()
            + 0.000_077 * (2.0 * b).sin())
}

/// Share of diffuse light on the horizontal, from the hour's clearness.
///
/// Clearness is global irradiance over what would come without the air, both on the horizontal.
/// D.G. Erbs, S.A. Klein, J.A. Duffie, Solar Energy 28(4), 1982, doi:10.1016/0038-092X(82)90302-4.
#[must_use]
pub fn diffuse_fraction(clearness: f64) -> f64 {
    let k = clearness.max(0.0);
    if k <= 0.22 {
        1.0 - 0.09 * k
    } else if k <= 0.8 {
        0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)))
    } else {
        0.165
    }
}

/// What one looks up at. \[W/m²\]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sky {
    /// Global irradiance on the horizontal.
    pub global: f64,
    /// Direct irradiance, facing the sun.
    pub direct: f64,
    /// Diffuse irradiance on the horizontal.
    pub diffuse: f64,
    /// What would come facing the sun without the air.
    pub outside: f64,
}

impl Sky {
    /// A sky known by its global irradiance alone, split by [`diffuse_fraction`].
    #[must_use]
    pub fn from_global(global: f64, outside: f64, cos_zenith: f64) -> Self {
        // With the sun less than 4° high, clearness counts as with it 4° high: there the split is no
        // guide (common practice, no source).
        const LEAST_COS: f64 = 0.065;
        if cos_zenith <= 0.0 {
            return Self { global, direct: 0.0, diffuse: global, outside };
        }
        let fraction = diffuse_fraction(global / (outside * cos_zenith.max(LEAST_COS)));
        let direct = (global * (1.0 - fraction) / cos_zenith).min(outside);
        Self { global, direct, diffuse: global - direct * cos_zenith, outside }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// J.A. Duffie and W.A. Beckman, fig. 1.4.1: about 1412 W/m² on 1 January with 1367 W/m², and
    /// ±3.3 % over the year.
    #[test]
    fn the_sun_is_nearest_in_january() {
        assert!((extraterrestrial(1.0) - 1414.0).abs() < 1.0);
        assert!((extraterrestrial(185.0) / SOLAR_CONSTANT - 0.967).abs() < 0.001);
    }

    /// Computed by an independent program from the paper's polynomial.
    #[test]
    fn the_diffuse_share_is_the_correlations() {
        for (k, fraction) in [(0.22, 0.9802), (0.4, 0.8400), (0.6, 0.4395)] {
            assert!((diffuse_fraction(k) - fraction).abs() < 5e-5, "{k}");
        }
    }

    /// From the tests of pvlib 0.16.1 for the same correlation on day 1: 50 W/m² with the sun 5°
    /// high, 1000 W/m² with it 80° high.
    #[test]
    fn a_global_irradiance_is_split_as_by_another_library() {
        for (global, zenith, clearness, diffuse) in
            [(50.0_f64, 85.0_f64, 0.4057, 41.57), (1000.0, 10.0, 0.7181, 217.86)]
        {
            let cos = zenith.to_radians().cos();
            let k = global / (extraterrestrial(1.0) * cos);
            assert!((k - clearness).abs() < 1e-4, "{k}");
            let sky = Sky::from_global(global, extraterrestrial(1.0), cos);
            assert!((sky.diffuse - diffuse).abs() < 0.02, "{sky:?}");
            assert!((sky.diffuse + sky.direct * cos - global).abs() < 1e-9);
        }
    }

    #[test]
    fn after_sunset_all_light_is_diffuse() {
        let sky = Sky::from_global(3.0, 1400.0, -0.01);
        assert_eq!((sky.direct, sky.diffuse), (0.0, 3.0));
    }
}
