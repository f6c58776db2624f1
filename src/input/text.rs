//! Bytes to text: what is not text in UTF-8, or far too much of it, ends here.

use super::codes::{EMPTY_FILE, NOT_TEXT, TOO_MUCH};
use super::findings::Findings;
use super::lines::Lines;
use crate::diagnostic::{Diagnostics, Place};

/// Most bytes of a file: a site of 200 kinds and 5,000 panels needs about a tenth of it.
pub(super) const MAX_BYTES: usize = 1_000_000;
/// Most bytes of one line; also bounds what a finding repeats.
const MAX_LINE: usize = 20_000;
/// Most opening brackets. The YAML reader's time grows with open brackets times values,
/// so this bound is what keeps a hostile file from holding it for minutes.
const MAX_BRACKETS: usize = 4_000;

/// The text of a file, without a byte-order mark.
///
/// # Errors
/// One finding, if the bytes are not text in UTF-8, empty, or too much.
pub(super) fn decode<'b>(name: &str, bytes: &'b [u8]) -> Result<&'b str, Diagnostics> {
    let mut findings = Findings::new(name, "");
    if bytes.len() > MAX_BYTES {
        let message =
            format!("the file is too large ({} bytes; at most {MAX_BYTES} are read)", bytes.len());
        let help = "a site file is a few kilobytes of text: is this the right file?";
        findings.error_in_file(TOO_MUCH, message, help);
        return Err(findings.finish());
    }
    if looks_like_utf16(bytes) {
        let help = "save it again with the encoding UTF-8 (in the editor's \"save as\" dialogue)";
        findings.error_in_file(NOT_TEXT, "the file is text in UTF-16, not in UTF-8", help);
        return Err(findings.finish());
    }
    let text = match std::str::from_utf8(bytes) {
        Ok(text) => text.strip_prefix('\u{feff}').unwrap_or(text),
        Err(error) => return Err(not_utf8(name, bytes, error.valid_up_to())),
    };
    check_text(name, text)?;
    Ok(text)
}

/// The same for another sort of file; `about` stands wherever help would speak of site files.
pub(super) fn decode_other<'b>(
    name: &str,
    bytes: &'b [u8],
    about: &str,
) -> Result<&'b str, Diagnostics> {
    decode(name, bytes).map_err(|mut findings| {
        for finding in &mut findings.0 {
            if finding.help.as_ref().is_some_and(|h| h.contains("site file")) {
                finding.help = Some(about.to_owned());
            }
        }
        findings
    })
}

/// UTF-16 has a mark of its own, or every other byte is zero.
fn looks_like_utf16(bytes: &[u8]) -> bool {
    let marked = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    let head = &bytes[..bytes.len().min(40)];
    let zeros_at = |odd: usize| head.iter().skip(odd).step_by(2).filter(|b| **b == 0).count();
    let alternating =
        |zeros: usize, others: usize| zeros >= 2 && zeros * 4 >= head.len() && others == 0;
    marked || alternating(zeros_at(0), zeros_at(1)) || alternating(zeros_at(1), zeros_at(0))
}

/// Says where the first byte stands that is not UTF-8, or that the file is no text at all.
fn not_utf8(name: &str, bytes: &[u8], valid_up_to: usize) -> Diagnostics {
    let valid = String::from_utf8_lossy(&bytes[..valid_up_to]);
    let shown = String::from_utf8_lossy(bytes);
    let mut findings = Findings::new(name, &shown);
    if bytes.contains(&0) {
        findings.error_in_file(NOT_TEXT, "the file is not text", RIGHT_FILE);
        return findings.finish();
    }
    let lines = Lines::of(&valid);
    let place = lines.numbered().last().map_or(Place { line: 1, column: 1 }, |(line, before)| {
        Place { line, column: before.chars().count() + 1 }
    });
    let message = format!(
        "the file is not text in UTF-8 (byte 0x{:02x} cannot stand here)",
        bytes[valid_up_to]
    );
    let help =
        "save it again with the encoding UTF-8; signs such as ° and é were stored in an older one";
    findings.error(NOT_TEXT, place, message, help);
    findings.finish()
}

