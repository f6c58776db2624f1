//! Many sites in one file: YAML documents, each a site file of its own, parted by lines of `---`.

use super::Read;
use super::codes::PLANES_IN_MATCH;
use super::document::{Document, Value};
use super::findings::Findings;
use super::read_with;
use crate::diagnostic::Diagnostics;
use crate::model::{CustomerTerms, Installation};

/// One document of a file with many sites.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteDocument {
    /// Which one, from 1.
    pub number: usize,
    /// The line on which it begins, from 1.
    pub line: usize,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// What it says, or every mistake in it.
    pub read: Result<Read<(Installation, CustomerTerms)>, Diagnostics>,
}

/// Reads every site of a file; `name` is the file's name as the user gave it. Documents with nothing
/// in them but comments are left out, so the list may be empty.
#[must_use]
pub fn read_sites(name: &str, bytes: &[u8]) -> Vec<SiteDocument> {
    let documents = cut_documents(bytes);
    let numbered = documents.into_iter().zip(1..);
    numbered
        .map(|((line, bytes), number)| {
            let mut read = read_with(name, bytes, refuse_planes);
            let told = match &read {
                Ok(read) => !read.warnings.0.is_empty(),
                Err(_) => true,
            };
            if told && line > 1 {
                read = read_at(name, line, bytes);
            }
            SiteDocument { number, line, bytes: bytes.to_vec(), read }
        })
        .collect()
}

/// Reads a document again with as many empty lines before it as stand there in the file, so that every
/// finding, and every other line that it names, has the number that the person sees.
fn read_at(
    name: &str,
    line: usize,
    bytes: &[u8],
) -> Result<Read<(Installation, CustomerTerms)>, Diagnostics> {
    let mut padded = vec![b'\n'; line - 1];
    padded.extend_from_slice(bytes);
    read_with(name, &padded, refuse_planes)
}

/// A seller's panels have no plane to stand on, so nobody knows what sun they would have.
fn refuse_planes(document: &Document, findings: &mut Findings) {
    let Value::Map(entries) = &document.root.value else { return };
    let planes = entries.iter().find(|e| e.key == "planes" && e.node.value != Value::Nothing);
    if let Some(entry) = planes {
        let message = "stock is not shared out over sites with `planes`";
        let help =
            "ask for this site alone, with `sungraft advise` and the stock among its `spares`";
        findings.error(PLANES_IN_MATCH, entry.key_place, message, help);
    }
}

/// The documents, each with the line on which it begins.
///
/// A line that begins with `---` parts documents wherever it stands (YAML 1.2, section 9.1.2: no text
/// of a document may begin a line so).
fn cut_documents(bytes: &[u8]) -> Vec<(usize, &[u8])> {
    let mut documents = Vec::new();
    let (mut start, mut start_line) = (0, 1);
    let (mut at, mut line) = (0, 1);
    for text in bytes.split_inclusive(|b| *b == b'\n') {
        if is_marker(text) && at > start {
            documents.push((start_line, &bytes[start..at]));
            (start, start_line) = (at, line);
        }
        at += text.len();
        line += 1;
    }
    documents.push((start_line, &bytes[start..]));
    documents.retain(|(_, text)| text.split(|b| *b == b'\n').any(says_something));
    documents
}

fn is_marker(line: &[u8]) -> bool {
    line.strip_prefix(b"---").is_some_and(|rest| rest.first().is_none_or(u8::is_ascii_whitespace))
}

/// Is a line more than a comment, a marker or a directive?
fn says_something(line: &[u8]) -> bool {
    let line = line.strip_prefix(b"\xef\xbb\xbf").unwrap_or(line);
    let line = line.strip_prefix(b"---").unwrap_or(line).trim_ascii();
    !(line.is_empty() || line.starts_with(b"#") || line.starts_with(b"%") || line == b"...")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> Vec<(usize, &str)> {
        let utf8 = |text| std::str::from_utf8(text).expect("it was text");
        cut_documents(text.as_bytes()).into_iter().map(|(n, text)| (n, utf8(text))).collect()
    }

    #[test]
    fn documents_are_cut_at_their_marks_and_keep_their_lines() {
        assert_eq!(cut("a: 1\n"), [(1, "a: 1\n")]);
        assert_eq!(cut("---\na: 1\n---\nb: 2\n"), [(1, "---\na: 1\n"), (3, "---\nb: 2\n")]);
        assert_eq!(
            cut("# note\n--- # one\na: 1\n...\n---\n# none\n"),
            [(2, "--- # one\na: 1\n...\n")]
        );
        assert_eq!(cut("a: 1\r\n---\r\nb: 2"), [(1, "a: 1\r\n"), (2, "---\r\nb: 2")]);
        assert_eq!(cut("a: --- b\n ---\n"), [(1, "a: --- b\n ---\n")]);
        assert!(cut("\n# nothing\n---\n").is_empty());
    }

    #[test]
    fn a_site_with_planes_is_refused_on_its_line_and_the_others_are_read() {
        let starter = crate::input::starter();
        let planes = "planes:\n  - id: roof\n    tilt_deg: 30\n    azimuth_deg: 90\n    room: 2\n";
        let placed = starter.replace("\ninstalled:\n", &format!("\n{planes}installed:\n"));
        let text = format!("{starter}---\n{placed}");
        let sites = read_sites("sites.yaml", text.as_bytes());
        let sound: Vec<bool> = sites.iter().map(|s| s.read.is_ok()).collect();
        assert_eq!(sound, [true, false]);
        let findings = sites[1].read.clone().expect_err("it has planes");
        let at = text.lines().position(|l| l == "planes:").expect("it stands there") + 1;
        let codes: Vec<_> = findings.0.iter().map(|f| f.code).collect();
        assert!(codes.contains(&PLANES_IN_MATCH), "{findings}");
        assert!(findings.to_string().contains(&format!("sites.yaml:{at}:")), "{at}: {findings}");
    }

    #[test]
    fn a_mistake_is_told_on_the_line_that_the_person_sees() {
        let starter = crate::input::starter();
        let broken = starter.replace("coldest_c:", "coldest:");
        let text = format!("{starter}---\n{broken}---\n{starter}");
        let sites = read_sites("sites.yaml", text.as_bytes());
        let sound: Vec<bool> = sites.iter().map(|s| s.read.is_ok()).collect();
        assert_eq!(sound, [true, false, true]);
        let findings = sites[1].read.clone().expect_err("is broken").to_string();
        let at = text.lines().position(|l| l.trim_start().starts_with("coldest:"));
        let at = at.expect("it stands there") + 1;
        assert!(findings.contains(&format!("sites.yaml:{at}:")), "{at}: {findings}");
    }
}
