//! Collects every mistake before anything stops.

use super::codes::{MORE_ERRORS, MORE_WARNINGS};
use super::lines::Lines;
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Severity};

/// Most findings that are listed; a person mends these first.
const MAX_LISTED: usize = 100;
/// Most characters of a person's text that a message repeats.
const MAX_QUOTED: usize = 50;

/// The findings about one file so far.
pub(super) struct Findings<'t> {
    file: String,
    pub(super) lines: Lines<'t>,
    list: Vec<Diagnostic>,
}

impl<'t> Findings<'t> {
    pub(super) fn new(file: &str, text: &'t str) -> Self {
        Self { file: file.to_owned(), lines: Lines::of(text), list: Vec::new() }
    }

    /// The input cannot be used.
    pub(super) fn error(
        &mut self,
        code: &'static str,
        at: Place,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Severity::Error, code, Some(at), message.into(), Some(help.into()));
    }

    /// The input is used as it is, but a person should look.
    pub(super) fn warning(
        &mut self,
        code: &'static str,
        at: Place,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Severity::Warning, code, Some(at), message.into(), Some(help.into()));
    }

    /// The input cannot be used, and no single place is to blame.
    pub(super) fn error_in_file(
        &mut self,
        code: &'static str,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        self.push(Severity::Error, code, None, message.into(), Some(help.into()));
    }

    /// How many errors there are so far.
    pub(super) fn n_errors(&self) -> usize {
        let errors = self.list.iter().filter(|d| d.severity == Severity::Error);
        errors.count()
    }

    /// Worst first, then in file order; past a hundred only their number.
    pub(super) fn finish(mut self) -> Diagnostics {
        self.list.sort_by_key(|d| (d.severity, d.place));
        if self.list.len() > MAX_LISTED {
            let dropped = self.list.split_off(MAX_LISTED);
            let severity = dropped[0].severity;
            let code = match severity {
                Severity::Error => MORE_ERRORS,
                Severity::Warning => MORE_WARNINGS,
            };
            let message = format!("{} more findings are not listed", dropped.len());
            let help = Some("mend those above, then run again".to_owned());
            self.push(severity, code, None, message, help);
        }
        Diagnostics(self.list)
    }

    fn push(
        &mut self,
        severity: Severity,
        code: &'static str,
        place: Option<Place>,
        message: String,
        help: Option<String>,
    ) {
        let source_line = place.and_then(|at| self.lines.get(at.line));
        self.list.push(Diagnostic {
            severity,
            code,
            message,
            file: self.file.clone(),
            place,
            source_line: source_line.map(str::to_owned),
            help,
        });
    }
}

/// A person's text in backticks, cut if it is long.
pub(super) fn quoted(text: &str) -> String {
    if text.chars().count() <= MAX_QUOTED {
        return format!("`{text}`");
    }
    let head: String = text.chars().take(MAX_QUOTED).collect();
    format!("`{head}…`")
}

/// A number with at most so many decimals, and no trailing zeros.
pub(super) fn rounded(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if !text.contains('.') {
        return text;
    }
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0" } else { text }.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn errors_come_first_and_then_the_order_of_the_file() {
        let mut findings = Findings::new("a.yaml", "one\ntwo\nthree");
        let at = |line| Place { line, column: 1 };
        findings.warning("W1", at(1), "w", "h");
        findings.error("E2", at(3), "e", "h");
        findings.error("E1", at(2), "e", "h");
        let codes: Vec<&str> = findings.finish().0.iter().map(|d| d.code).collect();
        assert_eq!(codes, ["E1", "E2", "W1"]);
    }

    #[test]
    fn a_flood_of_findings_is_cut_and_counted() {
        let mut findings = Findings::new("a.yaml", "");
        for _ in 0..150 {
            findings.error("E1", Place { line: 1, column: 1 }, "e", "h");
        }
        let listed = findings.finish().0;
        assert_eq!(listed.len(), MAX_LISTED + 1);
        assert_eq!(listed[MAX_LISTED].message, "50 more findings are not listed");
    }

    #[test]
    fn a_flood_of_warnings_is_no_error() {
        let mut findings = Findings::new("a.yaml", "");
        for _ in 0..150 {
            findings.warning("W1", Place { line: 1, column: 1 }, "w", "h");
        }
        assert!(!findings.finish().has_errors());
    }

    #[test]
    fn numbers_lose_trailing_zeros_only_behind_the_point() {
        assert_eq!(rounded(-0.3000, 2), "-0.3");
        assert_eq!(rounded(160.0, 0), "160");
        assert_eq!(rounded(-0.001, 2), "0");
    }
}