const RIGHT_FILE: &str = "a site file is plain text; `sungraft starter` prints one to begin from";

/// What is text but cannot be a site file.
fn check_text(name: &str, text: &str) -> Result<(), Diagnostics> {
    let mut findings = Findings::new(name, text);
    if text.trim().is_empty() {
        let help = "`sungraft starter` prints a commented site file to begin from";
        findings.error_in_file(EMPTY_FILE, "the file is empty", help);
        return Err(findings.finish());
    }
    if text.contains('\0') {
        findings.error_in_file(NOT_TEXT, "the file is not text", RIGHT_FILE);
        return Err(findings.finish());
    }
    let n_brackets = text.bytes().filter(|b| matches!(b, b'[' | b'{')).count();
    if n_brackets > MAX_BRACKETS {
        let message =
            format!("the file has {n_brackets} opening brackets (at most {MAX_BRACKETS} are read)");
        let help = "a site file needs one for each string and block: is this the right file?";
        findings.error_in_file(TOO_MUCH, message, help);
        return Err(findings.finish());
    }
    let mut first_long = None;
    let mut first_control = None;
    for (number, line) in findings.lines.numbered() {
        if line.len() > MAX_LINE && first_long.is_none() {
            first_long = Some((number, line.len()));
        }
        let control = line.chars().position(|c| c.is_ascii_control() && c != '\t');
        if let (Some(column), None) = (control, first_control) {
            first_control = Some(Place { line: number, column: column + 1 });
        }
    }
    if let Some((line, n_bytes)) = first_long {
        let message =
            format!("line {line} is too long ({n_bytes} bytes; at most {MAX_LINE} are read)");
        let help = "break it into several lines, each key on its own";
        findings.error_in_file(TOO_MUCH, message, help);
        return Err(findings.finish());
    }
    if let Some(place) = first_control {
        let help = "delete it; such signs come from copying out of a terminal or a document";
        findings.error(NOT_TEXT, place, "an invisible control character stands here", help);
        return Err(findings.finish());
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(bytes: &[u8]) -> &'static str {
        decode("a.yaml", bytes).expect_err("is refused").0[0].code
    }

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        assert_eq!(decode("a.yaml", b"\xef\xbb\xbfsite:\r\n"), Ok("site:\r\n"));
    }

    #[test]
    fn what_is_not_text_is_refused() {
        assert_eq!(code(b""), EMPTY_FILE);
        assert_eq!(code(b" \n\t\n"), EMPTY_FILE);
        assert_eq!(code(b"\xff\xfes\0i\0"), NOT_TEXT);
        assert_eq!(code(b"s\0i\0t\0e\0"), NOT_TEXT);
        assert_eq!(code(b"\x7fELF\x00\x01\xff\xfe"), NOT_TEXT);
        assert_eq!(code(b"site:\0"), NOT_TEXT);
        assert_eq!(code(b"site: \x1b[2J"), NOT_TEXT);
    }

    #[test]
    fn what_is_far_too_much_is_refused() {
        assert_eq!(code(&vec![b'#'; MAX_BYTES + 1]), TOO_MUCH);
        assert_eq!(code(&vec![b'#'; MAX_LINE + 1]), TOO_MUCH);
        assert_eq!(code("{a: \n".repeat(MAX_BRACKETS + 1).as_bytes()), TOO_MUCH);
    }

    #[test]
    fn the_first_byte_of_an_older_encoding_is_named_with_its_place() {
        let latin1 = b"site:\n  name: caf\xe9\n";
        let found = decode("a.yaml", latin1).expect_err("is refused");
        assert_eq!(found.0[0].place, Some(Place { line: 2, column: 12 }));
        assert!(found.0[0].message.contains("0xe9"));
    }
}
