//! What is wrong, where, how to mend it: data and its text, no printing.
//!
//! Architecture invariant: nothing here reads files or writes to a terminal.

use std::fmt;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The input cannot be used as it is.
    Error,
    /// The input is used as it is, but a person should look.
    Warning,
}

/// A place in a text, counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// One finding about an input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Error or warning.
    pub severity: Severity,
    /// Stable number of this sort of finding, as `E103` or `W201`.
    pub code: &'static str,
    /// What is wrong, with both numbers, lower case, names in backticks.
    pub message: String,
    /// Name of the file as the user gave it, `-` for standard input.
    pub file: String,
    /// Where; `None` if the whole file is meant.
    pub place: Option<Place>,
    /// The line itself, without its line end.
    pub source_line: Option<String>,
    /// How to mend it.
    pub help: Option<String>,
}

/// Every finding about one input, worst first and then in file order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Diagnostics(pub Vec<Diagnostic>);

impl Diagnostics {
    /// Does any of them forbid use of the input?
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.0.iter().any(|d| d.severity == Severity::Error)
    }

    /// How many there are of each severity, in words: `2 errors, 1 warning`; empty if there is none.
    #[must_use]
    pub fn tally(&self) -> String {
        let parts: Vec<String> = [Severity::Error, Severity::Warning]
            .into_iter()
            .filter_map(|severity| {
                let n = self.0.iter().filter(|d| d.severity == severity).count();
                let plural = if n == 1 { "" } else { "s" };
                (n > 0).then(|| format!("{n} {severity}{plural}"))
            })
            .collect();
        parts.join(", ")
    }
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        })
    }
}

/// Widest part of a source line that is shown; longer lines are cut around the caret, in characters.
const SOURCE_WIDTH: usize = 80;
/// Widest line of help, in characters.
const HELP_WIDTH: usize = 94;

/// What is wrong, where, the line with a caret under the column, then help; several lines, no line end.
impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}[{}]: ", self.severity, self.code)?;
        f.write_str(&printable(&self.message))?;
        write!(f, "\n --> {}", printable(&self.file))?;
        if let Some(place) = self.place {
            write!(f, ":{}:{}", place.line, place.column)?;
            if let Some(line) = &self.source_line {
                let (shown, caret) = window(&printable(line), place.column);
                let number = place.line.to_string();
                let gutter = " ".repeat(number.len());
                write!(f, "\n  {number} | {shown}")?;
                write!(f, "\n  {gutter} | {}^", " ".repeat(caret))?;
            }
        }
        if let Some(help) = &self.help {
            f.write_str("\nhelp: ")?;
            f.write_str(&wrap(&printable(help), HELP_WIDTH).join("\n      "))?;
        }
        Ok(())
    }
}

/// Every finding, with an empty line between two; no line end.
impl fmt::Display for Diagnostics {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, diagnostic) in self.0.iter().enumerate() {
            if i > 0 {
                f.write_str("\n\n")?;
            }
            diagnostic.fmt(f)?;
        }
        Ok(())
    }
}

/// The same text with one harmless character for each that would steer a terminal or reorder a line.
fn printable(text: &str) -> String {
    let steers =
        |c: char| c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    text.chars()
        .map(|c| match c {
            '\t' => ' ',
            c if steers(c) => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// The part of a line to show around a column, and how many characters of it stand before the caret.
fn window(line: &str, column: usize) -> (String, usize) {
    let chars: Vec<char> = line.trim_end().chars().collect();
    let caret = (column - 1).min(chars.len());
    if chars.len() <= SOURCE_WIDTH {
        return (chars.iter().collect(), caret);
    }
    let start = caret.saturating_sub(SOURCE_WIDTH / 2);
    let end = (start + SOURCE_WIDTH).min(chars.len());
    let head = if start > 0 { "…" } else { "" };
    let tail = if end < chars.len() { "…" } else { "" };
    let shown: String = chars[start..end].iter().collect();
    (format!("{head}{shown}{tail}"), caret - start + head.chars().count())
}

/// Words laid into lines of at most `width` characters; a longer word gets a line of its own.
/// What stands in backticks is one word, since it is meant to be copied.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut in_backticks = false;
    let words = text.split(|c| {
        in_backticks ^= c == '`';
        c == ' ' && !in_backticks
    });
    for word in words {
        let line = lines.last_mut().expect("there is always a line");
        if line.is_empty() {
            line.push_str(word);
        } else if line.chars().count() + 1 + word.chars().count() <= width {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn swapped() -> Diagnostic {
        Diagnostic {
            severity: Severity::Error,
            code: "E307",
            message: "`vmp_v` must be below `voc_v` (31.0 is not below 22.4)".into(),
            file: "seed-shed.yaml".into(),
            place: Some(Place { line: 14, column: 12 }),
            source_line: Some("    vmp_v: 31.0".into()),
            help: Some("the two label values may be swapped".into()),
        }
    }

    #[test]
    fn a_finding_shows_the_line_and_a_caret_under_the_column() {
        let expected = "\
error[E307]: `vmp_v` must be below `voc_v` (31.0 is not below 22.4)
 --> seed-shed.yaml:14:12
  14 |     vmp_v: 31.0
     |            ^
help: the two label values may be swapped";
        assert_eq!(swapped().to_string(), expected);
    }

    #[test]
    fn a_finding_about_a_whole_file_shows_no_line() {
        let whole = Diagnostic { place: None, source_line: None, help: None, ..swapped() };
        assert!(whole.to_string().ends_with("\n --> seed-shed.yaml"));
    }

    #[test]
    fn a_long_line_is_cut_around_the_caret() {
        let line = format!("{}X{}", "a".repeat(200), "b".repeat(200));
        let (shown, caret) = window(&line, 201);
        assert_eq!(shown.chars().count(), SOURCE_WIDTH + 2);
        assert_eq!(shown.chars().nth(caret), Some('X'));
    }

    #[test]
    fn a_caret_past_the_end_of_its_line_stays_at_the_end() {
        assert_eq!(window("abc", 50), ("abc".to_owned(), 3));
    }

    #[test]
    fn what_would_steer_a_terminal_is_not_passed_on() {
        let mut nasty = swapped();
        nasty.message = "kind `\u{1b}[2J\u{202e}` is odd".into();
        nasty.source_line = Some("\tid: \"\u{7}\"".into());
        let text = nasty.to_string();
        assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{text}");
        assert!(!text.contains('\u{202e}'));
    }

    #[test]
    fn findings_are_tallied_by_severity() {
        let warning = Diagnostic { severity: Severity::Warning, ..swapped() };
        let both = Diagnostics(vec![swapped(), swapped(), warning.clone()]);
        assert_eq!(both.tally(), "2 errors, 1 warning");
        assert_eq!(Diagnostics(vec![warning]).tally(), "1 warning");
        assert_eq!(Diagnostics::default().tally(), "");
    }

    #[test]
    fn help_is_laid_into_lines() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("so `a b` is", 7), ["so", "`a b`", "is"]);
    }
}
