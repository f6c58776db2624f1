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

/// Direct light, facing the sun, as a share of what would come without the air.
///
/// From the hour's clearness (global irradiance over what would come without the air, both on the
/// horizontal) and the sun's height. E.L. Maxwell, SERI/TR-215-3087, 1987, without its correction for
/// air pressure; 0 where the sun is less than 3° high, for which it was not made.
#[must_use]
pub fn direct_share(clearness: f64, cos_zenith: f64) -> f64 {
    if cos_zenith < LEAST_COS_ZENITH {
        return 0.0;
    }
    let k = clearness.clamp(0.0, 1.0);
    let mass = air_mass(cos_zenith).min(12.0);
    let (a, b, c) = if k <= 0.6 {
        (
            0.512 + k * (-1.56 + k * (2.286 - 2.222 * k)),
            0.37 + 0.962 * k,
            -0.28 + k * (0.932 - 2.048 * k),
        )
    } else {
        (
            -5.743 + k * (21.77 + k * (-27.49 + 11.56 * k)),
            41.4 + k * (-118.5 + k * (66.05 + 31.9 * k)),
            -47.01 + k * (184.2 + k * (-222.0 + 73.81 * k)),
        )
    };
    let clear = 0.866 + mass * (-0.122 + mass * (0.0121 + mass * (-0.000_653 + 1.4e-5 * mass)));
    (clear - a - b * (c * mass).exp()).max(0.0)
}

/// Cosine of 87°.
const LEAST_COS_ZENITH: f64 = 0.052_336;

/// Way of the light through the air, 1 for a sun overhead.
///
/// F. Kasten, Archiv für Meteorologie, Geophysik und Bioklimatologie B 14, 1966, from memory, check
/// your copy.
fn air_mass(cos_zenith: f64) -> f64 {
    let zenith = cos_zenith.clamp(-1.0, 1.0).acos().to_degrees();
    1.0 / (cos_zenith + 0.15 * (93.885 - zenith).powf(-1.253))
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
    /// A sky known by its global irradiance alone, split by [`direct_share`].
    #[must_use]
    pub fn from_global(global: f64, outside: f64, cos_zenith: f64) -> Self {
        if cos_zenith <= 0.0 || global <= 0.0 {
            return Self { global, direct: 0.0, diffuse: global, outside };
        }
        let share = direct_share(global / (outside * cos_zenith), cos_zenith);
        let direct = (outside * share).min(global / cos_zenith);
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

    /// Global irradiance, zenith angle, direct irradiance.
    const REFERENCE: [(f64, f64, f64); 8] = [
        (50.0, 85.0, 232.27),
        (1000.0, 10.0, 611.41),
        (120.0, 60.0, 0.0),
        (250.0, 70.0, 380.82),
        (400.0, 60.0, 424.13),
        (550.0, 45.0, 308.31),
        (700.0, 30.0, 307.51),
        (80.0, 80.0, 84.85),
    ];

    /// Computed by pvlib 0.16.1 (`irradiance.disc` on day 1, without pressure). \[W/m²\], \[°\]
    #[test]
    fn direct_light_is_another_librarys() {
        for (global, zenith, direct) in REFERENCE {
            let cos = f64::to_radians(zenith).cos();
            // That library takes 1370 W/m² at the mean distance for this.
            let outside = extraterrestrial(1.0) * 1370.0 / SOLAR_CONSTANT;
            let sky = Sky::from_global(global, outside, cos);
            assert!((sky.direct - direct).abs() < 0.3, "{global} {zenith}: {sky:?}");
            assert!((sky.diffuse + sky.direct * cos - global).abs() < 1e-9);
        }
    }

    #[test]
    fn of_equal_clearness_the_lower_sun_is_the_more_direct() {
        // Under a low sun a clear sky itself is less clear, so that the rest cannot be cloud.
        assert!(direct_share(0.5, 0.2) > direct_share(0.5, 0.8));
    }

    #[test]
    fn after_sunset_all_light_is_diffuse() {
        let sky = Sky::from_global(3.0, 1400.0, -0.01);
        assert_eq!((sky.direct, sky.diffuse), (0.0, 3.0));
    }
}
