//! Every key of a site file: what it holds, its range, and whether it must be there.
//!
//! `docs/input.md` says the same in words; a test compares the two.

/// The unit that a key's name carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Volt,
    Amp,
    Watt,
    Celsius,
    PercentPerC,
    Percent,
    Year,
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
    pub(super) fn symbol(self) -> &'static str {
        match self {
            Unit::Volt => "V",
            Unit::Amp => "A",
            Unit::Watt => "W",
            Unit::Celsius => "°C",
            Unit::PercentPerC => "%/°C",
            Unit::Percent => "%",
            Unit::Year => "years",
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
    pub(super) fn plural(self) -> &'static str {
        match self {
            Unit::Volt => "volts",
            Unit::Amp => "amperes",
            Unit::Watt => "watts",
            Unit::Celsius => "degrees Celsius",
            Unit::PercentPerC => "percent per degree Celsius",
            Unit::Percent => "percent",
            Unit::Year => "years",
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

/// What a number may be, in the unit of its key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub(super) lo: f64,
    pub(super) hi: f64,
    /// `lo` itself is refused.
    pub(super) open: bool,
}

impl Range {
    pub(super) fn contains(self, x: f64) -> bool {
        let above = if self.open { self.lo < x } else { self.lo <= x };
        above && x <= self.hi
    }

    /// `above 0 and at most 400 V`, `from -60 to 25 °C`.
    pub(super) fn in_words(self, unit: Unit) -> String {
        let Self { lo, hi, open } = self;
        let text = if open {
            format!("above {lo} and at most {hi} {}", unit.symbol())
        } else {
            format!("from {lo} to {hi} {}", unit.symbol())
        };
        text.trim_end().to_owned()
    }
}

const fn above(lo: f64, hi: f64) -> Range {
    Range { lo, hi, open: true }
}

const fn within(lo: f64, hi: f64) -> Range {
    Range { lo, hi, open: false }
}

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Holds {
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    Switch,
    Number(Unit, Range),
    Count(usize, usize),
    /// A list of so many numbers.
    Numbers(Unit, Range, usize),
    List,
    Group,
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) holds: Holds,
    /// What to do if it is missing; `None` for an optional key.
    pub(super) if_missing: Option<&'static str>,
}

/// Keys that stand together.
#[derive(Debug, PartialEq)]
pub(super) struct Section {
    /// What a message calls it: `kind`, then its id.
    pub(super) noun: &'static str,
    pub(super) keys: &'static [Key],
}

impl Section {
    pub(super) fn key(&self, name: &str) -> &'static Key {
        let found = self.keys.iter().find(|k| k.name == name);
        found.expect("code asks only for keys of the table")
    }

    pub(super) fn has(&self, name: &str) -> bool {
        self.keys.iter().any(|k| k.name == name)
    }
}

const fn must(name: &'static str, holds: Holds, if_missing: &'static str) -> Key {
    Key { name, holds, if_missing: Some(if_missing) }
}

const fn may(name: &'static str, holds: Holds) -> Key {
    Key { name, holds, if_missing: None }
}

use Holds::{Count, Group, List, Number, Numbers, Switch, Text, Word};
use Unit::{
    Amp, Celsius, Degree, Foot, Metre, Percent, PercentPerC, SquareMm, SunHours, Volt, Watt, Year,
};

const ON_LABEL: &str =
    "it stands on the label at the back of the panel, at standard test conditions (STC)";

pub(super) const FILE: Section = Section {
    noun: "the file",
    keys: &[
        must(
            "site",
            Group,
            "add `site:` with `name`, `coldest_c` and `hottest_c` indented below it",
        ),
        must(
            "kinds",
            List,
            "add `kinds:` with one entry for each sort of panel; `sungraft starter` shows how",
        ),
        must(
            "controllers",
            List,
            "add `controllers:` with one entry for each controller; `sungraft starter` shows how",
        ),
        may("installed", List),
        may("spares", List),
        may("runs", List),
        may("losses", List),
    ],
};

