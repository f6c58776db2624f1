//! The units that keys carry in their names.

/// The unit that a key's name carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::input) enum Unit {
    Volt,
    Amp,
    Watt,
    Celsius,
    PercentPerC,
    Percent,
    Year,
    Month,
    Hour,
    Degree,
    /// kWh/m² a day.
    SunHours,
    Irradiance,
    Metre,
    Foot,
    /// mm².
    SquareMm,
    /// A bare number.
    None,
}

impl Unit {
    /// The sign that stands after a number.
    pub(in crate::input) fn symbol(self) -> &'static str {
        match self {
            Unit::Volt => "V",
            Unit::Amp => "A",
            Unit::Watt => "W",
            Unit::Celsius => "°C",
            Unit::PercentPerC => "%/°C",
            Unit::Percent => "%",
            Unit::Year => "years",
            Unit::Month => "months",
            Unit::Hour => "hours",
            Unit::Degree => "°",
            Unit::SunHours => "kWh/m² a day",
            Unit::Irradiance => "W/m²",
            Unit::Metre => "m",
            Unit::Foot => "ft",
            Unit::SquareMm => "mm²",
            Unit::None => "",
        }
    }

    /// The plural that a sentence uses.
    pub(in crate::input) fn plural(self) -> &'static str {
        match self {
            Unit::Volt => "volts",
            Unit::Amp => "amperes",
            Unit::Watt => "watts",
            Unit::Celsius => "degrees Celsius",
            Unit::PercentPerC => "percent per degree Celsius",
            Unit::Percent => "percent",
            Unit::Year => "years",
            Unit::Month => "months",
            Unit::Hour => "hours",
            Unit::Degree => "degrees",
            Unit::SunHours => "kWh/m² a day",
            Unit::Irradiance => "W/m²",
            Unit::Metre => "metres",
            Unit::Foot => "feet",
            Unit::SquareMm => "square millimetres",
            Unit::None => "a bare number",
        }
    }
}
