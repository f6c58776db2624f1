//! The report against hand-made answers: the same text for the same answer, and the text says what it must.
//!
//! The figures in `fixtures` are made up to look plausible; nothing here tests the electrical model.

mod document;
mod fixtures;
mod golden;
mod page;
mod schemas;
mod spreadsheet;
mod verdicts;
