//! A document for the terminal: lines of at most a hundred columns, without colour.

use super::Document;
use super::blocks::{Block, Drawing, Setting, StepText, Table};
use crate::report::layout::{Column, lined_up, page, paragraph};

/// How far what belongs to a heading stands in.
const INDENT: usize = 2;
/// Widest column of words but the last, and widest column of figures.
const WORDS: usize = 44;
const FIGURES: usize = 22;

/// The whole text.
pub(super) fn written(document: &Document<'_>) -> String {
    let mut parts = vec![paragraph(document.title, 0, 0)];
    let beneath: String = document.beneath.iter().map(|line| paragraph(line, 0, 0)).collect();
    parts[0].push_str(&beneath);
    for section in &document.sections {
        let mut steps_before = 0;
        parts.push(underlined(&section.title));
        // A heading stands right above what it is the heading of.
        let mut heading = String::new();
        for block in &section.blocks {
            let text = std::mem::take(&mut heading) + &set(block, &mut steps_before);
            match block {
                Block::Heading(_) => heading = text,
                _ => parts.push(text),
            }
        }
        parts.push(heading);
    }
    page(&parts)
}

/// A title with a line under it; names in it keep their own letters.
fn underlined(title: &str) -> String {
    let text = paragraph(title, 0, 0);
    let wide = text.lines().map(|line| line.chars().count()).max().unwrap_or(0);
    format!("{text}{}\n", "=".repeat(wide))
}

fn set(block: &Block, steps_before: &mut usize) -> String {
    match block {
        Block::Heading(words) => paragraph(words, 0, 0),
        Block::Lead(words) | Block::Paragraph(words) => paragraph(words, INDENT, INDENT),
        Block::Key(figures) => {
            let lines = figures.iter().map(|k| format!("{}  {}", k.figure, k.of));
            lines.map(|line| paragraph(&line, INDENT, INDENT + 2)).collect()
        }
        Block::Warning(title, sentences) => {
            let points = sentences.iter().map(|s| paragraph(s, INDENT + 2, INDENT + 4));
            paragraph(title, INDENT, INDENT) + &points.collect::<String>()
        }
        Block::List(points) => {
            points.iter().map(|p| paragraph(&format!("- {p}"), INDENT, INDENT + 2)).collect()
        }
        Block::Steps(steps) => steps
            .iter()
            .map(|step| {
                *steps_before += 1;
                set_step(*steps_before, step)
            })
            .collect(),
        Block::Table(table) => set_table(table),
        // A terminal cannot show it; its sentence says what there is to see.
        Block::Figure(drawing) => told(drawing),
        Block::Beside(drawing, beside) => {
            let beside = beside.iter().map(|block| set(block, steps_before));
            told(drawing) + &beside.collect::<String>()
        }
        Block::Verbatim(words) => words.lines().map(|l| format!("    {l}\n")).collect(),
    }
}

fn told(drawing: &Drawing) -> String {
    paragraph(&format!("Drawing: {}", drawing.alternative), INDENT, INDENT)
}

fn set_step(number: usize, step: &StepText) -> String {
    let title = paragraph(&format!("{number}. {}", step.title), INDENT, INDENT + 3);
    let live = match step.live.as_str() {
        "" => String::new(),
        live => paragraph(live, INDENT + 3, INDENT + 3),
    };
    let points = step.acts.iter().chain(&step.prove).chain(&step.found);
    title
        + &live
        + &points.map(|p| paragraph(&format!("- {p}"), INDENT + 3, INDENT + 5)).collect::<String>()
}

fn set_table(table: &Table) -> String {
    let last = table.columns.len() - 1;
    let columns: Vec<Column> = table
        .columns
        .iter()
        .enumerate()
        .map(|(i, column)| match column.setting {
            Setting::Figures => Column::Right(FIGURES),
            Setting::Words if i == last => Column::Rest,
            Setting::Words => Column::Left(WORDS),
        })
        .collect();
    let mut rows = vec![table.columns.iter().map(|c| c.head.clone()).collect::<Vec<_>>()];
    rows.extend(table.rows.iter().cloned());
    let caption = match table.caption.as_str() {
        "" => String::new(),
        caption => paragraph(caption, INDENT, INDENT),
    };
    caption + &lined_up(INDENT + 2, &columns, &rows)
}
