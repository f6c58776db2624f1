//! A table as spreadsheets write it: records of fields, each with its place.
//!
//! RFC 4180 with any one sign between the fields. The reader is our own, since a finding wants the place
//! of a field and a quote that is left open must be told, and a library for CSV tells neither.
//! Architecture invariant: nothing here knows what a column means.

use crate::diagnostic::Place;

/// A field and where it begins; blanks around the text are gone, and so are its quotes.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cell {
    pub(super) text: String,
    pub(super) at: Place,
}

/// The fields of one record; at least one of them is not blank.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Record {
    /// Line on which it begins.
    pub(super) line: usize,
    pub(super) cells: Vec<Cell>,
}

/// Everything between the separators.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Sheet {
    pub(super) records: Vec<Record>,
    /// Where a quote begins that nothing closes; what stands behind it is one field.
    pub(super) open_quote: Option<Place>,
}

/// What parts the fields in files of spreadsheets, in the order in which it is told: a comma may be
/// part of a number.
pub(super) const SEPARATORS: [char; 3] = [';', '\t', ','];

/// Lines that begin with a mark and are stepped over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Comments {
    /// `#` at the start of a line.
    Hash,
    None,
}

/// Cuts a text into its records; blank ones are left out.
pub(super) fn cut_sheet(text: &str, separator: char, comments: Comments) -> Sheet {
    let mut cutter = Cutter {
        chars: text.chars().peekable(),
        at: Place { line: 1, column: 1 },
        separator,
        sheet: Sheet::default(),
    };
    while cutter.chars.peek().is_some() {
        if comments == Comments::Hash && cutter.chars.peek() == Some(&'#') {
            cutter.skip_line();
        } else {
            cutter.record();
        }
    }
    cutter.sheet
}

/// A number as spreadsheets write it: plain digits with a decimal point or a decimal comma.
pub(super) fn number_in_cell(text: &str) -> Option<f64> {
    if text.contains('.') { plain_number(text) } else { plain_number(&text.replacen(',', ".", 1)) }
}

/// Plain digits with a decimal point; no exponent, no words.
pub(super) fn plain_number(text: &str) -> Option<f64> {
    let plain = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+');
    let value = text.chars().all(plain).then(|| text.parse::<f64>().ok())??;
    value.is_finite().then_some(value)
}

struct Cutter<'t> {
    chars: std::iter::Peekable<std::str::Chars<'t>>,
    /// Of the next character.
    at: Place,
    separator: char,
    sheet: Sheet,
}

impl Cutter<'_> {
    /// The next character, with the place moved on as [`Lines`](super::lines::Lines) counts.
    fn next(&mut self) -> Option<char> {
        let c = self.chars.next()?;
        let breaks = match c {
            '\r' => self.chars.peek() != Some(&'\n'),
            '\n' | '\u{85}' | '\u{2028}' | '\u{2029}' => true,
            _ => false,
        };
        if breaks {
            self.at = Place { line: self.at.line + 1, column: 1 };
        } else {
            self.at.column += 1;
        }
        Some(c)
    }

    fn skip_line(&mut self) {
        while !self.ends_record() {
            self.next();
        }
        self.end_record();
    }

    fn ends_record(&mut self) -> bool {
        matches!(self.chars.peek(), None | Some('\r' | '\n'))
    }

    fn end_record(&mut self) {
        if self.next() == Some('\r') && self.chars.peek() == Some(&'\n') {
            self.next();
        }
    }

    fn record(&mut self) {
        let line = self.at.line;
        let mut cells = vec![self.field()];
        while self.chars.peek() == Some(&self.separator) {
            self.next();
            cells.push(self.field());
        }
        self.end_record();
        if cells.iter().any(|cell| !cell.text.is_empty()) {
            self.sheet.records.push(Record { line, cells });
        }
    }

    /// One field, up to its separator or the end of the record.
    fn field(&mut self) -> Cell {
        let at = self.at;
        let mut text = String::new();
        while !self.ends_record() && self.chars.peek() != Some(&self.separator) {
            if self.chars.peek() == Some(&'"') && text.trim().is_empty() {
                text.clear();
                self.quoted(&mut text);
            } else {
                text.extend(self.next());
            }
        }
        Cell { text: text.trim().to_owned(), at }
    }

    /// What stands between two quotes; two in a row are one that is meant.
    fn quoted(&mut self, text: &mut String) {
        let opened = self.at;
        self.next();
        while let Some(c) = self.next() {
            if c != '"' {
                text.push(c);
            } else if self.chars.peek() == Some(&'"') {
                text.extend(self.next());
            } else {
                return;
            }
        }
        self.sheet.open_quote.get_or_insert(opened);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str, separator: char) -> Vec<Vec<String>> {
        let sheet = cut_sheet(text, separator, Comments::None);
        let texts = |r: Record| r.cells.into_iter().map(|c| c.text).collect();
        sheet.records.into_iter().map(texts).collect()
    }

    #[test]
    fn fields_lose_blanks_and_quotes() {
        assert_eq!(texts("a, b ,\"c,d\", \"e\"\"f\"", ','), [["a", "b", "c,d", "e\"f"]]);
        assert_eq!(texts("24\" panel;x", ';'), [["24\" panel", "x"]]);
        assert_eq!(texts("a;;\r\n;;\r\n\r\nb;c;d", ';'), [["a", "", ""], ["b", "c", "d"]]);
        assert_eq!(texts("\"a\nb\"\tc\n", '\t'), [["a\nb", "c"]]);
    }

    #[test]
    fn every_field_knows_its_place_whatever_the_line_ends() {
        for text in ["a;b\n\n\"c\nd\";é;f", "a;b\r\n\r\n\"c\r\nd\";é;f", "a;b\r\r\"c\rd\";é;f"] {
            let sheet = cut_sheet(text, ';', Comments::None);
            assert_eq!(sheet.records[1].line, 3, "{text:?}");
            let places: Vec<_> =
                sheet.records[1].cells.iter().map(|c| (c.at.line, c.at.column)).collect();
            assert_eq!(places, [(3, 1), (4, 4), (4, 6)], "{text:?}");
        }
    }

    #[test]
    fn a_quote_left_open_is_told_with_its_place() {
        let sheet = cut_sheet("a;b\nc;\"d\ne;f\n", ';', Comments::None);
        assert_eq!(sheet.open_quote, Some(Place { line: 2, column: 3 }));
        assert_eq!(cut_sheet("a;\"b\"", ';', Comments::None).open_quote, None);
    }

    #[test]
    fn comments_are_stepped_over_where_there_may_be_some() {
        assert_eq!(cut_sheet("# a\nb", ',', Comments::Hash).records.len(), 1);
        assert_eq!(cut_sheet("# a\nb", ',', Comments::None).records.len(), 2);
    }

    #[test]
    fn only_plain_digits_are_a_number() {
        assert_eq!(number_in_cell("18,4"), Some(18.4));
        assert_eq!(number_in_cell("-0.31"), Some(-0.31));
        for text in ["", "1e3", "nan", "1.234,5", "1,234,5", "18.4 V", "-"] {
            assert_eq!(number_in_cell(text), None, "{text}");
        }
    }
}
