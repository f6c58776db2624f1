//! How wide a text is, and how it is broken into lines.

use super::svg::Weight;

/// Height of all letters.
pub(super) const SIZE: f64 = 13.0;
/// From one line of text to the next.
pub(super) const LEADING: f64 = 15.0;

/// Width of a text, rather too wide than too narrow.
pub(super) fn width(text: &str) -> f64 {
    printable(text).chars().map(advance).sum::<f64>() * SIZE
}

/// The same for bold letters.
pub(super) fn width_as(text: &str, weight: Weight) -> f64 {
    match weight {
        Weight::Plain => width(text),
        Weight::Bold => width(text) * 1.15,
    }
}

/// Width of a letter in parts of its height: that of DejaVu Sans, about the widest of the typefaces
/// that viewers take for "sans-serif", rounded up by groups of letters.
fn advance(c: char) -> f64 {
    match c {
        ' ' | '\u{a0}' | '.' | ',' | ':' | ';' | 'i' | 'j' | 'l' | '\'' | '|' | 'I' | 'J' => 0.34,
        '-' | '/' | '(' | ')' | '[' | ']' | 'f' | 'r' | 't' | '!' | '·' => 0.42,
        'w' | '+' | '−' | '×' | '=' | '<' | '>' | '~' | '&' | '_' => 0.84,
        'm' | 'W' | 'M' | '%' | '@' | '…' | '—' => 1.0,
        'C' | 'D' | 'G' | 'H' | 'N' | 'O' | 'Q' | 'U' => 0.79,
        'A'..='Z' => 0.71,
        c if c.is_ascii() => 0.64,
        '\u{a1}'..='\u{24f}' | '–' => 0.8,
        _ => 1.1,
    }
}

/// The text without characters that cannot be seen or that would turn it round: names come from
/// files that others wrote.
pub(super) fn printable(text: &str) -> String {
    let unseen = |c: char| {
        c.is_control()
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
            || matches!(c, '\u{fffe}' | '\u{ffff}')
    };
    text.chars().map(|c| if unseen(c) { '\u{fffd}' } else { c }).collect()
}

/// The text, or its beginning and three dots, so that it is at most so wide.
pub(super) fn shortened(text: &str, most: f64) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut left = most - width("…");
    for c in text.chars() {
        left -= width(&c.to_string());
        if left < 0.0 {
            break;
        }
        out.push(c);
    }
    out + "…"
}

/// A name in the pieces between which it may be broken.
pub(super) fn pieces(name: &str) -> impl Iterator<Item = &str> {
    name.split_inclusive(|c: char| !c.is_alphanumeric())
}

/// A name on at most `lines` lines of at most `most`: broken behind hyphens and the like where that
/// does, else anywhere; what does not fit ends in three dots.
pub(super) fn broken(name: &str, most: f64, lines: usize) -> Vec<String> {
    let mut out = vec![String::new()];
    for piece in pieces(name) {
        let line = out.last_mut().expect("begins with a line");
        if width(&format!("{line}{}", piece.trim_end())) <= most {
            line.push_str(piece);
            continue;
        }
        if !line.is_empty() {
            out.push(String::new());
        }
        for c in piece.chars() {
            let line = out.last_mut().expect("begins with a line");
            if width(&format!("{line}{c}")) > most && !line.is_empty() {
                out.push(c.to_string());
            } else {
                line.push(c);
            }
        }
    }
    if out.len() > lines {
        let rest = out.split_off(lines - 1).concat();
        out.push(shortened(&rest, most));
    }
    out.iter().map(|line| line.trim().to_owned()).collect()
}

/// Words on lines of at most `most`.
pub(super) fn paragraph(text: &str, most: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let line = lines.last_mut().expect("begins with a line");
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer) <= most || line.is_empty() {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_break_behind_hyphens_and_nothing_is_lost() {
        assert_eq!(broken("shed-160", 60.0, 3), ["shed-", "160"]);
        assert_eq!(broken("shed-160", 90.0, 3), ["shed-160"]);
        assert_eq!(broken(&"x".repeat(20), 60.0, 4).concat(), "x".repeat(20));
    }

    #[test]
    fn what_does_not_fit_ends_in_three_dots() {
        let lines = broken(&"barn-".repeat(20), 60.0, 3);
        assert_eq!(lines.len(), 3);
        assert!(lines[2].ends_with('…'));
        assert!(lines.iter().all(|l| width(l) <= 60.0));
    }
}
