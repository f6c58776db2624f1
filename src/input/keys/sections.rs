//! The keys themselves, section by section.

use super::Holds::{Count, Group, List, Number, Numbers, Switch, Text, Word};
use super::Unit::{
    Amp, Celsius, Degree, Foot, Hour, Metre, Month, Percent, PercentPerC, SquareMm, SunHours, Volt,
    Watt, Year,
};
use super::{Key, Section, Unit, above, may, must, within};

const ON_LABEL: &str =
    "it stands on the label at the back of the panel, at standard test conditions (STC)";

pub(in crate::input) const FILE: Section = Section {
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
        may("planes", List),
        may("installed", List),
        may("spares", List),
        may("spare_controllers", List),
        may("runs", List),
        may("losses", List),
        may("phases", List),
        may("customer", Group),
    ],
};

pub(in crate::input) const SITE: Section = Section {
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
        may("battery_charge_a", Number(Amp, above(0.0, 5000.0))),
        may("worth_per_kwh", Number(Unit::None, within(0.0, 1e6))),
        may("worth_years", Number(Year, within(0.0, 100.0))),
        may("latitude_deg", Number(Degree, within(-90.0, 90.0))),
        may("tilt_deg", Number(Degree, within(0.0, 90.0))),
        may("azimuth_deg", Number(Degree, within(0.0, 360.0))),
        may("sun_kwh_m2_day", Numbers(SunHours, within(0.0, 15.0), 12)),
        may("air_c", Numbers(Celsius, within(-60.0, 60.0), 12)),
        may("weather", Text),
        may("design_plane", Text),
        may("design_sun", Group),
    ],
};

pub(in crate::input) const DESIGN_SUN: Section = Section {
    noun: "`design_sun`",
    keys: &[
        must(
            "elevation_deg",
            Number(Degree, above(0.0, 90.0)),
            "write how high the sun stands above the horizon, as in `elevation_deg: 50`",
        ),
        must(
            "azimuth_deg",
            Number(Degree, within(0.0, 360.0)),
            "write where the sun stands, from north by east, as in `azimuth_deg: 180` for south",
        ),
    ],
};

pub(in crate::input) const PLANE: Section = Section {
    noun: "plane",
    keys: &[
        must(
            "id",
            Text,
            "add a short name of your own, as in `id: east-roof`; strings and spares refer to it",
        ),
        must(
            "tilt_deg",
            Number(Degree, within(0.0, 90.0)),
            "write how far it leans from horizontal, in degrees: 0 lies flat, 90 is a wall",
        ),
        must(
            "azimuth_deg",
            Number(Degree, within(0.0, 360.0)),
            "write where it faces, from north by east: 90 is east, 180 south, 270 west; any figure for one that lies flat",
        ),
        may("shade_percent", Number(Percent, within(0.0, 100.0))),
        may("room", Count(0, 5000)),
    ],
};

pub(in crate::input) const KIND: Section = Section {
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

/// Keys of a controller, be it installed or spare.
const CONTROLLER_KEYS: [Key; 15] = [
    must("id", Text, "add a short name of your own, as in `id: shed`; `installed` refers to it"),
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
];

pub(in crate::input) const CONTROLLER: Section =
    Section { noun: "controller", keys: &CONTROLLER_KEYS };

pub(in crate::input) const SPARE_CONTROLLER: Section =
    Section { noun: "spare controller", keys: &counted(CONTROLLER_KEYS) };

/// The keys of a controller, and how many there are at what price.
const fn counted(keys: [Key; 15]) -> [Key; 17] {
    let how_many = "write how many of them there are, as in `count: 1`";
    let mut all = [must("count", Count(1, 5000), how_many); 17];
    let mut k = 0;
    while k < 15 {
        all[k] = keys[k];
        k += 1;
    }
    all[16] = may("price", Number(Unit::None, within(0.0, 1e9)));
    all
}

pub(in crate::input) const INSTALLED: Section = Section {
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
        may("plane", Text),
    ],
};

pub(in crate::input) const SPARE: Section = Section {
    noun: "an entry of `spares`",
    keys: &[
        must("kind", Text, "write the `id` of one of the `kinds`"),
        must("count", Count(1, 5000), "write how many of them there are, as in `count: 2`"),
        may("price", Number(Unit::None, within(0.0, 1e9))),
        may("resale", Number(Unit::None, within(0.0, 1e9))),
        may("planes", List),
    ],
};

pub(in crate::input) const RUN: Section = Section {
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

pub(in crate::input) const LOSS: Section = Section {
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

pub(in crate::input) const PHASE: Section = Section {
    noun: "an entry of `phases`",
    keys: &[
        must("name", Text, "give the phase a name of your own, as in `name: this autumn`"),
        may("date", Text),
        may("months", Number(Month, above(0.0, 600.0))),
        may("budget", Number(Unit::None, within(0.0, 1e9))),
        may("carry", Switch),
        may("spares", List),
        may("controllers", List),
        may("joints", Count(0, 100_000)),
        may("hours", Number(Hour, within(0.0, 10_000.0))),
    ],
};

pub(in crate::input) const PHASE_SPARE: Section = Section {
    noun: "an entry of a phase's `spares`",
    keys: &[
        must("kind", Text, "write the `id` of one of the `kinds`"),
        must("count", Count(1, 5000), "write how many of them can be had, as in `count: 2`"),
        may("price", Number(Unit::None, within(0.0, 1e9))),
        may("last_chance", Switch),
    ],
};

pub(in crate::input) const PHASE_CONTROLLER: Section = Section {
    noun: "an entry of a phase's `controllers`",
    keys: &[
        must(
            "controller",
            Group,
            "add `controller:` with the keys of an entry of `controllers` indented below it",
        ),
        may("replaces", Text),
        may("price", Number(Unit::None, within(0.0, 1e9))),
        may("last_chance", Switch),
    ],
};

pub(in crate::input) const CUSTOMER: Section = Section {
    noun: "`customer`",
    keys: &[
        may("touch", Word(&["none", "extend", "free"])),
        may("worth_per_watt", Number(Unit::None, within(0.0, 1e6))),
        may("worth_per_kwh", Number(Unit::None, within(0.0, 1e6))),
    ],
};

pub(in crate::input) const PRICES: Section = Section {
    noun: "price file",
    keys: &[must("parts", List, "list what parts cost, as in `- part: fuse`")],
};

pub(in crate::input) const PART_PRICE: Section = Section {
    noun: "an entry of `parts`",
    keys: &[
        must("part", Word(PART_NAMES), "name the part, as in `part: fuse`"),
        must(
            "price",
            Number(Unit::None, within(0.0, 1e9)),
            "write what one costs; for cable, a metre of its run",
        ),
    ],
};

/// Every part of a shopping list.
pub(in crate::input) const PART_NAMES: &[&str] = &[
    "fuse",
    "fuse_holder",
    "branch_pair",
    "connector_pair",
    "cable",
    "combiner",
    "disconnect",
    "warning_label",
    "string_tag",
    "lead_cap",
];

/// Every section of a site file.
pub(in crate::input) const SECTIONS: [&Section; 15] = [
    &FILE,
    &SITE,
    &KIND,
    &CONTROLLER,
    &INSTALLED,
    &SPARE,
    &SPARE_CONTROLLER,
    &RUN,
    &LOSS,
    &PHASE,
    &PHASE_SPARE,
    &PHASE_CONTROLLER,
    &CUSTOMER,
    &DESIGN_SUN,
    &PLANE,
];
