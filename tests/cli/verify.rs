//! `check --readings` and its form, as a person meets them.

use crate::{run, run_with, sungraft};

const SITE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/seed-shed.yaml");

#[test]
fn a_form_is_printed_and_read_once_it_is_filled_in() {
    let (code, form, talk) = run(&mut sungraft(&["starter", "--readings", SITE]));
    assert_eq!((code, talk.as_str()), (0, ""));
    assert!(form.contains("- string: 2        # shed-160 + shed-160"), "{form}");
    // Blank, it is refused with what is needed.
    let (code, answer, talk) = run_with(&["check", SITE, "--readings", "-"], &form);
    assert_eq!((code, answer.as_str()), (2, ""));
    assert!(talk.contains("`sun_w_m2`") && talk.contains("temperature"), "{talk}");
    // With the sun, the back and one figure it is answered.
    let filled = form
        .replace("sun_w_m2:      ", "sun_w_m2: 1000 ")
        .replace("back_c:       ", "back_c: 22 ")
        .replacen("voc_v:         ", "voc_v: 44.8  ", 1);
    let (code, answer, talk) = run_with(&["check", SITE, "--readings", "-"], &filled);
    assert_eq!((code, talk.as_str()), (0, ""), "{answer}");
    assert!(answer.contains("The one reading lies inside its band"), "{answer}");
}

fn one_string(voc: &str) -> String {
    format!(
        "readings:\n  - sun_w_m2: 1000\n    cells_c: 25\n    inputs:\n      - controller: shed\n        \
         strings:\n          - {{ string: 1, voc_v: {voc} }}\n          - {{ string: 2, voc_v: 44.8 }}\n"
    )
}

#[test]
fn a_reading_outside_its_band_ends_with_1_and_names_the_likely_fault() {
    let args = ["check", SITE, "--readings", "-"];
    let (code, answer, _) = run_with(&args, &one_string("22.4"));
    assert_eq!(code, 1);
    assert!(answer.contains("a shed-160 is missing from string 1"), "{answer}");
    let (code, answer, _) = run_with(&args, &one_string("44.6"));
    assert_eq!(code, 0, "{answer}");
    let (code, answer, _) = run_with(&args, &one_string("-44.7"));
    assert_eq!(code, 1);
    assert!(answer.contains("plus and minus of string 1 are exchanged"), "{answer}");
    assert!(answer.contains("Danger: join that string to nothing."), "{answer}");
    for format in ["json", "csv"] {
        let args = ["check", SITE, "--readings", "-", "--format", format];
        let (code, answer, _) = run_with(&args, &one_string("22.4"));
        assert_eq!(code, 1);
        let named = answer.contains("panel_missing") || answer.contains("is missing from string 1");
        assert!(named, "{answer}");
        let again = run_with(&args, &one_string("22.4"));
        assert_eq!(again.1, answer, "same readings, same bytes");
    }
}

#[test]
fn mistakes_end_with_2_and_say_what_to_do() {
    for (args, stdin, wanted) in [
        (&["check", "-", "--readings", "-"][..], "", "cannot come from standard input"),
        (&["check", SITE, "--readings", "no-such.yaml"], "", "there is no file"),
        (&["check", SITE, "--readings", SITE], "", "this is a site file"),
        (&["starter", "--readings", "no-such.yaml"], "", "there is no file"),
        (&["check", SITE, "--readings", "-"], "readings: []", "not one reading"),
    ] {
        let (code, answer, talk) = run_with(args, stdin);
        assert_eq!((code, answer.as_str()), (2, ""), "{args:?}");
        assert!(talk.contains(wanted), "{args:?}: {talk}");
    }
    let bare = std::fs::read_to_string(SITE).expect("is there");
    let bare = bare.split("installed:").next().expect("it begins").to_owned();
    let (code, _, talk) = run_with(&["starter", "--readings", "-"], &bare);
    assert_eq!(code, 2);
    assert!(talk.contains("nothing is wired"), "{talk}");
}

#[test]
fn the_schema_is_printed() {
    let (code, answer, _) = run(&mut sungraft(&["schema", "verify"]));
    assert_eq!(code, 0);
    assert!(answer.contains("sungraft/verify@1"));
}

#[test]
fn panels_on_several_planes_are_not_held_against_one_sun() {
    let site = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/print-works.yaml");
    let form = run(&mut sungraft(&["starter", "--readings", site]));
    let held = run_with(&["check", site, "--readings", "-"], &one_string("44.6"));
    for (code, answer, talk) in [form, held] {
        assert_eq!((code, answer.as_str()), (2, ""));
        assert!(talk.contains("several planes"), "{talk}");
        assert!(talk.contains("help: write a site file with the strings of one plane"), "{talk}");
    }
}
