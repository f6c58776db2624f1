//! Copper cable: resistance, current it may carry, what is lost on the way.
//!
//! Sizes are those of [`AWG_SIZES`](crate::model::AWG_SIZES) and
//! [`SQUARE_MM_SIZES`](crate::model::SQUARE_MM_SIZES); each has a row in a table below.

use crate::model::{Awg, CrossSection, TempRating};
use crate::units::{Amps, Celsius, Metres, Volts};

/// Rise of copper's resistance per kelvin, from 20 °C. \[1/K\]
///
/// IEC 60228 annex (0.00393 for annealed copper).
const COPPER_PER_K: f64 = 0.00393;

/// Air at which the ampacity tables hold. \[°C\]
const TABLE_AIR: f64 = 30.0;

/// Feet in a metre.
const FEET_PER_METRE: f64 = 1.0 / 0.3048;

/// Gauge; resistance at 75 °C \[Ω/1000 ft\]; ampacity at 75 and 90 °C \[A\].
///
/// Resistance: US NEC chapter 9, table 8, stranded, uncoated copper. Ampacity: US NEC table 310.16, at
/// most three loaded conductors together, air at 30 °C. 14 to 4 and 2 AWG from secondary sources, the
/// others from memory: check your edition.
#[allow(clippy::approx_constant, reason = "14 AWG has 3.14 Ω, which is not π")]
const GAUGES: [(i8, f64, f64, f64); 13] = [
    (14, 3.14, 20.0, 25.0),
    (12, 1.98, 25.0, 30.0),
    (10, 1.24, 35.0, 40.0),
    (8, 0.778, 50.0, 55.0),
    (6, 0.491, 65.0, 75.0),
    (4, 0.308, 85.0, 95.0),
    (3, 0.245, 100.0, 115.0),
    (2, 0.194, 115.0, 130.0),
    (1, 0.154, 130.0, 145.0),
    (0, 0.122, 150.0, 170.0),
    (-1, 0.0967, 175.0, 195.0),
    (-2, 0.0766, 200.0, 225.0),
    (-3, 0.0608, 230.0, 260.0),
];

/// Cross-section \[mm²\]; resistance at 20 °C \[Ω/km\]; ampacity at 70 and 90 °C \[A\].
///
/// Resistance: IEC 60228, class 5, plain copper (2.5 to 25 mm² from a secondary source, the others from
/// memory). Ampacity: IEC 60364-5-52, tables B.52.2 and B.52.3, method B1 (single cores in conduit), two
/// loaded conductors, air at 30 °C; from memory, check your edition.
const AREAS: [(f64, f64, f64, f64); 12] = [
    (1.5, 13.3, 17.5, 23.0),
    (2.5, 7.98, 24.0, 31.0),
    (4.0, 4.95, 32.0, 42.0),
    (6.0, 3.30, 41.0, 54.0),
    (10.0, 1.91, 57.0, 75.0),
    (16.0, 1.21, 76.0, 100.0),
    (25.0, 0.780, 101.0, 133.0),
    (35.0, 0.554, 125.0, 164.0),
    (50.0, 0.386, 151.0, 198.0),
    (70.0, 0.272, 192.0, 253.0),
    (95.0, 0.206, 232.0, 306.0),
    (120.0, 0.161, 269.0, 354.0),
];

const NEC: &str = "US NEC table 310.16 and its temperature correction, 310.15(B)(1); from memory, \
                   check your edition";
const IEC: &str = "IEC 60364-5-52 tables B.52.2 and B.52.3, method B1, and their temperature \
                   correction; from memory, check your edition";

/// What a conductor may carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ampacity {
    /// In the air around it; zero where the air is as hot as the conductor may get. \[A\]
    pub allowed: Amps,
    /// By the table, in air at 30 °C. \[A\]
    pub by_table: Amps,
    /// `allowed` over `by_table`.
    pub factor: f64,
    /// The conductor's highest temperature.
    pub conductor: Celsius,
    /// Where table and correction come from.
    pub source: &'static str,
}

/// What a conductor may carry in air of a temperature.
///
/// The correction is sqrt((Tc − Ta)/(Tc − 30 °C)) with Tc the conductor's rated temperature: US NEC
/// 310.15(B)(1), from memory, check your edition; the factors of IEC 60364-5-52 table B.52.14 are the
/// same figures rounded. A cross-section in mm² rated 75 °C is taken by the column for 70 °C.
#[must_use]
pub fn ampacity(size: CrossSection, rating: TempRating, air: Celsius) -> Ampacity {
    let (by_table, conductor, source) = match (size, rating) {
        (CrossSection::Awg(gauge), TempRating::C75) => (gauge_row(gauge).2, 75.0, NEC),
        (CrossSection::Awg(gauge), TempRating::C90) => (gauge_row(gauge).3, 90.0, NEC),
        (CrossSection::SquareMm(area), TempRating::C75) => (area_row(area).2, 70.0, IEC),
        (CrossSection::SquareMm(area), TempRating::C90) => (area_row(area).3, 90.0, IEC),
    };
    let left = (conductor - air.celsius()).max(0.0);
    let factor = (left / (conductor - TABLE_AIR)).sqrt();
    Ampacity {
        allowed: Amps(by_table * factor),
        by_table: Amps(by_table),
        factor,
        conductor: Celsius(conductor),
        source,
    }
}

/// Temperature of a conductor that carries a current, at most what it is rated for.
///
/// Heating goes with the square of the current, and at the table's ampacity it is what the table
/// allows; the correction for air rests on the same.
#[must_use]
pub fn conductor_temperature(
    size: CrossSection,
    rating: TempRating,
    air: Celsius,
    current: Amps,
) -> Celsius {
    let Ampacity { by_table, conductor, .. } = ampacity(size, rating, air);
    let load = current.amps() / by_table.amps();
    let rise = (conductor.celsius() - TABLE_AIR) * load * load;
    // What would be hotter is too small, which is said elsewhere; its drop is not made absurd too.
    (air + Celsius(rise)).min(conductor.max(air))
}

/// Resistance of one metre of one conductor at its temperature. \[Ω/m\]
#[must_use]
pub fn resistance_per_metre(size: CrossSection, conductor: Celsius) -> f64 {
    let at_20 = match size {
        CrossSection::Awg(gauge) => {
            let at_75 = gauge_row(gauge).1 / 1000.0 * FEET_PER_METRE;
            at_75 / (1.0 + COPPER_PER_K * (75.0 - 20.0))
        }
        CrossSection::SquareMm(area) => area_row(area).1 / 1000.0,
    };
    at_20 * (1.0 + COPPER_PER_K * (conductor.celsius() - 20.0))
}

/// Voltage lost on the way out and back. \[V\]
#[must_use]
pub fn voltage_drop(
    size: CrossSection,
    conductor: Celsius,
    one_way: Metres,
    current: Amps,
) -> Volts {
    Volts(2.0 * one_way.metres() * resistance_per_metre(size, conductor) * current.amps())
}

fn gauge_row(gauge: Awg) -> (i8, f64, f64, f64) {
    let found = GAUGES.into_iter().find(|row| row.0 == gauge.0);
    found.expect("only listed gauges come in")
}

fn area_row(area: f64) -> (f64, f64, f64, f64) {
    let found = AREAS.into_iter().find(|row| (row.0 - area).abs() < 1e-9);
    found.expect("only listed cross-sections come in")
}
