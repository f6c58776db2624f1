//! A report as Markdown.

use super::blocks::{Block, Section};

/// The whole file.
pub(super) fn written(title: &str, sections: &[Section]) -> String {
    let mut out = format!("# {title}\n");
    for section in sections {
        out.push_str(&format!("\n## {}\n", section.title));
        for block in &section.blocks {
            match block {
                Block::Paragraph(text) => out.push_str(&format!("\n{text}\n")),
                Block::Steps(steps) => {
                    for (n, s) in steps.iter().enumerate() {
                        out.push_str(&format!(
                            "\n{}. **{}**\n   live: {}\n",
                            n + 1,
                            s.title,
                            s.live
                        ));
                        for a in &s.acts {
                            out.push_str(&format!("   - {a}\n"));
                        }
                        for a in &s.prove {
                            out.push_str(&format!("   - prove: {a}\n"));
                        }
                        for a in &s.found {
                            out.push_str(&format!("   - found: {a}\n"));
                        }
                    }
                }
                Block::Table(t) => {
                    out.push_str(&format!("\n{}\n", t.caption));
                    out.push_str(
                        &t.columns.iter().map(|c| c.head.clone()).collect::<Vec<_>>().join(" | "),
                    );
                    for r in &t.rows {
                        out.push_str(&format!("\n{}", r.join(" | ")));
                    }
                    out.push('\n');
                }
                Block::List(l) => {
                    for a in l {
                        out.push_str(&format!("- {a}\n"));
                    }
                }
                _ => {}
            }
        }
    }
    out
}
