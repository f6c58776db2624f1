//! What falls on a tilted plane.

use super::{Sky, SunPosition};

/// Share of light that the ground throws back: grass, bare soil (common practice, no source).
const GROUND_REFLECTANCE: f64 = 0.2;
/// Below this height of the sun the bright ring around it fades into the even sky, so that it stays
/// finite: one degree above the horizon (ours). \[cosine of the zenith angle\]
const LEAST_COS_ZENITH: f64 = 0.017_45;

/// A plane under the sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    /// From horizontal. \[°\]
    pub tilt_deg: f64,
    /// Where it faces, clockwise from north. \[°\]
    pub azimuth_deg: f64,
    /// Share of the light from the sun, and from close around it, that shade takes.
    pub shade: f64,
}

impl Plane {
    /// Cosine of the angle between the sun and the plane's normal; negative from behind.
    ///
    /// J.A. Duffie and W.A. Beckman, Solar Engineering of Thermal Processes, eq. 1.6.3.
    #[must_use]
    pub fn cos_incidence(&self, sun: SunPosition) -> f64 {
        let (tilt, elevation) = (self.tilt_deg.to_radians(), sun.elevation_deg.to_radians());
        let turn = (sun.azimuth_deg - self.azimuth_deg).to_radians();
        elevation.sin() * tilt.cos() + elevation.cos() * tilt.sin() * turn.cos()
    }

    /// Irradiance on the plane. \[W/m²\]
    ///
    /// Direct light by the angle of incidence; of the diffuse light, the share that the air lets
    /// through comes from around the sun and the rest evenly from the sky; the ground reflects.
    /// J.E. Hay and J.A. Davies, Proc. First Canadian Solar Radiation Data Workshop, 1980.
    #[must_use]
    pub fn irradiance(&self, sky: Sky, sun: SunPosition) -> f64 {
        let anisotropy = (sky.direct / sky.outside).clamp(0.0, 1.0);
        self.irradiance_with(sky, sun, anisotropy, GROUND_REFLECTANCE)
    }

    /// The same with the share of diffuse light that comes from around the sun, and the ground's
    /// reflectance, given. With no such share it is the even sky of Liu and Jordan.
    fn irradiance_with(
        &self,
        sky: Sky,
        sun: SunPosition,
        anisotropy: f64,
        reflectance: f64,
    ) -> f64 {
        let facing = self.cos_incidence(sun).max(0.0) * (1.0 - self.shade);
        let up = sun.cos_zenith();
        let cos_tilt = self.tilt_deg.to_radians().cos();
        // Also from just below the horizon: the middle of an hour in which the sun rises may be dark.
        let direct = sky.direct * facing;
        let even = 0.5 * (1.0 + cos_tilt);
        let diffuse = if up > 0.0 {
            let ring = anisotropy * (up / LEAST_COS_ZENITH).min(1.0);
            sky.diffuse * (ring * facing / up + (1.0 - ring) * even)
        } else {
            sky.diffuse * even
        };
        direct + diffuse + sky.global * reflectance * 0.5 * (1.0 - cos_tilt)
    }
}

#[cfg(test)]
mod tests {
    use super::super::day::declination;
    use super::*;

    /// J.A. Duffie and W.A. Beckman, example 1.6.1: 43° N, tilt 45°, 15° west of south, 10:30 on
    /// 13 February: declination −14°, incidence 35.0°.
    #[test]
    fn the_angle_of_incidence_is_that_of_the_textbook() {
        // The book rounds its simpler series, which is up to 0.4° off the one used here.
        assert!((declination(44.0) - -14.0).abs() < 0.4, "{}", declination(44.0));
        let plane = Plane { tilt_deg: 45.0, azimuth_deg: 195.0, shade: 0.0 };
        let sun = SunPosition::at_hour_angle(43.0, -14.0, -22.5);
        // Its three-figure sum of 0.817 is 35.2° rather than the 35.0° printed.
        assert!((plane.cos_incidence(sun).acos().to_degrees() - 35.0).abs() < 0.2);
    }

    /// J.A. Duffie and W.A. Beckman, example 2.15.1: 40° N, 9 to 10 h on 20 February, tilt 60° to the
    /// south, 1.04 MJ/m² in the hour, reflectance 0.6, even sky: 1.17 MJ/m² (from memory, check your
    /// edition; 1.171 by an independent program).
    #[test]
    fn an_even_sky_on_a_tilt_gives_the_textbooks_hour() {
        let plane = Plane { tilt_deg: 60.0, azimuth_deg: 180.0, shade: 0.0 };
        // The book's own declination and clearness (eq. 1.6.1a, 1.4.1a, 1367 W/m²).
        let turn = |days: f64| (360.0 * days / 365.0).to_radians();
        let declination = 23.45 * turn(284.0 + 51.0).sin();
        let sun = SunPosition::at_hour_angle(40.0, declination, -37.5);
        let up = sun.cos_zenith();
        let outside = 1367.0 * (1.0 + 0.033 * turn(51.0).cos());
        let global = 1.04e6 / 3600.0;
        // The book's split, for this clearness of about 0.45: D.G. Erbs, S.A. Klein, J.A. Duffie,
        // Solar Energy 28(4), 1982, doi:10.1016/0038-092X(82)90302-4.
        let k = global / (outside * up);
        let fraction = 0.9511 + k * (-0.1604 + k * (4.388 + k * (-16.638 + k * 12.336)));
        let diffuse = global * fraction;
        let sky = Sky { global, diffuse, direct: (global - diffuse) / up, outside };
        let hour = plane.irradiance_with(sky, sun, 0.0, 0.6) * 3600.0 / 1e6;
        assert!((hour - 1.171).abs() < 0.005, "{hour}");
    }

    #[test]
    fn a_flat_plane_gets_the_global_irradiance() {
        let flat = Plane { tilt_deg: 0.0, azimuth_deg: 180.0, shade: 0.0 };
        let sun = SunPosition { elevation_deg: 40.0, azimuth_deg: 120.0 };
        let sky = Sky::from_global(500.0, 1366.0, sun.cos_zenith());
        assert!((flat.irradiance(sky, sun) - 500.0).abs() < 1e-9);
    }

    #[test]
    fn light_from_behind_does_not_count_as_direct() {
        let north = Plane { tilt_deg: 90.0, azimuth_deg: 0.0, shade: 0.0 };
        let sun = SunPosition { elevation_deg: 30.0, azimuth_deg: 180.0 };
        let sky = Sky { global: 600.0, direct: 1000.0, diffuse: 100.0, outside: 1366.0 };
        assert!(north.irradiance(sky, sun) < 0.5 * 100.0 + 0.1 * 600.0);
    }
}
