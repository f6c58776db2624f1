//! What a misspelt word probably means.

use super::keys::Section;

/// Other names that people and data sheets give to a key.
const ALSO_CALLED: &[(&str, &str)] = &[
    ("power", "pmax_w"),
    ("watts", "pmax_w"),
    ("wp", "pmax_w"),
    ("pmp", "pmax_w"),
    ("pmpp", "pmax_w"),
    ("vmpp", "vmp_v"),
    ("impp", "imp_a"),
    ("tempcoeffvoc", "voc_percent_per_c"),
    ("betavoc", "voc_percent_per_c"),
    ("beta", "voc_percent_per_c"),
    ("tempcoeffisc", "isc_percent_per_c"),
    ("alphaisc", "isc_percent_per_c"),
    ("alpha", "isc_percent_per_c"),
    ("tempcoeffpmax", "pmax_percent_per_c"),
    ("gamma", "pmax_percent_per_c"),
    ("diodes", "bypass_diodes"),
    ("nmot", "noct_c"),
    ("maxseriesfuse", "max_fuse_a"),
    ("seriesfuse", "max_fuse_a"),
    ("maxsystemvoltage", "max_system_v"),
    ("systemvoltage", "max_system_v"),
    ("maxvoltage", "max_pv_v"),
    ("maxcurrent", "max_pv_a"),
    ("mpptrange", "window_v"),
    ("battery", "battery_v"),
    ("trackers", "inputs"),
    ("mppts", "inputs"),
    ("ports", "string_ports"),
    ("lat", "latitude_deg"),
    ("min_temp", "coldest_c"),
    ("coldest", "coldest_c"),
    ("hottest", "hottest_c"),
    ("panels", "kinds"),
    ("modules", "kinds"),
    ("quantity", "count"),
    ("number", "count"),
    ("qty", "count"),
    ("cost", "price"),
    ("irradiance", "sun_w_m2"),
    ("irradiance_w_m2", "sun_w_m2"),
    ("temperature", "cells_c"),
    ("temp", "cells_c"),
    ("back_temp_c", "back_c"),
    ("voltage", "work_v"),
    ("volts", "work_v"),
    ("volts_v", "work_v"),
    ("current", "work_a"),
    ("amps", "work_a"),
    ("amps_a", "work_a"),
    ("nr", "string"),
];

/// The key of a section for which this is another name; `bare` is letters alone in lower case.
pub(super) fn also_called(bare: &str, section: &Section) -> Option<&'static str> {
    let also = ALSO_CALLED.iter().find(|(name, _)| letters_of(name) == bare);
    also.map(|(_, key)| *key).filter(|key| section.has(key))
}

/// The key that a misspelt one probably means, out of those of a section.
pub(super) fn meant_key(typed: &str, section: &Section) -> Option<&'static str> {
    let names: Vec<&'static str> = section.keys.iter().map(|k| k.name).collect();
    let bare = letters_of(typed);
    if bare.is_empty() {
        return None;
    }
    let known = also_called(&bare, section);
    let start = |name: &&&'static str| {
        let name = letters_of(name);
        bare.len() >= 3 && (name.starts_with(&bare) || bare.starts_with(&name))
    };
    let starting: Vec<&&'static str> = names.iter().filter(start).collect();
    known.or_else(|| nearest(typed, names.iter().copied())).or(if starting.len() == 1 {
        Some(*starting[0])
    } else {
        None
    })
}

/// The nearest of some words, if it is near: at most one slip in three letters.
pub(super) fn nearest<'w>(typed: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    let bare = letters_of(typed);
    words
        .map(|word| {
            let other = letters_of(word);
            let longest = bare.chars().count().max(other.chars().count());
            (strsim::damerau_levenshtein(&bare, &other), longest, word)
        })
        .filter(|(slips, longest, _)| slips * 3 <= *longest)
        .min_by_key(|(slips, ..)| *slips)
        .map(|(_, _, word)| word)
}

/// Letters and digits alone, in lower case; at most 60, since nobody means a longer word.
pub(super) fn letters_of(word: &str) -> String {
    word.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).take(60).collect()
}

#[cfg(test)]
mod tests {
    use super::super::keys::{CONTROLLER, KIND, READING_SECTIONS, SECTIONS, SITE};
    use super::*;

    #[test]
    fn misspelt_keys_find_the_one_that_is_meant() {
        let meant = |typed, section| meant_key(typed, section).unwrap_or("-");
        assert_eq!(meant("vpm_v", &KIND), "vmp_v");
        assert_eq!(meant("Voc", &KIND), "voc_v");
        assert_eq!(meant("voc_volts", &KIND), "voc_v");
        assert_eq!(meant("isc", &KIND), "isc_a");
        assert_eq!(meant("power", &KIND), "pmax_w");
        assert_eq!(meant("temp_coeff_voc", &KIND), "voc_percent_per_c");
        assert_eq!(meant("string_port", &CONTROLLER), "string_ports");
        assert_eq!(meant("coldest", &SITE), "coldest_c");
        assert_eq!(meant("colour", &KIND), "-");
        assert_eq!(meant("…", &KIND), "-");
    }

    #[test]
    fn other_names_point_at_keys_that_exist() {
        for (_, key) in ALSO_CALLED {
            let mut all = SECTIONS.iter().chain(&READING_SECTIONS);
            assert!(all.any(|s| s.has(key)), "{key}");
        }
    }
}
