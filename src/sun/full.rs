//! Full sun on a plane square to it, and what every other plane has of it.

use super::{Plane, Sky, SunPosition};

/// Full sun: that of standard test conditions (IEC 60904-3). \[W/m²\]
const FULL: f64 = 1000.0;
/// What of it comes straight from the sun: nine tenths, as 900.1 of 1000.4 W/m² in the reference
/// spectra of ASTM G173-03 (from memory, check your edition). \[W/m²\]
const DIRECT: f64 = 900.0;

/// Irradiance on a plane while one that faces the sun squarely has 1000 W/m². \[W/m²\]
///
/// 900 W/m² of direct light by the angle of incidence, less the plane's shade; the rest from an even
/// sky and from the ground (B.Y.H. Liu, R.C. Jordan, Solar Energy 7(2), 1963), the sky as bright as it
/// must be for the plane that faces the sun.
#[must_use]
pub fn under_full_sun(plane: Plane, sun: SunPosition) -> f64 {
    let facing =
        Plane { tilt_deg: 90.0 - sun.elevation_deg, azimuth_deg: sun.azimuth_deg, shade: 0.0 };
    let sky = |diffuse: f64| Sky {
        global: DIRECT * sun.cos_zenith() + diffuse,
        direct: DIRECT,
        diffuse,
        outside: f64::INFINITY,
    };
    // What a plane has is linear in the brightness of the sky.
    let without = facing.irradiance(sky(0.0), sun);
    let each = facing.irradiance(sky(1.0), sun) - without;
    plane.irradiance(sky((FULL - without) / each), sun)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plane(tilt_deg: f64, azimuth_deg: f64) -> Plane {
        Plane { tilt_deg, azimuth_deg, shade: 0.0 }
    }

    fn square_on(plane: Plane) -> SunPosition {
        SunPosition { elevation_deg: 90.0 - plane.tilt_deg, azimuth_deg: plane.azimuth_deg }
    }

    #[test]
    fn a_plane_square_to_the_sun_has_full_sun() {
        for tilt in [0.0, 20.0, 37.0, 60.0, 90.0] {
            let own = plane(tilt, 140.0);
            assert!((under_full_sun(own, square_on(own)) - 1000.0).abs() < 1e-9, "{tilt}");
        }
    }

    /// Computed by pvlib 0.16.1: `irradiance.get_total_irradiance` with `model='isotropic'`, albedo
    /// 0.2, DNI 900 and the DHI for which the plane square to the sun has 1000 W/m²
    /// (tests/data/full_sun.py). \[°\], \[W/m²\]
    #[test]
    fn other_planes_have_what_another_library_gives_them() {
        let reference: [[f64; 5]; 8] = [
            [60.0, 90.0, 30.0, 90.0, 1000.0000],
            [60.0, 90.0, 30.0, 270.0, 550.0000],
            [60.0, 90.0, 90.0, 180.0, 134.7196],
            [50.0, 180.0, 30.0, 90.0, 693.8799],
            [50.0, 180.0, 40.0, 270.0, 628.1417],
            [35.0, 200.0, 0.0, 180.0, 610.2438],
            [20.0, 120.0, 70.0, 120.0, 1000.0000],
            [20.0, 120.0, 90.0, 0.0, 95.7210],
        ];
        for [elevation_deg, azimuth_deg, tilt, azimuth, expected] in reference {
            let sun = SunPosition { elevation_deg, azimuth_deg };
            let got = under_full_sun(plane(tilt, azimuth), sun);
            assert!((got - expected).abs() < 0.01, "{tilt} {azimuth}: {got} for {expected}");
        }
    }

    #[test]
    fn a_shadow_takes_its_share_of_the_direct_light_alone() {
        let (open, sun) =
            (plane(30.0, 90.0), SunPosition { elevation_deg: 50.0, azimuth_deg: 120.0 });
        let lit = |shade| under_full_sun(Plane { shade, ..open }, sun);
        let direct = 900.0 * open.cos_incidence(sun);
        assert!((lit(0.0) - lit(0.25) - 0.25 * direct).abs() < 1e-9);
        assert!((lit(0.0) - lit(1.0) - direct).abs() < 1e-9);
    }
}
