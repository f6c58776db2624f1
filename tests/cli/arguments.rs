//! Mistakes on the command line, and help.

use crate::site::sound;
use crate::{run, run_with, sungraft};

#[test]
fn mistaken_arguments_end_with_2_and_say_nothing_on_standard_output() {
    for args in [
        &["advize"][..],
        &["advise"],
        &["advise", "a.yaml", "b.yaml"],
        &["advise", "-", "--touch", "everything"],
        &["advise", "-", "--rule", "thumb"],
        &["advise", "-", "--format", "xml"],
        &["advise", "-", "--threshold-watts", "1,5"],
        &["advise", "-", "--threshold-watts=-1"],
        &["advise", "-", "--threshold-percent", "101"],
        &["advise", "-", "--joint-worth=-1"],
        &["advise", "-", "--joint-worth", "5W"],
        &["check", "-", "--touch", "free"],
        &["lesson"],
        &["lesson", "a.yaml", "--exercise", "3"],
        &["lesson", "a.yaml", "--key"],
        &["lesson", "--exercise", "0"],
        &["lesson", "--exercise", "51"],
        &["lesson", "--exercise", "3", "--seed", "one"],
        &["lesson", "-", "--report", "lesson.pdf"],
        &["schema", "plan"],
        &[],
    ] {
        let (code, answer, talk) = run_with(args, "");
        assert_eq!((code, answer.as_str()), (2, ""), "{args:?}");
        assert!(!talk.is_empty(), "{args:?}");
    }
}

#[test]
fn a_comma_in_a_threshold_is_answered_with_help() {
    let (_, _, talk) = run(&mut sungraft(&["advise", "-", "--threshold-watts", "1,5"]));
    assert!(talk.contains("write a decimal point, not a comma"), "{talk}");
}

#[test]
fn help_is_an_answer_with_examples() {
    for (args, wanted) in [
        (&["--help"][..], "sungraft starter > shed.yaml"),
        (&["advise", "--help"], "--touch none"),
        (&["check", "--help"], "sungraft check shed.yaml --format json"),
        (&["lesson", "--help"], "sungraft lesson --exercise 6 --seed 3 --key"),
        (&["label", "--help"], "sungraft label --how"),
    ] {
        let (code, answer, talk) = run(&mut sungraft(args));
        assert_eq!((code, talk.as_str()), (0, ""));
        assert!(answer.contains(wanted), "{answer}");
        assert!(answer.lines().all(|l| l.chars().count() <= 100), "{answer}");
    }
}

#[test]
fn no_color_is_respected_even_where_colour_is_forced() {
    for args in [&["--help"][..], &["advise"]] {
        let mut command = sungraft(args);
        command.env("CLICOLOR_FORCE", "1").env("NO_COLOR", "1");
        let (_, answer, talk) = run(&mut command);
        assert!(!answer.contains('\u{1b}') && !talk.contains('\u{1b}'), "{answer}{talk}");
    }
}

#[test]
fn the_schemas_printed_are_the_ones_in_docs() {
    for (name, text) in [
        ("advice", include_str!("../../docs/advice.schema.json")),
        ("check", include_str!("../../docs/check.schema.json")),
    ] {
        assert_eq!(run(&mut sungraft(&["schema", name])), (0, text.to_owned(), String::new()));
    }
}

#[test]
fn an_input_is_named_by_controller_and_number() {
    let ask = |input: &str| run_with(&["advise", "-", "--input", input], &sound());
    assert_eq!(ask("barn:1").0, 0);
    assert_eq!(ask("barn").0, 0, "the only input of a controller needs no number");
    for (input, wanted) in [
        ("barm:1", "did you mean `barn`?"),
        ("lighthouse:1", "this site has `barn`"),
        ("barn:2", "`barn` has no input `2`"),
        ("barn:0", "`barn` has no input `0`"),
        ("barn:one", "`barn` has no input `one`"),
    ] {
        let (code, answer, talk) = ask(input);
        assert_eq!((code, answer.as_str()), (2, ""), "{input}");
        assert!(talk.contains(wanted), "{input}: {talk}");
    }
}

#[test]
fn a_controller_with_two_inputs_wants_a_number() {
    let site = sound().replace("inputs: 1", "inputs: 2");
    let (code, _, talk) = run_with(&["advise", "-", "--input", "barn"], &site);
    assert_eq!(code, 2);
    assert!(talk.contains("`barn` has 2 inputs") && talk.contains("--input barn:1"), "{talk}");
}
