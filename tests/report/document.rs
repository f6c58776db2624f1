//! The report as a file: sound HTML, sound Markdown, the same said in both, nothing left out.

use std::fs;
use std::path::Path;

use roxmltree::{Document, Node, ParsingOptions};
use sungraft::report::{self, ReportForm, SiteFile};
use sungraft::{input, planner};

use crate::fixtures::{Case, cases, grafted};
use crate::golden::compare;

/// A report with steps and test sheet, as the program would write it.
fn written(case: &Case, form: ReportForm) -> String {
    written_from(case, "site:\n  name: a shed\n", form)
}

fn written_from(case: &Case, text: &str, form: ReportForm) -> String {
    let method = planner::method(&case.installation, &case.advice, None).expect("labels fit");
    let file = SiteFile { name: "shed.yaml", text };
    report::report(&case.installation, &case.advice, method.as_ref(), file, form)
}

fn parsed(page: &str) -> Document<'_> {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    Document::parse_with_options(page, options).unwrap_or_else(|e| panic!("{e}\n{page}"))
}

/// The words of an element in a row; a drawing's are its own.
fn words_of(node: Node<'_, '_>) -> String {
    let text = node.descendants().filter(|n| n.is_text() && !is_inside(*n, &["svg", "style"]));
    squeezed(&text.filter_map(|n| n.text()).collect::<String>())
}

fn is_inside(node: Node<'_, '_>, names: &[&str]) -> bool {
    node.ancestors().any(|a| names.contains(&a.tag_name().name()))
}

fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Text without the characters that Markdown takes for marks.
fn unmarked(page: &str) -> String {
    squeezed(&page.replace("- [ ] ", "").replace('\\', "").replace(['*', '>', '|', '`'], " "))
}

#[test]
fn the_page_is_sound_and_nothing_in_it_runs_or_is_fetched() {
    for case in cases() {
        let page = written(&case, ReportForm::Html);
        let document = parsed(&page);
        for node in document.descendants().filter(Node::is_element) {
            let name = node.tag_name().name();
            let forbidden = ["script", "link", "iframe", "object", "embed", "img", "base", "form"];
            assert!(!forbidden.contains(&name), "{}: <{name}>", case.name);
            for attribute in node.attributes() {
                let (key, value) = (attribute.name(), attribute.value());
                assert!(!key.starts_with("on"), "{}: {key}", case.name);
                let fetches = ["src", "href", "data", "action"].contains(&key);
                assert!(!fetches || value.starts_with('#'), "{}: {key}={value}", case.name);
            }
        }
        assert!(!page.contains("url(http") && !page.contains("@import"), "{}", case.name);
    }
}

#[test]
fn headings_follow_each_other_and_ids_stand_once() {
    for case in cases() {
        let page = written(&case, ReportForm::Html);
        let document = parsed(&page);
        let mut level = 0;
        for node in document.descendants() {
            let name = node.tag_name().name();
            if let Some(next) = name.strip_prefix('h').and_then(|n| n.parse::<usize>().ok()) {
                assert!(next <= level + 1, "{}: h{next} after h{level}", case.name);
                assert!(next > 1 || level == 0, "{}: a second h1", case.name);
                level = next;
            }
        }
        let mut ids: Vec<&str> = document.descendants().filter_map(|n| n.attribute("id")).collect();
        let all = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), all, "{}: {ids:?}", case.name);
    }
}

#[test]
fn names_that_look_like_markup_stay_names() {
    let mut case = grafted();
    let name = "<script>alert('1 & 2')</script> | *creek* \"90\" `[x](y)`";
    case.installation.kinds[1].id = name.into();
    case.advice.site = "</title></style><b>shed</b>".into();
    let page = written(&case, ReportForm::Html);
    let document = parsed(&page);
    assert!(words_of(document.root_element()).contains(name), "{page}");
    let text = written(&case, ReportForm::Markdown);
    let escaped = "\\<script\\>alert('1 \\& 2')\\</script\\> | \\*creek\\* \"90\" \\`\\[x\\](y)\\`";
    assert!(text.contains(escaped), "{text}");
    let rows = text.lines().filter(|l| l.contains("creek") && l.starts_with('|'));
    for row in rows {
        assert!(row.contains("\\| \\*creek\\*"), "{row}");
    }
    assert!(text.starts_with("# \\</title\\>\\</style\\>\\<b\\>shed\\</b\\>\n"), "{text}");
}

