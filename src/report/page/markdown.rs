//! A report as Markdown.

use super::blocks::{Block, Section};

/// The whole file.
pub(super) fn written(title: &str, sections: &[Section]) -> String {
    let mut out = format!("# {title}\n");
    for section in sections {
        out.push_str(&format!("\n## {}\n", section.title));
        for block in &section.blocks {
            if let Block::Paragraph(text) = block {
                out.push_str(&format!("\n{text}\n"));
            }
        }
    }
    out
}
