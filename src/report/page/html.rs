//! A report as one file for a browser and for paper.
//!
//! Nothing is loaded from outside and nothing runs: no script, no font, no picture but the drawings
//! in the text. The file is also well-formed XML, so that any parser can hold it to its word.

use super::Document;
use super::blocks::{BLANK, Block, Drawing, KeyFigure, Section, Setting, StepText, Table};

const STYLE: &str = include_str!("style.css");
/// Nothing may be fetched and nothing may run, even if a mistake here let something through.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";
/// Up to so many columns a table stays a table on a phone.
const NARROW_TABLE: usize = 2;
/// The widest drawing that leaves room for words beside it on a printed page. \[px\]
const BESIDE: f64 = 390.0;
/// Up to so many rows a table is not parted between two sheets.
const WHOLE_TABLE: usize = 12;
/// Up to so many characters a cell is not broken over lines.
const SHORT: usize = 18;

/// The whole file.
pub(super) fn written(document: &Document<'_>) -> String {
    let title = text(document.title);
    let beneath: String =
        document.beneath.iter().map(|line| format!("<p>{}</p>\n", text(line))).collect();
    let mut sections = document.sections.iter().map(section);
    let first = sections.next().unwrap_or_default();
    let rest: String = sections.collect();
    format!(
        "<!DOCTYPE html>\n\
         <html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"color-scheme\" content=\"light dark\"/>\n\
         <title>{title}: {}</title>\n\
         <style>\n{STYLE}{}</style>\n</head>\n<body>\n\
         <header>\n<h1>{title}</h1>\n{beneath}</header>\n<main>\n{first}{}{rest}</main>\n\
         </body>\n</html>\n",
        document.about,
        running_title(document.title),
        contents(&document.sections),
    )
}

/// The site's name at the foot of every sheet, since sheets come apart.
fn running_title(title: &str) -> String {
    // Everything but plain letters and digits as its number, as CSS escapes it.
    let escaped: String = title
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() { c.to_string() } else { format!("\\{:x} ", u32::from(c)) }
        })
        .collect();
    format!("@page {{ @bottom-left {{ content: \"{escaped}\"; }} }}\n")
}

/// Links to all sections but the first, which stands above them.
fn contents(sections: &[Section]) -> String {
    let links: String = sections
        .iter()
        .skip(1)
        .map(|s| format!("<li><a href=\"#{}\">{}</a></li>\n", s.id, text(&s.title)))
        .collect();
    if links.is_empty() {
        return String::new();
    }
    format!(
        "<nav aria-labelledby=\"contents-title\">\n<h2 id=\"contents-title\">What follows</h2>\n\
         <ul>\n{links}</ul>\n</nav>\n"
    )
}

fn section(section: &Section) -> String {
    let mut steps_before = 0;
    let mut blocks = String::new();
    for block in &section.blocks {
        blocks.push_str(&set(block, steps_before));
        if let Block::Steps(steps) = block {
            steps_before += steps.len();
        }
    }
    let (id, title) = (&section.id, text(&section.title));
    format!(
        "<section id=\"{id}\" aria-labelledby=\"{id}-title\">\n<h2 id=\"{id}-title\">{title}</h2>\n\
         {blocks}</section>\n"
    )
}

/// One block; steps are numbered on from those before.
fn set(block: &Block, steps_before: usize) -> String {
    match block {
        Block::Heading(words) => format!("<h3>{}</h3>\n", text(words)),
        Block::Lead(words) => format!("<p class=\"lead\">{}</p>\n", text(words)),
        Block::Key(figures) => key(figures),
        Block::Paragraph(words) => format!("<p>{}</p>\n", text(words)),
        Block::Warning(title, sentences) => format!(
            "<div class=\"warning\" role=\"note\">\n<p><strong>{}</strong></p>\n{}</div>\n",
            text(title),
            list("points", sentences)
        ),
        Block::List(points) => list("points", points),
        Block::Steps(all) => steps(all, steps_before + 1),
        Block::Table(table) => set_table(table),
        Block::Figure(drawing) => figure(drawing),
        Block::Beside(drawing, beside) => {
            let words: String = beside.iter().map(|block| set(block, 0)).collect();
            let under = if is_wide(drawing) { " under" } else { "" };
            let figure = figure(drawing);
            format!("<div class=\"beside{under}\">\n<div>\n{words}</div>\n{figure}</div>\n")
        }
        Block::Verbatim(words) => format!("<pre><code>{}</code></pre>\n", escaped(words)),
    }
}

fn key(figures: &[KeyFigure]) -> String {
    let one = |key: &KeyFigure| {
        format!("<p><strong>{}</strong> <span>{}</span></p>\n", text(&key.figure), text(&key.of))
    };
    format!("<div class=\"key\">\n{}</div>\n", figures.iter().map(one).collect::<String>())
}