#[test]
fn both_forms_say_the_same() {
    for case in cases() {
        let page = written(&case, ReportForm::Html);
        let text = unmarked(&written(&case, ReportForm::Markdown));
        let document = parsed(&page);
        let said = ["h1", "h2", "h3", "p", "li", "th", "td", "caption"];
        for node in document.descendants().filter(|n| said.contains(&n.tag_name().name())) {
            let nested = node.descendants().skip(1).any(|n| said.contains(&n.tag_name().name()));
            let blank = node.descendants().any(|n| n.attribute("class") == Some("blank"));
            if nested || blank || is_inside(node, &["nav", "svg"]) {
                continue;
            }
            let words = unmarked(&words_of(node));
            assert!(text.contains(&words), "{}: {words:?} is not in\n{text}", case.name);
        }
    }
}

#[test]
fn every_sentence_of_the_answer_is_in_the_report() {
    for case in cases() {
        let page = written(&case, ReportForm::Html);
        let document = parsed(&page);
        let text = words_of(document.root_element());
        let advice = &case.advice;
        let mut wanted: Vec<&str> = vec![&advice.site];
        wanted.extend(advice.assumed.iter().map(String::as_str));
        wanted.extend(advice.notes.iter().map(String::as_str));
        wanted.extend(advice.ask.iter().map(String::as_str));
        wanted.extend(advice.cautions.iter().copied());
        wanted.extend(advice.spares.iter().map(|s| s.because.as_str()));
        wanted.extend(advice.spares.iter().map(|s| s.would_help.as_str()));
        wanted.extend(advice.idle.iter().map(|i| i.because.as_str()));
        let shown = advice.best.map_or(&advice.today, |best| &advice.plans[best].state);
        wanted.extend(shown.checks.iter().flat_map(|c| [c.basis, c.note.as_str()]));
        for words in wanted {
            assert!(text.contains(&squeezed(words)), "{}: {words}", case.name);
        }
    }
}

#[test]
fn the_first_section_is_what_the_page_for_the_terminal_opens_with() {
    for case in cases() {
        let page = written(&case, ReportForm::Html);
        let document = parsed(&page);
        let answer = document.descendants().find(|n| n.attribute("id") == Some("answer"));
        let answer = words_of(answer.expect("has an answer"));
        let terminal = report::advice(&case.installation, &case.advice, report::Format::Table);
        let first = terminal.split("\n\n").next().expect("has a first block");
        let verdict = first.split_once('\n').expect("a heading, then the verdict").1;
        // A line that is not indented begins a sentence.
        for sentence in verdict.replace("\n  ", " ").lines() {
            if !sentence.starts_with("Planned here") {
                assert!(answer.contains(&squeezed(sentence)), "{}: {sentence}", case.name);
            }
        }
    }
}

#[test]
fn the_site_file_stands_in_it_word_for_word() {
    let text = "# a fence: ```` and <b> & ]]>\nsite:\n\tname: \"shed\"\n";
    let page = written_from(&grafted(), text, ReportForm::Html);
    let document = parsed(&page);
    let code = document.descendants().find(|n| n.has_tag_name("code")).expect("is there");
    assert_eq!(code.text(), Some(text));
    let page = written_from(&grafted(), text, ReportForm::Markdown);
    assert!(page.contains(&format!("\n`````\n{text}`````\n")), "{page}");
}

#[test]
fn names_cannot_turn_the_text_round() {
    let mut case = grafted();
    case.installation.kinds[1].id = "creek\u{1b}[2J\u{202e}\u{7}90".into();
    for form in [ReportForm::Html, ReportForm::Markdown] {
        let page = written(&case, form);
        assert!(!page.contains(['\u{1b}', '\u{7}', '\u{202e}']));
        assert!(page.contains("creek"));
    }
}

#[test]
fn the_same_answer_gives_the_same_report() {
    for form in [ReportForm::Html, ReportForm::Markdown] {
        assert_eq!(written(&grafted(), form), written(&grafted(), form));
    }
}

/// `SUNGRAFT_BLESS=1 cargo test --test report` writes the files anew.
#[test]
fn two_reports_are_what_was_read_in_review() {
    for name in ["seed-shed", "cider-barn"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/{name}.yaml"));
        let text = fs::read_to_string(&path).expect("readable");
        let site = input::read_site(name, text.as_bytes()).expect("is sound").value;
        let advice = planner::advise(&site, &planner::Options::default()).expect("labels fit");
        let method = planner::method(&site, &advice, None).expect("labels fit");
        let file = SiteFile { name: &format!("{name}.yaml"), text: &text };
        let page = report::report(&site, &advice, method.as_ref(), file, ReportForm::Markdown);
        compare(&format!("report_{name}.md"), &page).unwrap_or_else(|e| panic!("{e}"));
    }
}
