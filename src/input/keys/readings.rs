//! The keys of a file of readings.

use super::Holds::{Count, Group, List, Number, Text};
use super::Unit::{Amp, Celsius, Irradiance, Percent, Volt};
use super::{Section, may, must, within};

pub(in crate::input) const READINGS_FILE: Section = Section {
    noun: "the file",
    keys: &[
        must(
            "readings",
            List,
            "add `readings:` with one entry for each sun; `sungraft starter --readings SITE.yaml` prints a form for your site",
        ),
        may("meters", Group),
    ],
};

pub(in crate::input) const METERS: Section = Section {
    noun: "`meters`",
    keys: &[
        may("volts_percent", Number(Percent, within(0.05, 20.0))),
        may("amps_percent", Number(Percent, within(0.05, 20.0))),
        may("sun_percent", Number(Percent, within(0.05, 50.0))),
        may("cells_off_c", Number(Celsius, within(0.05, 20.0))),
    ],
};

pub(in crate::input) const READING: Section = Section {
    noun: "an entry of `readings`",
    keys: &[
        may("note", Text),
        must(
            "sun_w_m2",
            Number(Irradiance, within(50.0, 1600.0)),
            "measure the irradiance in the plane of the panels; a clear noon square to the sun gives some 900 to 1000 W/m²",
        ),
        may("cells_c", Number(Celsius, within(-40.0, 110.0))),
        may("back_c", Number(Celsius, within(-40.0, 110.0))),
        may("air_c", Number(Celsius, within(-60.0, 60.0))),
        must("inputs", List, "list each input that was read, with its `controller`"),
    ],
};

pub(in crate::input) const INPUT_READ: Section = Section {
    noun: "an entry of `inputs`",
    keys: &[
        must("controller", Text, "write the `id` of the controller that was read"),
        may("input", Count(1, 50)),
        may("open_v", Number(Volt, within(-2500.0, 2500.0))),
        may("work_v", Number(Volt, within(-2500.0, 2500.0))),
        may("work_a", Number(Amp, within(-2000.0, 2000.0))),
        may("strings", List),
    ],
};

pub(in crate::input) const STRING_READ: Section = Section {
    noun: "an entry of `strings`",
    keys: &[
        must(
            "string",
            Count(1, 100),
            "write which string it is, counted from 1 in the order of `installed` in the site file",
        ),
        may("voc_v", Number(Volt, within(-2500.0, 2500.0))),
        may("isc_a", Number(Amp, within(-2000.0, 2000.0))),
        may("work_a", Number(Amp, within(-2000.0, 2000.0))),
    ],
};

/// Every section of a file of readings.
pub(in crate::input) const READING_SECTIONS: [&Section; 5] =
    [&READINGS_FILE, &METERS, &READING, &INPUT_READ, &STRING_READ];
