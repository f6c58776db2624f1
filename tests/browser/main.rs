//! The report in a real browser and on paper: nothing is fetched, nothing is cut off, nothing overlaps.
//!
//! Needs `chromium`, and `pdftotext` and `pdftoppm` from poppler-utils. Where they are not installed
//! each test says on standard error that it was skipped; with `SUNGRAFT_BROWSER_REQUIRED=1`, as
//! `.ci/run` sets it, that is a failure. What is looked for stands in `check.js` and `paper.rs`.

mod browser;
mod hostile;
mod paper;
mod reports;
mod screen;

use browser::Browser;
use paper::Printed;
use reports::Report;

/// Reports of every shape, each with its name.
fn reports() -> Vec<Report> {
    vec![
        Report::of_scenario("seed-shed", &[]),
        Report::of_scenario("cider-barn", &[]),
        Report::of_scenario("ferry-kiosk-paralleled", &[]),
        Report::of_scenario("mill-two-roofs", &[]),
        Report::of_scenario("hilltop-clipping", &[]),
        Report::of_site("no-plan", &["--touch", "none"]),
        Report::of_site("sixty-panels", &[]),
        Report::of_site("long-names", &[]),
    ]
}

#[test]
fn on_a_phone_and_on_a_desk_nothing_is_cut_off_or_skipped_where_no_browser_is() {
    let Some(browser) = Browser::or_skip() else { return };
    let mut faults = Vec::new();
    for report in reports() {
        for look in screen::looks(&browser, &report.path) {
            assert!(look.n_texts > 50, "{}: {} shows next to nothing", report.name, look.seen);
            let named = look.faults.iter().map(|f| format!("{} ({}): {f}", report.name, look.seen));
            faults.extend(named);
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn what_a_file_says_is_text_on_every_page_or_skipped_where_no_browser_is() {
    let Some(browser) = Browser::or_skip() else { return };
    let mut faults = Vec::new();
    for page in hostile::pages() {
        faults.extend(hostile::faults(&browser, &page));
        for look in screen::looks(&browser, &page.path) {
            let named = look.faults.iter().map(|f| format!("{} ({}): {f}", page.name, look.seen));
            faults.extend(named);
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The search for markup finds it: here the same file's text is not escaped.
#[test]
fn markup_that_got_through_is_found_or_skipped_where_no_browser_is() {
    let Some(browser) = Browser::or_skip() else { return };
    let found = hostile::faults(&browser, &hostile::unescaped_page()).join("\n");
    for fault in [
        "an element script",
        "an element img",
        "has href=\"javascript:",
        "has  onmouseover=\"",
        "its title is \"owned\"",
    ] {
        assert!(found.contains(fault), "not found: {fault}\nfound:\n{found}");
    }
}

#[test]
fn on_a4_and_on_us_letter_every_word_stands_free_or_skipped_where_no_browser_is() {
    let Some(browser) = Browser::or_skip() else { return };
    let mut faults = Vec::new();
    for report in reports() {
        for sheet in paper::SHEETS {
            let printed = paper::print(&browser, &report.path, sheet);
            let found = printed.faults().into_iter().chain(owners_sheet(&report, &printed));
            faults.extend(found.map(|f| format!("{} ({sheet}): {f}", report.name)));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// The first sheet is the owner's: the whole verdict and its cautions, and nothing of what follows.
fn owners_sheet(report: &Report, printed: &Printed) -> Vec<String> {
    let (first, second) = (printed.page_text(0), printed.page_text(1));
    let mut faults: Vec<String> = report
        .verdict
        .split_whitespace()
        // A bare system has no letters but Latin ones.
        .filter(|words| words.is_ascii())
        .chain(["careful", "last word."])
        .filter(|words| !first.contains(words))
        .map(|words| format!("{words} of the verdict is not on the first sheet"))
        .collect();
    if !second.starts_with("Wiring") {
        faults.push(format!("the second sheet begins {second:.60}"));
    }
    faults
}

#[test]
fn on_paper_it_is_black_on_white_also_from_a_dark_screen_or_skipped_where_no_browser_is() {
    let Some(browser) = Browser::or_skip() else { return };
    let report = Report::of_scenario("seed-shed", &[]);
    let dark = browser.with("--blink-settings=preferredColorScheme=0");
    for browser in [browser, dark] {
        let printed = paper::print(&browser, &report.path, "A4");
        let (coloured, dark, all) = printed.pixels();
        assert_eq!(coloured, 0, "of {all} pixels");
        assert!(dark * 4 < all, "{dark} of {all} pixels are dark");
    }
}

/// A check that finds nothing might look for nothing: this page has every fault.
#[test]
fn the_checks_find_the_faults_of_a_bad_page_or_skipped_where_no_browser_is() {
    let Some(browser) = Browser::or_skip() else { return };
    let path = reports::bad_page();
    let looks = screen::looks(&browser, &path);
    let found = looks[0].faults.join("\n");
    for fault in [
        "the page is",
        "it asked for http://127.0.0.1:9/not-there.png",
        "it would fetch http://127.0.0.1:9/not-there.png",
        "it would fetch url(paper.png",
        "it would fetch a script",
        "cut off: <div>",
        "text runs off the page",
        "lines overlap: \"under\"",
        "labels in drawing \"bad\" overlap",
        "label outside drawing \"bad\": \"outside\"",
        "is not marked as a picture",
        "has no description",
        "a figure has no caption",
        "heading level 4 follows level 1",
        "table head without scope",
        "a table has no caption",
        "id used twice: x",
        "link to the outside: https://",
        "nothing has the id nowhere",
        "contrast 2.85: <p> \"pale\"",
        "no viewport",
        "console: ",
    ] {
        assert!(found.contains(fault), "not found: {fault}\nfound:\n{found}");
    }
    let printed = paper::print(&browser, &path, "A4").faults().join("\n");
    assert!(printed.contains("overlap"), "{printed}");
    assert!(printed.contains("\"edge\" runs off the sheet"), "{printed}");
}
