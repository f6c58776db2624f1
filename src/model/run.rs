//! Cable runs: how far it is from the panels to the combiner, the controller and the battery.

use super::InputRef;
use crate::units::{Celsius, Metres};

/// Which stretch of the wiring.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RunPart {
    /// From the ends of each string to the combiner.
    Strings,
    /// From the combiner to the controller.
    Array,
    /// From the controller to the battery.
    Battery,
}

impl RunPart {
    /// Its name in site files and answer files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Strings => "strings",
            Self::Array => "array",
            Self::Battery => "battery",
        }
    }
}

/// An American wire gauge; 0 is 1/0, −1 is 2/0, and so on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Awg(pub i8);

/// Gauges that are made and listed for building wire, from the thinnest.
pub const AWG_SIZES: [Awg; 13] = [
    Awg(14),
    Awg(12),
    Awg(10),
    Awg(8),
    Awg(6),
    Awg(4),
    Awg(3),
    Awg(2),
    Awg(1),
    Awg(0),
    Awg(-1),
    Awg(-2),
    Awg(-3),
];

/// Standard cross-sections after IEC 60228, from the thinnest. \[mm²\]
pub const SQUARE_MM_SIZES: [f64; 12] =
    [1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0];

impl Awg {
    /// As it is printed on cable: `10`, `2/0`.
    #[must_use]
    pub fn name(self) -> String {
        if self.0 > 0 { self.0.to_string() } else { format!("{}/0", 1 - self.0) }
    }
}

/// Cross-section of one copper conductor, one of the standard sizes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CrossSection {
    /// One of [`AWG_SIZES`].
    Awg(Awg),
    /// One of [`SQUARE_MM_SIZES`]. \[mm²\]
    SquareMm(f64),
}

impl CrossSection {
    /// `10 AWG`, `6 mm²`.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Awg(gauge) => format!("{} AWG", gauge.name()),
            Self::SquareMm(area) => format!("{area} mm²"),
        }
    }
}

/// In what the length was given; sizes are proposed in the same system.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LengthUnit {
    /// Metres, with cross-sections in mm².
    Metres,
    /// Feet, with American gauges.
    Feet,
}

/// Feet in a metre.
const FEET_PER_METRE: f64 = 1.0 / 0.3048;

impl LengthUnit {
    /// So many of this unit in metres.
    #[must_use]
    pub fn metres(self, length: f64) -> Metres {
        match self {
            Self::Metres => Metres(length),
            Self::Feet => Metres(length / FEET_PER_METRE),
        }
    }

    /// A length in this unit, and the unit's symbol.
    #[must_use]
    pub fn of(self, length: Metres) -> (f64, &'static str) {
        match self {
            Self::Metres => (length.metres(), "m"),
            Self::Feet => (length.metres() * FEET_PER_METRE, "ft"),
        }
    }
}

/// Temperature that insulation and terminals are rated for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum TempRating {
    /// 75 °C.
    C75,
    /// 90 °C.
    C90,
}

/// One run of cable, out and back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Which input; for [`RunPart::Battery`] the controller alone counts.
    pub at: InputRef,
    /// Which stretch.
    pub part: RunPart,
    /// One way. \[m\]
    pub length: Metres,
    /// In what the length was given.
    pub given_in: LengthUnit,
    /// What is laid; `None` asks for a proposal.
    pub size: Option<CrossSection>,
    /// Air around the cable; `None` means the site's design high.
    pub air: Option<Celsius>,
    /// What the cable and its terminals bear.
    pub rating: TempRating,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_name_themselves_as_they_are_printed() {
        assert_eq!(CrossSection::Awg(Awg(10)).name(), "10 AWG");
        assert_eq!(CrossSection::Awg(Awg(-1)).name(), "2/0 AWG");
        assert_eq!(CrossSection::SquareMm(2.5).name(), "2.5 mm²");
    }

    #[test]
    fn a_hundred_feet_are_30_48_metres_and_back() {
        let length = LengthUnit::Feet.metres(100.0);
        assert!((length.metres() - 30.48).abs() < 1e-12);
        assert!((LengthUnit::Feet.of(length).0 - 100.0).abs() < 1e-12);
    }
}
