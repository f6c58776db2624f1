//! Text on a page of fixed width: wrapped paragraphs, lined-up blocks, no boxes, no colour.
//!
//! Architecture invariant: the only place that names `tabled`.

use tabled::builder::Builder;
use tabled::grid::util::string::{get_char_width, get_line_width};
use tabled::settings::object::Columns;
use tabled::settings::{Alignment, Padding, Style};

/// Columns on the page. A terminal of ordinary width and a printed page both hold this many.
pub(super) const PAGE: usize = 100;
/// Where the text beside a section's title begins.
const TEXT_COLUMN: usize = 16;
/// Space between two columns.
const GAP: usize = 2;
/// A space that must not break: stands between a number and its unit until the page is done.
pub(super) const GLUE: char = '\u{a0}';
/// Units that stay with the number before them.
const UNITS: [&str; 7] = ["V", "A", "W", "%", "°C", "%/°C", "kWh"];

/// How a column of a block is set.
#[derive(Debug, Clone, Copy)]
pub(super) enum Column {
    /// To the left, wrapped at this width.
    Left(usize),
    /// To the right, wrapped at this width.
    Right(usize),
    /// To the left, wrapped at what the others leave of the page. At most one in a block.
    Rest,
}

/// Text wrapped at words: the first line starts at `first`, the others at `hang`.
pub(super) fn paragraph(text: &str, first: usize, hang: usize) -> String {
    let narrow = PAGE - first.max(hang);
    let mut out = String::new();
    for (i, line) in wrap(text, narrow).iter().enumerate() {
        let indent = if i == 0 { first } else { hang };
        out.push_str(&" ".repeat(indent));
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// A title with one or more paragraphs beside it.
pub(super) fn titled(title: &str, paragraphs: &[String]) -> String {
    let mut out = String::new();
    for (i, text) in paragraphs.iter().enumerate() {
        let shown = paragraph(text, TEXT_COLUMN, TEXT_COLUMN);
        if i == 0 {
            let room = TEXT_COLUMN.saturating_sub(get_line_width(title));
            out.push_str(title);
            out.push_str(&" ".repeat(room));
            out.push_str(&shown[TEXT_COLUMN..]);
        } else {
            out.push_str(&shown);
        }
    }
    out
}

/// Rows with their columns lined up, `indent` spaces from the left. Every row has one cell per column.
pub(super) fn lined_up(indent: usize, columns: &[Column], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let widths = column_widths(indent, columns, rows);
    let mut builder = Builder::default();
    for row in rows {
        let cells = row.iter().zip(&widths).map(|(cell, &width)| wrap(cell, width).join("\n"));
        builder.push_record(cells);
    }
    let mut table = builder.build();
    table.with(Style::empty()).with(Padding::new(0, GAP, 0, 0)).with(Alignment::top());
    for (i, column) in columns.iter().enumerate() {
        if let Column::Right(_) = column {
            table.modify(Columns::one(i), Alignment::right());
        }
    }
    let margin = " ".repeat(indent);
    let mut out = String::new();
    for line in table.to_string().lines() {
        out.push_str(format!("{margin}{line}").trim_end());
        out.push('\n');
    }
    out
}

/// A finished page: sections with an empty line between them, glue and unprintable characters replaced.
pub(super) fn page(sections: &[String]) -> String {
    let text = sections
        .iter()
        .filter(|s| !s.is_empty())
        .map(String::as_str)
        .collect::<Vec<_>>()
        .join("\n");
    text.chars()
        .map(|c| match c {
            '\n' => '\n',
            GLUE => ' ',
            c if is_unprintable(c) => char::REPLACEMENT_CHARACTER,
            c => c,
        })
        .collect()
}

/// Could this character move the cursor or turn the text round? Names come from files that others wrote.
pub(super) fn is_unprintable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The widths at which cells wrap: what they need, at most what the column allows.
fn column_widths(indent: usize, columns: &[Column], rows: &[Vec<String>]) -> Vec<usize> {
    let needed = |i: usize| rows.iter().map(|r| get_line_width(&r[i])).max().unwrap_or(0);
    let fixed = |i: usize, most: usize| needed(i).clamp(1, most);
    let taken: usize = columns
        .iter()
        .enumerate()
        .map(|(i, column)| match *column {
            Column::Left(most) | Column::Right(most) => fixed(i, most),
            Column::Rest => 0,
        })
        .sum();
    let gaps = GAP * (columns.len() - 1);
    let rest = PAGE.saturating_sub(indent + taken + gaps).max(8);
    columns
        .iter()
        .enumerate()
        .map(|(i, column)| match *column {
            Column::Left(most) | Column::Right(most) => fixed(i, most),
            Column::Rest => rest,
        })
        .collect()
}

/// Words that stay together on a line: split at spaces, a number with the unit after it as one.
fn words_of(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split([' ', '\n', '\t', '\r']).filter(|w| !w.is_empty()) {
        let bare = word.trim_end_matches(['.', ',', ';', ':', ')']);
        let last = words.last_mut();
        match last.filter(|l| UNITS.contains(&bare) && l.ends_with(|c: char| c.is_ascii_digit())) {
            Some(number) => {
                number.push(GLUE);
                number.push_str(word);
            }
            None => words.push(word.to_owned()),
        }
    }
    words
}

/// Lines of at most `width` columns, broken at spaces; longer words are cut. At least one line.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in &words_of(text) {
        let room = if line.is_empty() { 0 } else { 1 };
        if get_line_width(&line) + room + get_line_width(word) > width && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for c in word.chars() {
            if get_line_width(&line) + get_char_width(c) > width {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_wrap_and_a_number_stays_with_its_unit() {
        let text = "the array gives 640 W at full sun";
        assert_eq!(wrap(text, 20), ["the array gives", "640\u{a0}W at full sun"]);
    }

    #[test]
    fn a_word_longer_than_the_line_is_cut_and_nothing_is_lost() {
        let word = "x".repeat(23);
        let lines = wrap(&word, 10);
        assert_eq!(lines.iter().map(String::len).collect::<Vec<_>>(), [10, 10, 3]);
    }

    #[test]
    fn wide_characters_count_as_two_columns() {
        assert_eq!(wrap("小屋 小屋", 5), ["小屋", "小屋"]);
    }

    #[test]
    fn columns_line_up_and_the_rest_column_fills_the_page() {
        let long = "word ".repeat(60);
        let rows = vec![
            vec!["a".into(), "1".into(), long],
            vec!["bcd".into(), "100".into(), "short".into()],
        ];
        let block = lined_up(2, &[Column::Left(9), Column::Right(5), Column::Rest], &rows);
        assert!(block.starts_with("  a      1  word word"), "{block}");
        assert!(block.contains("\n  bcd  100  short\n"), "{block}");
        assert!(block.lines().all(|l| get_line_width(l) <= PAGE));
    }

    #[test]
    fn a_name_cannot_send_commands_to_the_terminal() {
        let shown = page(&["shed\u{1b}[31m\u{202e}\n".into()]);
        assert_eq!(shown, "shed\u{fffd}[31m\u{fffd}\n");
    }
}
