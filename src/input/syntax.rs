//! What the YAML reader complains about, in words for somebody who does not know YAML.

use super::codes::{SEVERAL_DOCUMENTS, SYNTAX, TAB};
use super::findings::{Findings, quoted};
use crate::diagnostic::Place;

/// Complaints of the reader (the part to look for), what they mean, how to mend it.
const COMPLAINTS: &[(&str, &str, &str)] = &[
    (
        "mapping values are not allowed",
        "a `:` cannot stand here",
        "a key has one value on its line; is a line break missing, or is this line or the one above indented wrongly? Put text that holds `: ` into quotes",
    ),
    (
        "could not find expected ':'",
        "`: ` is missing behind the key that begins here",
        "a key needs a colon and then a space, as in `vmp_v: 18.4`; look at this line and the one above",
    ),
    (
        "did not find expected key",
        "a key was expected here",
        "keys of one group begin in the same column; look at the indentation of this line and at quotes and brackets above it",
    ),
    (
        "did not find expected '-' indicator",
        "this line is indented less than the keys above it",
        "indent it like them if it belongs to the same entry; a new entry begins with `- ` in the column of the other entries",
    ),
    (
        "block sequence entries are not allowed",
        "a `- ` cannot begin here",
        "the entries of a list stand on lines of their own, below their key",
    ),
    (
        "did not find expected ',' or ']'",
        "a list in brackets is not closed before here",
        "put a comma between two entries and a `]` at the end",
    ),
    (
        "did not find expected ',' or '}'",
        "a group in braces is not closed before here",
        "put a comma between two keys and a `}` at the end",
    ),
    (
        "did not find expected node content",
        "a value was expected here",
        "is there a comma, bracket or sign too many?",
    ),
    (
        "found unexpected document indicator",
        "the file goes on with `---` or `...` before a quote is closed",
        "close the quote further up",
    ),
    (
        "found unknown escape character",
        "a `\\` stands in double quotes before a sign that it cannot escape",
        "use single quotes, or write `\\\\`",
    ),
    (
        "found character that cannot start any token",
        "a value cannot begin with this sign",
        "put the text into quotes",
    ),
    (
        "undefined alias",
        "a `*` refers to a name that is defined nowhere",
        "put text that begins with `*` into quotes",
    ),
    (
        "unknown anchor",
        "a `*` refers to a name that is defined nowhere",
        "put text that begins with `*` into quotes",
    ),
    (
        "while scanning an alias",
        "a `*` begins an alias in YAML",
        "put text that begins with `*` into quotes",
    ),
    (
        "while scanning an anchor",
        "a `&` begins an anchor in YAML",
        "put text that begins with `&` into quotes",
    ),
    (
        "while scanning a directive",
        "a `%` at the start of a line begins a directive in YAML",
        "is it meant as a comment? Then begin it with `#`",
    ),
    (
        "recursion limit exceeded",
        "values are nested too deeply",
        "is a bracket left open further up?",
    ),
    (
        "repetition limit exceeded",
        "aliases (`*name`) repeat values far too often",
        "write the values out",
    ),
    (
        "control characters are not allowed",
        "an invisible control character stands in the file",
        "delete it; such signs come from copying out of a document",
    ),
];

/// Adds the finding for a complaint of the reader about a text.
pub(super) fn report_syntax(
    complaint: &str,
    place: Option<Place>,
    text: &str,
    findings: &mut Findings,
) {
    if complaint.contains("more than one document") {
        return report_second_document(findings);
    }
    let start = Place { line: 1, column: 1 };
    let at = place.unwrap_or(start);
    if let Some(tab) = tab_in_indentation(at, findings) {
        let message = "a tab stands in the indentation";
        return findings.error(
            TAB,
            tab,
            message,
            "indent with spaces; YAML does not allow tabs there",
        );
    }
    if complaint.contains("found unexpected end of stream") {
        let opened = place_behind("scanning a quoted scalar at ", complaint).unwrap_or(at);
        let help = "put the same quote at the end of the text";
        return findings.error(SYNTAX, opened, "a quote opens here and is never closed", help);
    }
    if let Some(opened) = unclosed_bracket(complaint, at, findings) {
        let help = "put the closing bracket where the list or group ends";
        return findings.error(SYNTAX, opened, "a bracket opens here and is not closed", help);
    }
    if let Some(space) = non_breaking_space(at, findings) {
        let help = "type the space again; text copied from web pages and documents holds non-breaking ones";
        return findings.error(SYNTAX, space, "a non-breaking space stands here", help);
    }
    let (message, help) = in_plain_words(complaint);
    let at = match key_without_space(at, findings) {
        Some(better) if complaint.contains("could not find expected ':'") => better,
        _ => last_line_with_text(at, text),
    };
    findings.error(SYNTAX, at, message, help);
}

