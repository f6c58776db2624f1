//! A stock shared out among many sites: a summary to read, JSON, a table for spreadsheets, an index of reports.
//!
//! The table shows the first of each list and fits a page however many sites there are; JSON and CSV
//! hold everything.

mod csv;
mod index;
mod json;
mod single;
mod table;
mod words;

pub use index::{ReportOf, index};
pub use single::{Broken, substitutes, who_can_use};

use std::collections::HashMap;

use super::Format;
use crate::model::StockItem;
use crate::plan::{Allocation, Customer, FleetAim, SiteAllotment};

/// A mistake in a file that could not be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    /// Stable number of this sort of mistake; empty where there is none.
    pub code: String,
    /// What is wrong.
    pub message: String,
    /// Line and column, from 1.
    pub at: Option<(usize, usize)>,
    /// How to mend it; may be empty.
    pub help: String,
}

/// A site that could not be asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// Its file.
    pub file: String,
    /// Why.
    pub mistakes: Vec<Mistake>,
}

/// What was asked, of whom.
#[derive(Debug, Clone, Copy)]
pub struct FleetAsked<'a> {
    /// The sites that were asked.
    pub customers: &'a [Customer],
    /// What was offered.
    pub stock: &'a [StockItem],
    /// Sites that could not be asked.
    pub unread: &'a [Unread],
    /// Lines of the stock file that were left out.
    pub skipped_rows: &'a [usize],
    /// How much of each list the table shows.
    pub top: usize,
}

/// Who gets what of a stock, as text that ends with a line end.
#[must_use]
pub fn allocation(asked: &FleetAsked<'_>, allocation: &Allocation, format: Format) -> String {
    match format {
        Format::Table => table::allocation(asked, allocation),
        Format::Json => json::allocation(asked, allocation),
        Format::Csv => csv::allocation(asked, allocation),
    }
}

/// What sites are called: by their names, and by their files, too, where two have one name.
#[derive(Debug)]
struct SiteNames<'a> {
    customers: &'a [Customer],
    often: HashMap<&'a str, usize>,
}

impl<'a> SiteNames<'a> {
    fn of(customers: &'a [Customer]) -> Self {
        let mut often = HashMap::new();
        for customer in customers {
            *often.entry(customer.installation.site.name.as_str()).or_insert(0) += 1;
        }
        Self { customers, often }
    }

    /// The name as the site file gives it.
    fn plain(&self, customer: usize) -> &'a str {
        &self.customers[customer].installation.site.name
    }

    fn file(&self, customer: usize) -> &'a str {
        &self.customers[customer].file
    }

    /// A name that no other site has.
    fn name(&self, customer: usize) -> String {
        let name = self.plain(customer);
        if self.often[name] == 1 {
            return name.to_owned();
        }
        format!("{name} ({})", self.file(customer))
    }
}

/// The sites that get something, those first that count for most; equals in the order of the files.
fn ranked(allocation: &Allocation) -> Vec<&SiteAllotment> {
    let mut sites: Vec<&SiteAllotment> = allocation.sites.iter().collect();
    sites.sort_by(|a, b| b.value.total_cmp(&a.value).then(a.customer.cmp(&b.customer)));
    sites
}

/// How many panels of the stock a site gets.
fn n_placed(site: &SiteAllotment) -> usize {
    site.placed.iter().map(|p| p.count).sum()
}

/// What an aim counts in, as files name it.
fn aim_name(aim: FleetAim) -> &'static str {
    match aim {
        FleetAim::Watts => "watts",
        FleetAim::Margin => "margin",
    }
}