pub(super) const SITE: Section = Section {
    noun: "`site`",
    keys: &[
        must("name", Text, "add a name of your own, as in `name: Seed shed`"),
        must(
            "coldest_c",
            Number(Celsius, within(-60.0, 25.0)),
            "cold panels give more volts, and over its maximum voltage a controller is destroyed; write the lowest air temperature to design for, as in `coldest_c: -12`",
        ),
        must(
            "hottest_c",
            Number(Celsius, within(-10.0, 60.0)),
            "hot panels give fewer volts and may fall out of the controller's window; write the highest air temperature to design for, as in `hottest_c: 35`",
        ),
        may("block_max", Count(1, 10)),
        may("isc_factor", Number(Unit::None, within(1.0, 2.0))),
        may("latitude_deg", Number(Degree, within(-90.0, 90.0))),
        may("tilt_deg", Number(Degree, within(0.0, 90.0))),
        may("azimuth_deg", Number(Degree, within(0.0, 360.0))),
        may("sun_kwh_m2_day", Numbers(SunHours, within(0.0, 15.0), 12)),
        may("air_c", Numbers(Celsius, within(-60.0, 60.0), 12)),
        may("weather", Text),
    ],
};

pub(super) const KIND: Section = Section {
    noun: "kind",
    keys: &[
        must(
            "id",
            Text,
            "add a short name of your own, as in `id: shed-160`; strings and spares refer to it",
        ),
        must("pmax_w", Number(Watt, above(0.0, 2000.0)), ON_LABEL),
        must("vmp_v", Number(Volt, above(0.0, 400.0)), ON_LABEL),
        must("imp_a", Number(Amp, above(0.0, 100.0)), ON_LABEL),
        must("voc_v", Number(Volt, above(0.0, 400.0)), ON_LABEL),
        must("isc_a", Number(Amp, above(0.0, 100.0)), ON_LABEL),
        // The coefficients have checks of their own, which know the other units that labels use.
        may("voc_percent_per_c", Number(PercentPerC, within(-1e6, 1e6))),
        may("isc_percent_per_c", Number(PercentPerC, within(-1e6, 1e6))),
        may("pmax_percent_per_c", Number(PercentPerC, within(-1e6, 1e6))),
        may("cells", Count(1, 400)),
        may("bypass_diodes", Count(0, 50)),
        may("noct_c", Number(Celsius, within(30.0, 70.0))),
        may("max_fuse_a", Number(Amp, above(0.0, 100.0))),
        may("max_system_v", Number(Volt, within(30.0, 2500.0))),
        may("tolerance_percent", Number(Percent, within(0.0, 20.0))),
        may("age_years", Number(Year, within(0.0, 50.0))),
        may("voc_tolerance_percent", Number(Percent, within(0.0, 20.0))),
        may("estimated", Switch),
    ],
};

pub(super) const CONTROLLER: Section = Section {
    noun: "controller",
    keys: &[
        must(
            "id",
            Text,
            "add a short name of your own, as in `id: shed`; `installed` refers to it",
        ),
        must(
            "type",
            Word(&["mppt", "pwm"]),
            "write `type: mppt` or `type: pwm`; the controller's own label says which",
        ),
        may("battery_v", Number(Volt, within(6.0, 1000.0))),
        may("charge_a", Number(Amp, above(0.0, 1000.0))),
        may("charge_v", Number(Volt, above(0.0, 1500.0))),
        must(
            "max_pv_v",
            Number(Volt, above(0.0, 2500.0)),
            "write the controller's absolute maximum PV voltage from its label or manual; above it the controller is destroyed",
        ),
        may("window_v", Numbers(Volt, within(0.0, 2500.0), 2)),
        may("max_pv_a", Number(Amp, above(0.0, 2000.0))),
        may("max_pv_w", Number(Watt, above(0.0, 1e6))),
        may("inputs", Count(1, 50)),
        must(
            "string_ports",
            Count(1, 100),
            "count the places where a string can be connected on each input: fuse holders or breakers of its combiner, or plug pairs; without a combiner it is 1, or 2 with one pair of branch connectors",
        ),
        may("blocking_diodes", Switch),
        may("efficiency_percent", Number(Percent, within(50.0, 100.0))),
        may("start_v", Number(Volt, above(0.0, 2500.0))),
        may("max_out_w", Number(Watt, above(0.0, 1e6))),
    ],
};

