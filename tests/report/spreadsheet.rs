//! The CSV answers, read back as a spreadsheet would.

use std::collections::BTreeSet;

use sungraft::report::{self, Format};

use crate::fixtures::{Case, cases, checked, grafted, stays, two_inputs};

fn rows(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().expect("has a header").iter().map(str::to_owned).collect();
    // The reader refuses a row whose length differs from the header's.
    let rows = reader
        .records()
        .map(|r| r.expect("is a row").iter().map(str::to_owned).collect())
        .collect();
    (header, rows)
}

fn of(case: &Case) -> (Vec<String>, Vec<Vec<String>>) {
    rows(&report::advice(&case.installation, &case.advice, Format::Csv))
}

fn column(header: &[String], name: &str) -> usize {
    header.iter().position(|h| h == name).expect("is a column")
}

#[test]
fn every_answer_has_the_same_header_and_only_known_records() {
    let known: BTreeSet<&str> = [
        "today",
        "plan",
        "failed_check",
        "spare",
        "worth",
        "certificate",
        "help",
        "obvious",
        "certainty",
        "idle",
        "string",
        "check",
        "part",
        "money",
        "spare_money",
        "cable",
        "year",
        "month",
        "assumed",
        "ask",
        "note",
        "caution",
    ]
    .into();
    let (wanted, _) = of(&grafted());
    for case in cases() {
        let check = report::checked(&case.installation, &checked(&case), Format::Csv);
        for (header, rows) in [of(&case), rows(&check)] {
            assert_eq!(header, wanted, "{}", case.name);
            assert!(rows.iter().all(|r| known.contains(r[1].as_str())));
        }
    }
}

#[test]
fn there_is_a_row_for_each_level_and_each_spare() {
    for case in cases() {
        let (header, rows) = of(&case);
        let record = column(&header, "record");
        let count = |what: &str| rows.iter().filter(|r| r[record] == what).count();
        assert_eq!(count("today"), 1);
        assert_eq!(count("plan"), case.advice.levels.len());
        let spares = &case.advice.spares;
        assert_eq!(count("spare"), spares.len());
        assert_eq!(count("worth"), spares.iter().map(|s| s.worth.len()).sum::<usize>());
        assert_eq!(count("certificate"), spares.iter().filter(|s| s.certificate.is_some()).count());
        assert_eq!(count("help"), spares.iter().map(|s| s.helps.len()).sum::<usize>());
        assert_eq!(count("obvious"), spares.iter().map(|s| s.obvious.len()).sum::<usize>());
        assert_eq!(count("idle"), case.advice.idle.len());
    }
}

#[test]
fn a_step_that_is_not_told_apart_from_nothing_has_no_figure() {
    let (header, rows) = of(&stays());
    let at = |row: &[String], name: &str| row[column(&header, name)].clone();
    let worth: Vec<(String, String)> = rows
        .iter()
        .filter(|r| r[1] == "worth")
        .map(|r| (at(r, "offered"), at(r, "added_watts")))
        .collect();
    let wanted = [("0", ""), ("1", "0.4"), ("2", ""), ("0", ""), ("1", "0.0")];
    assert_eq!(worth, wanted.map(|(n, watts)| (n.to_owned(), watts.to_owned())));
}

#[test]
fn lines_end_as_rfc_4180_says() {
    let case = grafted();
    let text = report::advice(&case.installation, &case.advice, Format::Csv);
    assert!(text.ends_with("\r\n"));
    assert!(!text.replace("\r\n", "").contains(['\r', '\n']));
}

#[test]
fn names_with_quotes_commas_and_accents_come_back_as_they_were() {
    let mut case = two_inputs();
    case.installation.kinds[1].id = "creek, \"the old\"; é 果".into();
    let (header, rows) = of(&case);
    let spare = rows.iter().find(|r| r[1] == "spare").expect("has a spare");
    assert_eq!(spare[column(&header, "name")], "creek, \"the old\"; é 果");
}

#[test]
fn no_cell_of_text_begins_like_a_formula() {
    let mut case = grafted();
    case.advice.site = "=HYPERLINK(\"x\")".into();
    case.installation.controllers[0].id = "@shed".into();
    for (i, id) in ["=1+1", "+creek", "-orchard"].iter().enumerate() {
        case.installation.kinds[i].id = (*id).into();
    }
    let (_, rows) = of(&case);
    let mut guarded = 0;
    for cell in rows.iter().flatten() {
        let is_number = cell.parse::<f64>().is_ok();
        assert!(is_number || !cell.starts_with(['=', '+', '-', '@']), "{cell}");
        guarded += usize::from(cell.starts_with('\''));
    }
    assert!(guarded > 10);
}

#[test]
fn figures_are_bare_numbers() {
    let (header, rows) = of(&grafted());
    let best =
        rows.iter().find(|r| r[column(&header, "verdict")] == "best").expect("has a best plan");
    let figure = |name: &str| best[column(&header, name)].parse::<f64>().expect("a number");
    assert!((figure("watts") - 812.52).abs() < 0.005);
    assert!((figure("added_watts") - 172.2).abs() < 0.005);
    assert!((figure("utilization") - 0.9905).abs() < 0.000_05);
}
