//! A report as Markdown: CommonMark with pipe tables, lines as long as their paragraphs.

use super::Document;
use super::blocks::{Block, Drawing, KeyFigure, Setting, StepText, Table};
use crate::report::layout::GLUE;

/// Spaces that place a block inside a numbered step, whatever its number.
const INSIDE: &str = "    ";

/// The whole file.
pub(super) fn written(document: &Document<'_>) -> String {
    let mut blocks = vec![format!("# {}", inline(document.title))];
    if !document.beneath.is_empty() {
        let lines: Vec<String> = document.beneath.iter().map(|line| paragraph(line)).collect();
        blocks.push(lines.join("\n\n"));
    }
    for section in &document.sections {
        blocks.push(format!("## {}", inline(&section.title)));
        let mut steps_before = 0;
        for block in &section.blocks {
            blocks.push(set(block, steps_before));
            if let Block::Steps(steps) = block {
                steps_before += steps.len();
            }
        }
    }
    blocks.retain(|block| !block.is_empty());
    blocks.join("\n\n") + "\n"
}

fn set(block: &Block, steps_before: usize) -> String {
    match block {
        Block::Heading(words) => format!("### {}", inline(words)),
        Block::Lead(words) => format!("**{}**", inline(words)),
        Block::Key(figures) => {
            let one =
                |key: &KeyFigure| format!("- **{}** {}", inline(&key.figure), inline(&key.of));
            figures.iter().map(one).collect::<Vec<_>>().join("\n")
        }
        Block::Paragraph(words) => paragraph(words),
        Block::Warning(title, sentences) => {
            let title = format!("> **{}**\n", inline(title));
            let points = sentences.iter().map(|s| format!(">\n> - {}", paragraph(s)));
            title + &points.collect::<Vec<_>>().join("\n")
        }
        Block::List(points) => list(points, "", "-"),
        Block::Steps(steps) => {
            let numbered = steps.iter().enumerate();
            let set = numbered.map(|(i, step)| set_step(steps_before + i + 1, step));
            set.collect::<Vec<_>>().join("\n\n")
        }
        Block::Table(table) => set_table(table),
        Block::Figure(drawing) => figure(drawing),
        Block::Beside(drawing, beside) => {
            let beside = beside.iter().map(|block| set(block, 0));
            beside.chain([figure(drawing)]).collect::<Vec<_>>().join("\n\n")
        }
        Block::Verbatim(words) => fenced(words),
    }
}

fn list(points: &[String], indent: &str, mark: &str) -> String {
    let lines = points.iter().map(|p| format!("{indent}{mark} {}", paragraph(p)));
    lines.collect::<Vec<_>>().join("\n")
}

fn set_step(number: usize, step: &StepText) -> String {
    // Two digits and a point with two spaces, or three with one: the text stands in one column.
    let mark = format!("{:<4}", format!("{number}."));
    let mut parts = vec![format!("{mark}**{}**", inline(&step.title))];
    if !step.live.is_empty() {
        parts.push(format!("{INSIDE}**Live:** {}", inline(&step.live)));
    }
    let mut points = |label: &str, points: &[String], mark: &str| {
        if points.is_empty() {
            return;
        }
        if !label.is_empty() {
            parts.push(format!("{INSIDE}{label}"));
        }
        parts.push(list(points, INSIDE, mark));
    };
    points("", &step.acts, "- [ ]");
    points("Prove before going on:", &step.prove, "- [ ]");
    points("Found in this state:", &step.found, "-");
    parts.join("\n\n")
}

fn set_table(table: &Table) -> String {
    let row = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    let heads = table.columns.iter().map(|c| cell(&c.head)).collect();
    let rules = table.columns.iter().map(|c| match c.setting {
        Setting::Words => "---".to_owned(),
        Setting::Figures => "--:".to_owned(),
    });
    let mut lines = vec![format!("**{}**", inline(&table.caption)), String::new()];
    lines.push(row(heads));
    lines.push(row(rules.collect()));
    lines.extend(table.rows.iter().map(|cells| row(cells.iter().map(|c| cell(c)).collect())));
    lines.join("\n")
}

/// What a drawing shows; the drawing itself is a file of its own.
fn figure(drawing: &Drawing) -> String {
    format!("*{}.* {}", inline(&drawing.title), inline(&drawing.alternative))
}

/// Between fences longer than any run of their mark inside.
fn fenced(words: &str) -> String {
    let longest = words.split(|c| c != '`').map(str::len).max().unwrap_or(0);
    let fence = "`".repeat(longest.max(2) + 1);
    let end = if words.ends_with('\n') { "" } else { "\n" };
    format!("{fence}\n{words}{end}{fence}")
}

fn cell(words: &str) -> String {
    inline(words).replace('|', "\\|")
}

/// Text that begins a block: what would begin another sort of block is escaped, too.
fn paragraph(words: &str) -> String {
    let text = inline(words);
    let n_digits = text.chars().take_while(char::is_ascii_digit).count();
    if text.starts_with(['#', '+', '-', '=']) {
        format!("\\{text}")
    } else if n_digits > 0 && text[n_digits..].starts_with(['.', ')']) {
        format!("{}\\{}", &text[..n_digits], &text[n_digits..])
    } else {
        text
    }
}

/// Text on one line, with the characters escaped that Markdown would take for markup.
fn inline(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '<' | '>' | '[' | ']' | '&' | '~' => {
                out.push('\\');
                out.push(c);
            }
            '\n' | '\r' | '\t' | GLUE => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
