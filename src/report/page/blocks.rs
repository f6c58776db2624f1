//! What a report is made of.

use std::borrow::Cow;

pub(in crate::report) use crate::report::drawing::Drawing;

/// A heading of the second level and what stands under it.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Section {
    /// For links inside the file: small letters and hyphens, used once.
    pub(in crate::report) id: Cow<'static, str>,
    /// As a person reads it.
    pub(in crate::report) title: String,
    /// In reading order.
    pub(in crate::report) blocks: Vec<Block>,
}

/// One idea of a section. Texts are plain: whoever sets them escapes what their form needs.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) enum Block {
    /// A heading of the third level.
    Heading(String),
    /// The sentence that is read first.
    Lead(String),
    /// The few figures that matter.
    Key(Vec<KeyFigure>),
    /// A paragraph.
    Paragraph(String),
    /// What must not be overlooked, a few words, then the sentences.
    Warning(String, Vec<String>),
    /// Points without order.
    List(Vec<String>),
    /// Steps, numbered through the whole section.
    Steps(Vec<StepText>),
    /// Rows and columns.
    Table(Table),
    /// A drawing.
    Figure(Drawing),
    /// A drawing, and what is said beside it where there is room.
    Beside(Drawing, Vec<Block>),
    /// Text that keeps its lines, such as the site file.
    Verbatim(String),
}

/// A figure that is set large.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct KeyFigure {
    /// `811 W`.
    pub(in crate::report) figure: String,
    /// What it is, in a few words.
    pub(in crate::report) of: String,
}

/// One step of the work.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct StepText {
    /// What is done, in a few words.
    pub(in crate::report) title: String,
    /// The single acts, in order.
    pub(in crate::report) acts: Vec<String>,
    /// What is live, and the voltage there in the worst case.
    pub(in crate::report) live: String,
    /// What must be proven before going on.
    pub(in crate::report) prove: Vec<String>,
    /// What the check of the state after it found; empty where every limit is kept.
    pub(in crate::report) found: Vec<String>,
}

/// Rows under a head. Every row has one cell for each column.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct Table {
    /// What the table shows.
    pub(in crate::report) caption: String,
    /// Head and setting of each column.
    pub(in crate::report) columns: Vec<TableColumn>,
    /// The first cell of a row is its head. A blank for a pen is [`BLANK`].
    pub(in crate::report) rows: Vec<Vec<String>>,
}

/// A cell that is left to be filled in by hand.
pub(in crate::report) const BLANK: &str = "____";

/// One column of a table.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::report) struct TableColumn {
    /// Its head.
    pub(in crate::report) head: String,
    /// Words to the left, figures to the right.
    pub(in crate::report) setting: Setting,
}

/// How a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::report) enum Setting {
    /// To the left.
    Words,
    /// To the right, lined up.
    Figures,
}