pub(super) const INSTALLED: Section = Section {
    noun: "an entry of `installed`",
    keys: &[
        must(
            "controller",
            Text,
            "write the `id` of the controller that these strings are connected to",
        ),
        may("input", Count(1, 50)),
        must(
            "strings",
            List,
            "list the strings, as in `- [shed-160, shed-160]` for two panels in series",
        ),
        may("keep", Switch),
    ],
};

pub(super) const SPARE: Section = Section {
    noun: "an entry of `spares`",
    keys: &[
        must("kind", Text, "write the `id` of one of the `kinds`"),
        must("count", Count(1, 5000), "write how many of them there are, as in `count: 2`"),
        may("price", Number(Unit::None, within(0.0, 1e9))),
    ],
};

pub(super) const RUN: Section = Section {
    noun: "an entry of `runs`",
    keys: &[
        must("controller", Text, "write the `id` of the controller that the cable leads to"),
        may("input", Count(1, 50)),
        must(
            "part",
            Word(&["strings", "array", "battery"]),
            "write `part: strings` (from each string to the combiner), `part: array` (from the combiner to the controller) or `part: battery` (from the controller to the battery)",
        ),
        may("length_m", Number(Metre, above(0.0, 2000.0))),
        may("length_ft", Number(Foot, above(0.0, 6500.0))),
        may("area_mm2", Number(SquareMm, within(1.5, 120.0))),
        may(
            "awg",
            Word(&["14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"]),
        ),
        may("air_c", Number(Celsius, within(-60.0, 90.0))),
        may("temp_rating_c", Word(&["75", "90"])),
    ],
};

pub(super) const LOSS: Section = Section {
    noun: "loss",
    keys: &[
        must("id", Text, "say in a word what is lost, as in `id: dirt`"),
        must(
            "percent",
            Number(Percent, within(0.0, 50.0)),
            "write how much of the power is lost, as in `percent: 3`",
        ),
    ],
};

/// Every section.
pub(super) const SECTIONS: [&Section; 8] =
    [&FILE, &SITE, &KIND, &CONTROLLER, &INSTALLED, &SPARE, &RUN, &LOSS];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_say_themselves_in_words() {
        assert_eq!(above(0.0, 400.0).in_words(Volt), "above 0 and at most 400 V");
        assert_eq!(within(1.0, 2.0).in_words(Unit::None), "from 1 to 2");
        assert!(!above(0.0, 1.0).contains(0.0) && within(0.0, 1.0).contains(0.0));
    }

    /// The row of a key in the part of the reference that its section has.
    fn row_of(heading: &str, key: &str) -> &'static str {
        let page = include_str!("../../docs/input.md");
        let (_, part) =
            page.split_once(&format!("\n## {heading}\n")).expect("a heading for each section");
        let part = part.split("\n## ").next().expect("the part itself");
        let row = part.lines().find(|line| line.starts_with(&format!("| `{key}` |")));
        row.unwrap_or_else(|| panic!("`{key}` of {heading} is not in docs/input.md"))
    }

    #[test]
    fn the_reference_page_says_what_the_table_says() {
        let headings = [
            "The file",
            "`site`",
            "`kinds`",
            "`controllers`",
            "`installed`",
            "`spares`",
            "`runs`",
            "`losses`",
        ];
        for (section, heading) in SECTIONS.iter().zip(headings) {
            for key in section.keys {
                let row = row_of(heading, key.name);
                let needed = row.contains(" | yes | ");
                assert_eq!(needed, key.if_missing.is_some(), "needed? {row}");
                let accepted = match key.holds {
                    Holds::Text => "| text |".to_owned(),
                    Holds::Word(words) => format!("| `{}` |", words.join("` or `")),
                    Holds::Switch => "| true or false |".to_owned(),
                    // The coefficients' own checks are narrower than the table.
                    Holds::Number(Unit::PercentPerC, _) => " %/°C |".to_owned(),
                    Holds::Number(unit, range) => format!("| {} |", range.in_words(unit)),
                    Holds::Count(lo, hi) => format!("| {lo} to {hi} |"),
                    Holds::Numbers(unit, range, n) => {
                        format!("| {n} numbers {} |", range.in_words(unit))
                    }
                    Holds::List => "| a list".to_owned(),
                    Holds::Group => "| a group of keys |".to_owned(),
                };
                assert!(row.contains(&accepted), "{accepted:?} is not in {row}");
            }
        }
    }
}
