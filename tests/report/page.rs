//! The page fits, reads without colour, and leaves nothing out.

use sungraft::report::{self, Format};

use crate::fixtures::{cases, checked, grafted};

/// Columns that a line takes; wide characters take two (Unicode Standard Annex 11, by `tabled`'s own measure).
fn columns(line: &str) -> usize {
    tabled::grid::util::string::get_line_width(line)
}

fn pages() -> Vec<(String, String)> {
    cases()
        .iter()
        .flat_map(|case| {
            let advice = report::advice(&case.installation, &case.advice, Format::Table);
            let check = report::checked(&case.installation, &checked(case), Format::Table);
            [(format!("advise {}", case.name), advice), (format!("check {}", case.name), check)]
        })
        .collect()
}

#[test]
fn no_line_is_wider_than_a_hundred_columns() {
    for (name, page) in pages() {
        for line in page.lines() {
            assert!(columns(line) <= 100, "{name}: {} in {line:?}", columns(line));
        }
    }
}

#[test]
fn a_page_is_plain_text_without_colour_or_trailing_spaces() {
    for (name, page) in pages() {
        assert!(page.ends_with('\n') && !page.ends_with("\n\n"), "{name}");
        assert!(!page.contains("\n\n\n"), "{name}");
        for line in page.lines() {
            assert!(!line.contains(char::is_control), "{name}: {line:?}");
            assert!(!line.contains('\u{a0}'), "{name}: {line:?}");
            assert_eq!(line.trim_end(), line, "{name}");
        }
    }
}

#[test]
fn no_figure_stands_without_a_number() {
    for (name, page) in pages() {
        for wrong in ["NaN", "inf", "-0 ", "-0.0", "? W", "? V"] {
            assert!(!page.contains(wrong), "{name} shows {wrong:?}:\n{page}");
        }
    }
}

#[test]
fn every_name_and_every_sentence_of_the_answer_is_on_the_page() {
    let squeeze = |text: &str| -> String { text.split_whitespace().collect() };
    for case in cases() {
        let page = squeeze(&report::advice(&case.installation, &case.advice, Format::Table));
        let advice = &case.advice;
        let mut wanted: Vec<&str> = vec![&advice.site];
        wanted.extend(advice.assumed.iter().map(String::as_str));
        wanted.extend(advice.notes.iter().map(String::as_str));
        wanted.extend(advice.ask.iter().map(String::as_str));
        wanted.extend(advice.cautions.iter().copied());
        wanted.extend(advice.spares.iter().map(|s| s.because.as_str()));
        wanted.extend(advice.spares.iter().map(|s| s.would_help.as_str()));
        for text in wanted {
            assert!(page.contains(&squeeze(text)), "{}: {text}", case.name);
        }
    }
}

#[test]
fn a_caution_takes_at_most_two_lines() {
    let case = cases().pop().expect("there are cases");
    let page = report::advice(&case.installation, &case.advice, Format::Table);
    let block = page.split("Take care\n").nth(1).expect("has cautions");
    let starts: Vec<usize> = block
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.starts_with("    "))
        .map(|(i, _)| i)
        .chain([block.lines().count()])
        .collect();
    assert_eq!(starts.len() - 1, case.advice.cautions.len());
    assert!(starts.windows(2).all(|w| w[1] - w[0] <= 2), "{block}");
}

#[test]
fn names_cannot_move_the_cursor() {
    let mut case = grafted();
    case.installation.kinds[1].id = "creek\u{1b}[2J\u{7}\n90".into();
    let page = report::advice(&case.installation, &case.advice, Format::Table);
    assert!(!page.contains(['\u{1b}', '\u{7}']));
    assert!(page.contains("creek"));
}
