//! A form for readings on a site's wiring: the test sheet as a file to fill in.

use std::fmt::Write;

use crate::model::{InputWiring, Installation};
use crate::report::names::Names;

const HEAD: &str = "\
# Fill in what the meter showed; a figure that was not read may stay blank. Units stand in the keys.
#   sungraft check SITE.yaml --readings THIS-FILE.yaml
# Before you measure: disconnect open, zero amps proven with a clamp meter. A string by itself means
# its lead off the combiner. Panels are live in any light. Short-circuit tests only through a DC switch
# and within the meter's current range; never by mating or parting connectors.

# How far your instruments may be off, if you know better (one standard deviation):
# meters:
#   volts_percent: 1
#   amps_percent: 1
#   sun_percent: 5
#   cells_off_c: 2

readings:
  - note: first              # a word of your own, or nothing
    sun_w_m2:                # needed: irradiance in the panels' plane
    back_c:                  # needed: the back of a panel (or cells_c, or air_c: rough)
    inputs:
";

/// The form for all inputs that are wired. It names every string; a second sun is a second entry.
#[must_use]
pub fn readings_form(installation: &Installation) -> String {
    let names = Names(installation);
    let mut text = format!("# Readings on {}\n{HEAD}", one_line(&installation.site.name));
    for wired in installation.installed.iter().filter(|w| !w.array.strings.is_empty()) {
        input(&mut text, names, wired).expect("a string takes all that is written");
    }
    text
}

fn input(text: &mut String, names: Names<'_>, wired: &InputWiring) -> std::fmt::Result {
    writeln!(text, "      - controller: {}", scalar(names.controller(wired.at)))?;
    writeln!(text, "        input: {}", wired.at.input)?;
    writeln!(text, "        strings:")?;
    for (s, string) in wired.array.strings.iter().enumerate() {
        let panels = one_line(&names.string_in_file(string));
        writeln!(text, "          - string: {}        # {panels}", s + 1)?;
        let voc = "# by itself, red on plus; below zero if reversed";
        key(text, "voc_v:", if s == 0 { voc } else { "" })?;
        let isc = "# by itself, shorted through a DC switch";
        key(text, "isc_a:", if s == 0 { isc } else { "" })?;
        let work = "# at work, by a DC clamp";
        key(text, "work_a:", if s == 0 { work } else { "" })?;
    }
    writeln!(text, "        open_v:              # at the open disconnect, strings joined")?;
    writeln!(text, "        work_v:              # at the controller, at work")?;
    writeln!(text, "        work_a:")
}

/// A key of a string to be filled in; notes stand at the first string alone.
fn key(text: &mut String, name: &str, note: &str) -> std::fmt::Result {
    writeln!(text, "{}", format!("            {name:17}{note}").trim_end())
}

/// A name as YAML takes it: plain where that is safe, else quoted as JSON, which YAML reads.
fn scalar(name: &str) -> String {
    let plain = name.starts_with(|c: char| c.is_ascii_alphabetic())
        && name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
        && !["true", "false", "null", "yes", "no", "on", "off", "y", "n"]
            .contains(&name.to_ascii_lowercase().as_str());
    if plain {
        name.to_owned()
    } else {
        serde_json::to_string(name).expect("a text is a JSON string")
    }
}

/// A name that stays on the line of its comment.
fn one_line(name: &str) -> String {
    name.chars()
        .filter(|c| !c.is_control() && !matches!(c, '\u{85}' | '\u{2028}' | '\u{2029}'))
        .collect()
}
