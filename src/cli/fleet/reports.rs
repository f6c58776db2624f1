//! A folder of reports: each site's own, and an index of them.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use super::progress::Watch;
use super::sites::{Origin, Sites};
use crate::cli::exit::{Exit, Refusal};
use crate::cli::match_args::MatchArgs;
use crate::cli::streams::say;
use crate::cli::written::{Overwrite, write};
use crate::cli::{answers, files};
use crate::input;
use crate::model::Installation;
use crate::plan::{Allocation, SiteAllotment};
use crate::planner::{self, Options};
use crate::report::{self, FleetAsked, ReportForm, ReportOf, SiteFile};

/// Most characters of a file's name before its ending.
const LONGEST: usize = 60;

/// Refuses a folder that has files in it: before the work is done, not after it.
pub(super) fn may_fill(folder: &Path, overwrite: Overwrite) -> Result<(), Refusal> {
    let name = folder.display();
    if folder.exists() && !folder.is_dir() {
        return Err(Refusal::unusable(&format!("`{name}` is a file"), "name a folder"));
    }
    let filled = fs::read_dir(folder).is_ok_and(|mut entries| entries.next().is_some());
    if filled && !overwrite.allows() {
        return Err(Refusal::unusable(
            &format!("there are files in `{name}` already, and they stay as they are"),
            "name an empty folder, or `--force` to write over those of the same names",
        ));
    }
    Ok(())
}

/// Writes the report of every site that gets something, and the index.
pub(super) fn write_all(
    folder: &Path,
    args: &MatchArgs,
    sites: &Sites,
    asked: &FleetAsked<'_>,
    allocation: &Allocation,
) -> Result<(), Refusal> {
    fs::create_dir_all(folder).map_err(|e| {
        Refusal::unusable(&format!("cannot make the folder `{}`: {e}", folder.display()), "")
    })?;
    let mut taken = BTreeSet::new();
    let mut written = Vec::new();
    let watch = Watch::new(None);
    for (done, site) in allocation.sites.iter().enumerate() {
        watch.count("writing reports", done, allocation.sites.len());
        let file = file_name(&site.installation.site.name, &mut taken);
        match site_report(site, &sites.origins[site.customer], asked, args) {
            Ok(text) => {
                write(&folder.join(&file), &text, args.overwrite)?;
                written.push(ReportOf { customer: site.customer, file });
            }
            // One site's report that cannot be written keeps no other from being.
            Err(refusal) if refusal.exit != Exit::Internal => say(&refusal.text),
            Err(refusal) => return Err(refusal),
        }
    }
    watch.done();
    let index = report::index(asked, allocation, &written);
    write(&folder.join("index.html"), &index, args.overwrite)?;
    let reports = if written.len() == 1 { "report" } else { "reports" };
    say(&format!("{} {reports}, and `{}`", written.len(), folder.join("index.html").display()));
    Ok(())
}

/// One site's report: what `advise` says of it with the panels that it gets as spares.
fn site_report(
    site: &SiteAllotment,
    origin: &Origin,
    asked: &FleetAsked<'_>,
    args: &MatchArgs,
) -> Result<String, Refusal> {
    let customer = &asked.customers[site.customer];
    let mut installation = site.installation.clone();
    add_weather(&mut installation, &origin.path)?;
    let options = Options {
        touch: vec![customer.touch],
        threshold_watts: args.threshold.threshold_watts,
        threshold_share: args.threshold.share(),
        ..Options::default()
    };
    let advice = planner::advise(&installation, &options).map_err(answers::refuse)?;
    let method = planner::method(&installation, &advice, None).map_err(answers::refuse)?;
    let text = String::from_utf8_lossy(&origin.bytes);
    let file = SiteFile { name: &customer.file, text: text.trim_start_matches('\u{feff}') };
    Ok(report::report(&installation, &advice, method.as_ref(), file, ReportForm::Html))
}

fn add_weather(installation: &mut Installation, path: &Path) -> Result<(), Refusal> {
    let sun = &installation.site.sun;
    let Some(weather) = sun.weather.clone().filter(|_| sun.year.is_none()) else { return Ok(()) };
    let weather = files::read_beside(path, &weather)?;
    input::add_weather(installation, &weather.name, &weather.bytes)
        .map(|_| ())
        .map_err(|found| Refusal { text: found.to_string(), exit: Exit::Unusable })
}

/// A name for a file out of a site's name: plain letters, digits and hyphens, which every system takes
/// and no page needs to escape, and no two alike.
fn file_name(site: &str, taken: &mut BTreeSet<String>) -> String {
    let mut slug = String::new();
    for c in site.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_alphanumeric() {
            slug.push(c);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
    }
    slug.truncate(LONGEST);
    // Some systems keep short names such as `con` to themselves; the head keeps clear of them.
    let head = match slug.trim_end_matches('-') {
        "" => "site".to_owned(),
        slug => format!("site-{slug}"),
    };
    let numbered = (1..).map(|n| match n {
        1 => format!("{head}.html"),
        n => format!("{head}-{n}.html"),
    });
    let free = numbered.into_iter().find(|name| !taken.contains(name));
    let name = free.expect("there is always another number");
    taken.insert(name.clone());
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_are_plain_and_no_two_alike() {
        let mut taken = BTreeSet::new();
        let mut name = |site| file_name(site, &mut taken);
        assert_eq!(name("Hollow Creek mill"), "site-hollow-creek-mill.html");
        assert_eq!(name("Hollow creek: MILL!"), "site-hollow-creek-mill-2.html");
        assert_eq!(name("../../etc/passwd"), "site-etc-passwd.html");
        assert_eq!(name("<b>\"x\"</b>"), "site-b-x-b.html");
        assert_eq!(name("Ødegård"), "site-deg-rd.html");
        assert_eq!(name("水車小屋"), "site.html");
        assert_eq!(name(""), "site-2.html");
        assert_eq!(name(&"x".repeat(200)).len(), "site-.html".len() + LONGEST);
    }
}