fn in_plain_words(complaint: &str) -> (String, String) {
    match COMPLAINTS.iter().find(|(part, ..)| complaint.contains(part)) {
        Some((_, message, help)) => ((*message).to_owned(), (*help).to_owned()),
        None => (
            format!("this is not YAML: {}", quoted(complaint)),
            "look at indentation, quotes, brackets and colons on this line and the one above"
                .to_owned(),
        ),
    }
}

/// The first line up to the place that is indented with a tab.
fn tab_in_indentation(up_to: Place, findings: &Findings) -> Option<Place> {
    findings.lines.numbered().take_while(|(number, _)| *number <= up_to.line).find_map(
        |(line, content)| {
            let indentation: String = content.chars().take_while(|c| c.is_whitespace()).collect();
            let rest = &content[indentation.len()..];
            let column = indentation.chars().position(|c| c == '\t')? + 1;
            (!rest.is_empty() && !rest.starts_with('#')).then_some(Place { line, column })
        },
    )
}

/// A non-breaking space on the line of the place or the one before it.
fn non_breaking_space(at: Place, findings: &Findings) -> Option<Place> {
    [at.line.saturating_sub(1), at.line].into_iter().find_map(|line| {
        let i = findings.lines.get(line)?.chars().position(|c| c == '\u{a0}')?;
        Some(Place { line, column: i + 1 })
    })
}

/// Where a list or group in brackets began that the reader found unclosed on a later line.
fn unclosed_bracket(complaint: &str, at: Place, findings: &Findings) -> Option<Place> {
    let opened = place_behind("parsing a flow sequence at ", complaint)
        .or_else(|| place_behind("parsing a flow mapping at ", complaint))?;
    (opened.line < at.line && findings.lines.get(opened.line).is_some()).then_some(opened)
}

/// `key:value` without a space, on the line of the place or the one before it.
fn key_without_space(at: Place, findings: &Findings) -> Option<Place> {
    [at.line, at.line.saturating_sub(1)].into_iter().find_map(|number| {
        let line = findings.lines.get(number)?;
        let content = line.split(" #").next().unwrap_or(line);
        let lacks_space = !content.contains(": ") && !content.trim_end().ends_with(':');
        let begins = line.find(|c: char| !c.is_whitespace() && c != '-')?;
        let is_comment = line[begins..].starts_with('#');
        (lacks_space && !is_comment)
            .then(|| Place { line: number, column: line[..begins].chars().count() + 1 })
    })
}

/// The reader may notice at the end of the file, or on an empty line, what is wrong above.
fn last_line_with_text(at: Place, text: &str) -> Place {
    let lines = super::lines::Lines::of(text);
    let is_empty = |line: &str| line.trim().is_empty();
    if lines.get(at.line).is_some_and(|line| !is_empty(line)) {
        return at;
    }
    let above = lines.numbered().take_while(|(number, _)| *number < at.line);
    above.filter(|(_, line)| !is_empty(line)).last().map_or(at, |(line, content)| Place {
        line,
        column: content.trim_end().chars().count() + 1,
    })
}

/// The place that stands behind some words of a complaint: `… at line 3 column 5`.
fn place_behind(words: &str, complaint: &str) -> Option<Place> {
    let (_, tail) = complaint.split_once(words)?;
    let tail = tail.strip_prefix("line ")?;
    let (line, tail) = tail.split_once(" column ")?;
    let digits: String = tail.chars().take_while(char::is_ascii_digit).collect();
    Some(Place { line: line.parse().ok()?, column: digits.parse().ok()? })
}

/// The line that begins a second document.
fn report_second_document(findings: &mut Findings) {
    let is_content = |line: &str| !line.trim().is_empty() && !line.trim_start().starts_with('#');
    let mut content_before = false;
    let mut found = Place { line: 1, column: 1 };
    for (line, content) in findings.lines.numbered() {
        let is_mark = content.starts_with("---") || content.starts_with("...");
        if is_mark && content_before {
            found = Place { line, column: 1 };
            break;
        }
        content_before |= is_content(content) && !is_mark && !content.starts_with('%');
    }
    let help =
        "keep one site in a file: delete this line, or move what follows into a file of its own";
    findings.error(SEVERAL_DOCUMENTS, found, "a second document begins here", help);
}
