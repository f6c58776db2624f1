//! The first page of a folder of reports: who gets what, with a link to each site's own report.

use super::words::{panels, proof, whole_watts};
use super::{FleetAsked, SiteNames, ranked};
use crate::plan::Allocation;
use crate::report::layout::is_unprintable;
use crate::report::page::escaped;

/// A report that was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReportOf {
    /// Index of the customer.
    pub customer: usize,
    /// Name of its file, in the folder of the index.
    pub file: String,
}

const STYLE: &str = "body{font:1rem/1.45 sans-serif;max-width:60rem;margin:2rem auto;padding:0 1rem}\
table{border-collapse:collapse}caption{text-align:left}th,td{text-align:left;padding:.25rem .75rem .25rem 0;\
border-bottom:1px solid;vertical-align:top;overflow-wrap:anywhere}td.n,th.n{text-align:right;white-space:nowrap}";

/// The page, in HTML that is well-formed XML; nothing is loaded and nothing runs.
#[must_use]
pub fn index(asked: &FleetAsked<'_>, allocation: &Allocation, reports: &[ReportOf]) -> String {
    let names = SiteNames::of(asked.customers);
    let mut rows = String::new();
    for (rank, site) in ranked(allocation).into_iter().enumerate() {
        let name = escaped(&names.name(site.customer));
        let linked = match reports.iter().find(|r| r.customer == site.customer) {
            // File names are made of plain letters, digits and hyphens.
            Some(report) => format!("<a href=\"{}\">{name}</a>", report.file),
            None => name,
        };
        rows += &format!(
            "<tr><td class=\"n\">{}</td><td>{linked}</td><td>{}</td><td class=\"n\">{}</td></tr>\n",
            rank + 1,
            escaped(&panels(&site.placed, asked.stock)),
            escaped(&whole_watts(site.added())),
        );
    }
    let cautions: String = super::words::CAUTIONS[1..]
        .iter()
        .map(|text| format!("<li>{}</li>\n", escaped(text)))
        .collect();
    let page = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <title>Who gets what</title>\n<style>{STYLE}</style>\n</head>\n<body>\n\
         <h1>Who gets what</h1>\n<p>{} more at full sun, at {} sites. {}</p>\n<table>\n\
         <caption>Most first; a name leads to the site's own report.</caption>\n<thead>\n\
         <tr><th class=\"n\" scope=\"col\">#</th><th scope=\"col\">site</th>\
         <th scope=\"col\">panels</th><th class=\"n\" scope=\"col\">adds</th></tr>\n\
         </thead>\n<tbody>\n{rows}</tbody>\n</table>\n<h2>Take care</h2>\n<ul>\n{cautions}</ul>\n\
         </body>\n</html>\n",
        escaped(&whole_watts(allocation.added)),
        allocation.sites.len(),
        escaped(&proof(allocation.gap, allocation.proven, allocation.stopped)),
    );
    let keep = |c: char| c == '\n' || !is_unprintable(c);
    page.chars().map(|c| if keep(c) { c } else { char::REPLACEMENT_CHARACTER }).collect()
}
