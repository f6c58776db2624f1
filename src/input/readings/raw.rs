//! A reading as typed: texts with their places, not yet numbers.

use super::codes::{FIGURE_MISSING, READING_RANGE};
use super::columns::Column;
use crate::diagnostic::Place;
use crate::input::findings::Findings;
use crate::input::mistyped::explain;
use crate::input::sheet::{Cell, number_in_cell, plain_number};

/// From where a reading comes: that decides what messages call its figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    File,
    CommandLine,
}

/// One reading as typed.
#[derive(Debug, Clone)]
pub(super) struct Raw {
    pub(super) origin: Origin,
    /// Where it begins.
    pub(super) at: Place,
    pub(super) cells: Vec<(Column, Cell)>,
}

/// A number and where it stands.
#[derive(Debug, Clone)]
pub(super) struct Figure {
    pub(super) value: f64,
    pub(super) at: Place,
}

impl Raw {
    /// What messages call a figure.
    pub(super) fn subject(&self, column: Column) -> String {
        match self.origin {
            Origin::File => format!("`{}`", column.name()),
            Origin::CommandLine => format!("`{}`", column.option()),
        }
    }

    /// The text of a figure; `None` if it is missing or blank.
    pub(super) fn cell(&self, column: Column) -> Option<&Cell> {
        let found = self.cells.iter().find(|(c, _)| *c == column).map(|(_, cell)| cell);
        found.filter(|cell| !cell.text.is_empty())
    }

    /// A figure in its range, if it is there; what is wrong with it is reported.
    pub(super) fn figure(&self, column: Column, findings: &mut Findings) -> Option<Figure> {
        let cell = self.cell(column)?;
        let subject = self.subject(column);
        let Some(value) = self.number(&cell.text) else {
            let found = explain(&cell.text, &subject, column.unit());
            findings.error(found.code, cell.at, found.message, found.help);
            return None;
        };
        let range = column.range();
        if range.contains(value) {
            return Some(Figure { value, at: cell.at });
        }
        let allowed = range.in_words(column.unit());
        let message = format!("{subject} must be {allowed} (it is {})", cell.text);
        findings.error(READING_RANGE, cell.at, message, column.help(value));
        None
    }

    /// A figure that must be there.
    pub(super) fn required(
        &self,
        column: Column,
        help: &str,
        findings: &mut Findings,
    ) -> Option<Figure> {
        if self.cell(column).is_none() {
            let message = format!("the reading has no {}", self.subject(column));
            findings.error(FIGURE_MISSING, self.at, message, help);
            return None;
        }
        self.figure(column, findings)
    }

    /// A number, in a file also with a decimal comma, as spreadsheets write it.
    fn number(&self, text: &str) -> Option<f64> {
        match self.origin {
            Origin::File => number_in_cell(text),
            Origin::CommandLine => plain_number(text),
        }
    }
}
