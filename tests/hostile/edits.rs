//! Damage done to a sound file, as a string of bytes says: four bytes are one edit.
//!
//! The bytes come from a seed here, and from the coverage-guided fuzzer in `tests/fuzz/`, which so
//! learns which edits lead somewhere new.

/// What is planned after damage: sound sites of every sort.
const SCENARIOS: [&str; 6] = [
    include_str!("../../scenarios/seed-shed.yaml"),
    include_str!("../../scenarios/cider-barn.yaml"),
    include_str!("../../scenarios/pasture-pwm.yaml"),
    include_str!("../../scenarios/apiary-block.yaml"),
    include_str!("../../scenarios/boat-house.yaml"),
    include_str!("../../scenarios/cheese-loft.yaml"),
];
/// A sound upgrade in steps.
pub(crate) const STEPS: &str = include_str!("steps/drying-loft.yaml");

/// What stands in for a value or is pushed into a text.
const STRANGE: [&str; 48] = [
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "1e-308",
    "0",
    "-0",
    "-1",
    "1",
    "2",
    "3",
    "5000",
    "100",
    "0.1",
    "1e9",
    "18446744073709551616",
    "9007199254740993",
    "1,5",
    "1.5.2",
    "12 V",
    "~",
    "null",
    "true",
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "[[[[",
    "&a",
    "*a",
    "!!str",
    "|",
    ">",
    "- ",
    "? ",
    ": ",
    "#",
    "\t",
    "\u{feff}",
    "\r\n",
    "\u{202e}abc",
    "<script>alert(1)</script>",
    "😀",
    "\u{0}",
    "“quoted”",
];

/// Most characters of a value that is made a list of.
const MOST_REPEATED: usize = 400;

/// A scenario after edits: the first byte says which, the others are the edits.
pub(crate) fn chosen_and_edited(bytes: &[u8]) -> String {
    let (which, script) = bytes.split_first().map_or((0, bytes), |(w, script)| (*w, script));
    edited(SCENARIOS[usize::from(which) % SCENARIOS.len()], script)
}

/// The text after every edit of the script, in order.
pub(crate) fn edited(text: &str, script: &[u8]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for edit in script.chunks_exact(4) {
        if lines.is_empty() {
            lines.push(String::new());
        }
        let (at, with) =
            (usize::from(edit[1]) | usize::from(edit[3] & 3) << 8, usize::from(edit[2]));
        let at = at % lines.len();
        apply(&mut lines, edit[0] % 16, at, with, edit[3] >> 2);
    }
    lines.join("\n") + "\n"
}

fn apply(lines: &mut Vec<String>, op: u8, at: usize, with: usize, more: u8) {
    let other = with % lines.len();
    let strange = STRANGE[with % STRANGE.len()];
    match op {
        0 => {
            lines.remove(at);
        }
        1 => lines.insert(at, lines[other].clone()),
        2 => lines.swap(at, other),
        3 => {
            let block: Vec<String> = lines[at..(at + 1 + with % 8).min(lines.len())].to_vec();
            lines.splice(at..at, block);
        }
        4 => lines[at].insert(0, if more.is_multiple_of(2) { ' ' } else { '\t' }),
        5 => lines[at] = lines[at].trim_start().to_owned(),
        6 => with_value(&mut lines[at], |_| strange.to_owned()),
        7 => {
            let value = value_of(&lines[other]).to_owned();
            with_value(&mut lines[at], |_| value);
        }
        8 => with_value(&mut lines[at], |v| scaled(v, with)),
        9 => with_value(&mut lines[at], |v| v.replace('.', ",")),
        10 => {
            let column = nth_char(&lines[at], with);
            lines[at].insert_str(column, STRANGE[usize::from(more) % STRANGE.len()]);
        }
        11 => {
            let column = nth_char(&lines[at], with);
            lines[at].truncate(column);
        }
        12 => lines.truncate(at + 1),
        13 => {
            let key = lines[other].split(':').next().unwrap_or_default().trim_start().to_owned();
            if let Some((head, tail)) = lines[at].split_once(':') {
                let indent: String = head.chars().take_while(|c| *c == ' ').collect();
                lines[at] = format!("{indent}{key}:{tail}");
            }
        }
        14 => {
            // Lists of lists of lists would fill the memory before they reach the reader.
            let value: String = value_of(&lines[at]).chars().take(MOST_REPEATED).collect();
            let list = format!("[{}]", vec![value; with % 40].join(", "));
            with_value(&mut lines[at], |_| list);
        }
        _ => lines[at] = lines[at].to_uppercase(),
    }
}

/// What stands behind a line's key or dash.
fn value_of(line: &str) -> &str {
    line.split_once(": ").or_else(|| line.split_once("- ")).map_or(line, |(_, value)| value)
}

fn with_value(line: &mut String, change: impl FnOnce(&str) -> String) {
    let start = line.len() - value_of(line).len();
    let new = change(&line[start..]);
    line.replace_range(start.., &new);
}

/// A number times a factor; anything else stays.
fn scaled(value: &str, with: usize) -> String {
    const FACTORS: [f64; 12] =
        [0.0, -1.0, 0.001, 0.01, 0.1, 0.5, 0.9, 1.1, 2.0, 10.0, 100.0, 1000.0];
    match value.trim().parse::<f64>() {
        Ok(x) => format!("{}", x * FACTORS[with % FACTORS.len()]),
        Err(_) => value.to_owned(),
    }
}

/// Where a character begins, counted round and round.
fn nth_char(line: &str, n: usize) -> usize {
    let count = line.chars().count() + 1;
    line.char_indices().nth(n % count).map_or(line.len(), |(at, _)| at)
}
