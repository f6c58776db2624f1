//! Quantities with their unit in the type: newtypes at every boundary.
//!
//! The unit is named going in (`Volts(18.4)`) and coming out (`v.volts()`).
//! Kernels may use bare `f64` inside; then their documentation gives each unit.

use std::ops::{Add, AddAssign, Mul, Sub};

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $getter:ident, $symbol:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(pub f64);

        impl $name {
            /// The symbol that stands after the number.
            pub const SYMBOL: &'static str = $symbol;

            /// The bare number, in the unit of the type.
            #[must_use]
            pub fn $getter(self) -> f64 {
                self.0
            }

            /// The smaller of two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
                Self(iter.map(|x| x.0).sum())
            }
        }
    };
}

quantity!(
    /// Electric potential. \[V\]
    Volts, volts, "V"
);
quantity!(
    /// Electric current. \[A\]
    Amps, amps, "A"
);
quantity!(
    /// Power. \[W\]
    Watts, watts, "W"
);
quantity!(
    /// Length. \[m\]
    Metres, metres, "m"
);
quantity!(
    /// Energy. \[kWh\]
    KilowattHours, kilowatt_hours, "kWh"
);
quantity!(
    /// Temperature. \[°C\]
    Celsius, celsius, "°C"
);
quantity!(
    /// Irradiance in the plane of the array. \[W/m²\]
    Irradiance, watts_per_m2, "W/m²"
);
quantity!(
    /// Relative change per kelvin, as labels print it. \[%/°C\]
    PercentPerC, percent_per_c, "%/°C"
);

impl Mul<Amps> for Volts {
    type Output = Watts;
    fn mul(self, current: Amps) -> Watts {
        Watts(self.0 * current.0)
    }
}

impl PercentPerC {
    /// The same as a fraction per kelvin.
    #[must_use]
    pub fn fraction_per_k(self) -> f64 {
        self.0 / 100.0
    }
}

/// A power with a whole exponent, by squaring.
///
/// The same bits from every build, which `f64::powi` does not promise: where a compiler knows the
/// exponent it may fold the power to another last digit, and last digits decide between equals.
#[must_use]
pub fn whole_power(base: f64, exponent: i32) -> f64 {
    let (mut square, mut left, mut product) = (base, exponent.unsigned_abs(), 1.0);
    loop {
        if left & 1 == 1 {
            product *= square;
        }
        left >>= 1;
        if left == 0 {
            return if exponent < 0 { 1.0 / product } else { product };
        }
        square *= square;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whole_powers_are_products() {
        assert_eq!(whole_power(3.0, 0), 1.0);
        assert_eq!(whole_power(-2.0, 5), -32.0);
        assert_eq!(whole_power(2.0, -3), 0.125);
        assert!((whole_power(1.01, 20) - 1.220_190_039_947_967).abs() < 1e-15);
    }

    #[test]
    fn volts_times_amps_are_watts() {
        assert_eq!(Volts(30.0) * Amps(8.0), Watts(240.0));
    }
}