fn list(class: &str, points: &[String]) -> String {
    if points.is_empty() {
        return String::new();
    }
    let items: String = points.iter().map(|p| format!("<li>{}</li>\n", text(p))).collect();
    format!("<ul class=\"{class}\">\n{items}</ul>\n")
}

fn steps(steps: &[StepText], first: usize) -> String {
    let items: String = steps.iter().map(step).collect();
    // The numbers are drawn by the style, which counts from the same number.
    format!(
        "<ol class=\"steps\" start=\"{first}\" style=\"counter-reset: step {}\">\n{items}</ol>\n",
        first - 1
    )
}

fn step(step: &StepText) -> String {
    let labelled = |label: &str, points: &[String], class: &str| {
        if points.is_empty() {
            return String::new();
        }
        format!("<p class=\"of\">{label}</p>\n{}", list(class, points))
    };
    let live = if step.live.is_empty() {
        String::new()
    } else {
        format!("<p class=\"live\"><strong>Live:</strong> {}</p>\n", text(&step.live))
    };
    format!(
        "<li>\n<h3>{}</h3>\n{live}{}{}{}</li>\n",
        text(&step.title),
        list("ticks", &step.acts),
        labelled("Prove before going on:", &step.prove, "ticks"),
        labelled("Found in this state:", &step.found, "points"),
    )
}

fn set_table(table: &Table) -> String {
    let wide = if table.columns.len() > NARROW_TABLE { "wide" } else { "narrow" };
    let whole = if table.rows.len() <= WHOLE_TABLE { " whole" } else { "" };
    let heads: String = table
        .columns
        .iter()
        .map(|c| {
            let class = class(c.setting, None);
            format!("<th scope=\"col\" role=\"columnheader\"{class}>{}</th>", text(&c.head))
        })
        .collect();
    let cell = |(i, (words, column)): (usize, (&String, _))| {
        let column: &super::blocks::TableColumn = column;
        let (class, shown) = (class(column.setting, Some(words)), text(words));
        if i == 0 {
            format!("<th scope=\"row\" role=\"rowheader\"{class}>{shown}</th>")
        } else {
            let label = attribute(&column.head);
            format!("<td role=\"cell\" data-label=\"{label}\"{class}>{shown}</td>")
        }
    };
    let row = |row: &Vec<String>| {
        let cells: String = row.iter().zip(&table.columns).enumerate().map(cell).collect();
        format!("<tr role=\"row\">{cells}</tr>\n")
    };
    // The roles repeat what the elements say: a table that is set as a list on a phone would
    // otherwise lose them.
    format!(
        "<table class=\"{wide}{whole}\" role=\"table\">\n<caption>{}</caption>\n\
         <thead role=\"rowgroup\"><tr role=\"row\">{heads}</tr></thead>\n\
         <tbody role=\"rowgroup\">\n{}</tbody>\n</table>\n",
        text(&table.caption),
        table.rows.iter().map(row).collect::<String>()
    )
}

/// Figures to the right; few words stay on one line.
fn class(setting: Setting, words: Option<&String>) -> &'static str {
    match (setting, words) {
        (Setting::Figures, _) => " class=\"figures\"",
        (Setting::Words, Some(w)) if w.chars().count() <= SHORT => " class=\"short\"",
        (Setting::Words, _) => "",
    }
}

/// The drawing itself comes from our own hand and is taken as it is.
fn figure(drawing: &Drawing) -> String {
    let title = text(&drawing.title);
    format!(
        "<figure>\n<div class=\"drawing\" tabindex=\"0\" role=\"group\" aria-label=\"{}\">{}</div>\n\
         <figcaption><strong>{title}.</strong> {}</figcaption>\n</figure>\n",
        attribute(&drawing.title),
        drawing.svg,
        text(&drawing.alternative)
    )
}

/// Is there no room for words beside a drawing on a printed page?
fn is_wide(drawing: &Drawing) -> bool {
    let width = drawing.svg.split_once(" width=\"").and_then(|(_, rest)| rest.split_once('"'));
    width.and_then(|(number, _)| number.parse().ok()).is_some_and(|w: f64| w > BESIDE)
}

/// Text with its markup characters escaped and its blanks ruled.
fn text(words: &str) -> String {
    const RULE: &str = "<span class=\"blank\" role=\"img\" aria-label=\"to be filled in\"></span>";
    escaped(words).replace(BLANK, RULE)
}

fn attribute(words: &str) -> String {
    escaped(words).replace('"', "&quot;").replace('\n', " ")
}

pub(in crate::report) fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}
