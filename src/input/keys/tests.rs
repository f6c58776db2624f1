use super::Unit::Volt;
use super::*;

#[test]
fn ranges_say_themselves_in_words() {
    assert_eq!(above(0.0, 400.0).in_words(Volt), "above 0 and at most 400 V");
    assert_eq!(within(1.0, 2.0).in_words(Unit::None), "from 1 to 2");
    assert!(!above(0.0, 1.0).contains(0.0) && within(0.0, 1.0).contains(0.0));
}

/// The row of a key in the part of the reference that its section has.
fn row_of(page: &'static str, heading: &str, key: &str) -> &'static str {
    let (_, part) =
        page.split_once(&format!("\n## {heading}\n")).expect("a heading for each section");
    let part = part.split("\n## ").next().expect("the part itself");
    let row = part.lines().find(|line| line.starts_with(&format!("| `{key}` |")));
    row.unwrap_or_else(|| panic!("`{key}` of {heading} is not in the reference"))
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
        "`spare_controllers`",
        "`runs`",
        "`losses`",
        "`phases`",
        "`spares` of a phase",
        "`controllers` of a phase",
        "`customer`",
        "`design_sun`",
        "`planes`",
    ];
    compare(include_str!("../../../docs/input.md"), &SECTIONS, &headings);
    let headings = ["The file", "`meters`", "`readings`", "`inputs`", "`strings`"];
    compare(include_str!("../../../docs/verify.md"), &READING_SECTIONS, &headings);
}

fn compare(page: &'static str, sections: &[&Section], headings: &[&str]) {
    for (section, heading) in sections.iter().zip(headings) {
        for key in section.keys {
            let row = row_of(page, heading, key.name);
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
