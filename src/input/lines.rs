//! Lines of a text, counted as the YAML reader counts them.

use crate::diagnostic::Place;

/// The lines of a text, without their ends.
///
/// YAML 1.1 (section 4.2) breaks lines at CR LF, CR, LF, NEL, LS and PS.
pub(super) struct Lines<'t>(Vec<&'t str>);

impl<'t> Lines<'t> {
    pub(super) fn of(text: &'t str) -> Self {
        let mut lines = Vec::new();
        let mut start = 0;
        let mut chars = text.char_indices().peekable();
        while let Some((at, c)) = chars.next() {
            if !matches!(c, '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}') {
                continue;
            }
            lines.push(&text[start..at]);
            start = at + c.len_utf8();
            if c == '\r' && chars.next_if(|&(_, next)| next == '\n').is_some() {
                start += 1;
            }
        }
        lines.push(&text[start..]);
        Self(lines)
    }

    /// A line by its number, from 1.
    pub(super) fn get(&self, line: usize) -> Option<&'t str> {
        self.0.get(line.checked_sub(1)?).copied()
    }

    /// Each line with its number, from 1.
    pub(super) fn numbered(&self) -> impl Iterator<Item = (usize, &'t str)> + '_ {
        self.0.iter().enumerate().map(|(i, line)| (i + 1, *line))
    }

    /// The run of characters at a place that could be a number.
    pub(super) fn number_at(&self, place: Place) -> &'t str {
        let Some(line) = self.get(place.line) else {
            return "";
        };
        let from = line
            .char_indices()
            .nth(place.column.saturating_sub(1))
            .map_or("", |(at, _)| &line[at..]);
        let end = from
            .find(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '+' | '-')))
            .unwrap_or(from.len());
        &from[..end]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sort_of_line_end_counts_once() {
        let lines = Lines::of("a\r\nb\rc\nd\u{85}e\u{2028}f");
        let all: Vec<&str> = lines.numbered().map(|(_, line)| line).collect();
        assert_eq!(all, ["a", "b", "c", "d", "e", "f"]);
        assert_eq!(lines.get(3), Some("c"));
        assert_eq!(lines.get(0), None);
    }

    #[test]
    fn a_number_is_read_back_as_typed() {
        let lines = Lines::of("é: [18.40, -2e3]");
        let at = |column| lines.number_at(Place { line: 1, column });
        assert_eq!(at(5), "18.40");
        assert_eq!(at(12), "-2e3");
        assert_eq!(at(99), "");
    }
}
