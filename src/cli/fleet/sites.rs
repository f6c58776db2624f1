//! The customers' site files: all that can be read, and what is wrong with the others.

use std::fs;
use std::path::{Path, PathBuf};

use crate::cli::exit::{Exit, Refusal};
use crate::cli::files;
use crate::cli::match_args::MatchArgs;
use crate::cli::streams::say;
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::input::{self, Read};
use crate::model::{CustomerTerms, Installation, Leave, StockItem};
use crate::plan::{Customer, Touch};
use crate::planner::FleetOptions;
use crate::report::{Mistake, Unread};

use super::journal::Key;

/// Folders in folders, further than which nobody sorts customers.
const DEEPEST: usize = 8;

/// All sites as read.
#[derive(Default)]
pub(super) struct Sites {
    pub(super) customers: Vec<Customer>,
    /// Where each of them comes from.
    pub(super) origins: Vec<Origin>,
    /// Those that cannot be used.
    pub(super) unread: Vec<Unread>,
    /// What is said of these, in full.
    told: Vec<String>,
    n_warned: usize,
}

/// The text that a site was read from.
pub(super) struct Origin {
    /// The file that it stands in.
    pub(super) path: PathBuf,
    pub(super) bytes: Vec<u8>,
}

impl Sites {
    /// Reads every site that is named.
    ///
    /// # Errors
    /// Nothing is there, or nothing of it can be used: then what is wrong with all of it.
    pub(super) fn read(args: &MatchArgs) -> Result<Self, Refusal> {
        let mut sites = Self::default();
        if args.sites.is_dir() {
            for path in site_files(&args.sites)? {
                let file = path.strip_prefix(&args.sites).unwrap_or(&path).display().to_string();
                match files::read(&path) {
                    Ok(source) => {
                        let read = input::read_sites(&source.name, &source.bytes);
                        sites.take(&path, &file, read, args);
                    }
                    Err(refusal) => sites.leave_out(file, Wrong::from_refusal(&refusal)),
                }
            }
        } else if args.sites.as_os_str() != "-" && !args.sites.exists() {
            return Err(Refusal::unusable(
                &format!("`{}` is not there", args.sites.display()),
                "`--sites` names the folder of the customers' site files, or one file with many sites",
            ));
        } else {
            let source = files::read_many(&args.sites)?;
            let read = input::read_sites(&source.name, &source.bytes);
            sites.take(&args.sites, &source.name, read, args);
        }
        if sites.customers.is_empty() {
            return Err(sites.nothing(&args.sites));
        }
        if sites.n_warned > 0 {
            let files = if sites.n_warned == 1 { "site has" } else { "sites have" };
            say(&format!("{} {files} warnings: `sungraft check` tells them", sites.n_warned));
        }
        Ok(sites)
    }

    /// Sorts the documents of one file into those that can be asked and those that cannot.
    fn take(
        &mut self,
        path: &Path,
        file: &str,
        documents: Vec<input::SiteDocument>,
        args: &MatchArgs,
    ) {
        let several = documents.len() > 1;
        if documents.is_empty() {
            let nothing = Refusal::unusable(
                &format!("there is no site in `{}`", path.display()),
                "a site file begins with `site:`; `sungraft starter` prints one",
            );
            self.leave_out(file.to_owned(), Wrong::from_refusal(&nothing));
        }
        for document in documents {
            let file =
                if several { format!("{file}#{}", document.number) } else { file.to_owned() };
            let read = document.read.map_err(Wrong::from_findings);
            match read.and_then(|read| with_weather(path, read, args)) {
                Ok(Read { value: (installation, terms), warnings }) => {
                    self.n_warned += usize::from(!warnings.0.is_empty());
                    self.customers.push(customer(file, installation, terms, args));
                    self.origins.push(Origin { path: path.to_owned(), bytes: document.bytes });
                }
                Err(wrong) => self.leave_out(file, wrong),
            }
        }
    }

    fn leave_out(&mut self, file: String, wrong: Wrong) {
        self.told.push(wrong.told);
        self.unread.push(Unread { file, mistakes: wrong.mistakes });
    }

    fn nothing(&self, path: &Path) -> Refusal {
        if self.unread.is_empty() {
            return Refusal::unusable(
                &format!("there is no site file in `{}`", path.display()),
                "a site file ends in `.yaml` or `.yml`",
            );
        }
        Refusal { text: self.told.join("\n\n"), exit: Exit::Unusable }
    }

    /// Says in full what is wrong with each site that is not in the answer.
    pub(super) fn say_unread(&self) {
        if self.told.is_empty() {
            return;
        }
        let sites = if self.unread.len() == 1 { "site is" } else { "sites are" };
        say(&format!("\n{}\n", self.told.join("\n\n")));
        say(&format!("\n{} {sites} not in the answer", self.unread.len()));
    }

    /// What each site's answer depends on, for a journal.
    pub(super) fn keys(&self, stock: &[StockItem], options: &FleetOptions) -> Vec<Key> {
        let shared = Key::of(&[env!("CARGO_PKG_VERSION"), &format!("{stock:?}{options:?}")]);
        let of_site = |(customer, origin): (&Customer, &Origin)| {
            let Customer { touch, worth_per_watt, worth_per_kwh, .. } = customer;
            // A weather file stands beside the site file; it is read only where it counts.
            let year = &customer.installation.site.sun.year;
            let terms = format!("{touch:?}{worth_per_watt:?}{worth_per_kwh:?}{year:?}");
            Key::of(&[&shared.to_string(), &terms, &String::from_utf8_lossy(&origin.bytes)])
        };
        self.customers.iter().zip(&self.origins).map(of_site).collect()
    }
}

/// What is wrong with a site: in full for a person, and in parts for the answer.
struct Wrong {
    told: String,
    mistakes: Vec<Mistake>,
}

impl Wrong {
    fn from_findings(findings: Diagnostics) -> Self {
        let errors = findings.0.iter().filter(|d| d.severity == Severity::Error);
        Self { told: findings.to_string(), mistakes: errors.map(mistake).collect() }
    }

    fn from_refusal(refusal: &Refusal) -> Self {
        let (message, help) = refusal.text.split_once("\nhelp: ").unwrap_or((&refusal.text, ""));
        let message = message.trim_start_matches("error: ").to_owned();
        let help = help.to_owned();
        let mistakes = vec![Mistake { code: String::new(), message, at: None, help }];
        Self { told: refusal.text.clone(), mistakes }
    }
}

fn mistake(found: &Diagnostic) -> Mistake {
    Mistake {
        code: found.code.to_owned(),
        message: found.message.clone(),
        at: found.place.map(|p| (p.line, p.column)),
        help: found.help.clone().unwrap_or_default(),
    }
}

/// The weather of a site, where a kWh counts; the other questions do without.
fn with_weather(
    path: &Path,
    mut read: Read<(Installation, CustomerTerms)>,
    args: &MatchArgs,
) -> Result<Read<(Installation, CustomerTerms)>, Wrong> {
    let (installation, terms) = &mut read.value;
    let counts = matches!(worth(terms, args), (None, Some(_)));
    let Some(weather) = installation.site.sun.weather.clone().filter(|_| counts) else {
        return Ok(read);
    };
    let source =
        files::read_beside(path, &weather).map_err(|refusal| Wrong::from_refusal(&refusal))?;
    let warnings = input::add_weather(installation, &source.name, &source.bytes)
        .map_err(Wrong::from_findings)?;
    read.warnings.0.extend(warnings.0);
    Ok(read)
}

fn customer(
    file: String,
    installation: Installation,
    terms: CustomerTerms,
    args: &MatchArgs,
) -> Customer {
    let (worth_per_watt, worth_per_kwh) = worth(&terms, args);
    Customer {
        file,
        installation,
        touch: match terms.leave {
            Some(Leave::None) => Touch::None,
            Some(Leave::Extend) => Touch::Extend,
            Some(Leave::Free) => Touch::Free,
            None => args.touch.into(),
        },
        worth_per_watt,
        worth_per_kwh,
    }
}

/// What one more watt and one more kWh a year are worth at a site: what it says itself comes before what
/// is said of all.
fn worth(terms: &CustomerTerms, args: &MatchArgs) -> (Option<f64>, Option<f64>) {
    let of_all = args.worth_per_watt.filter(|_| terms.worth_per_kwh.is_none());
    (terms.worth_per_watt.or(of_all), terms.worth_per_kwh.or(args.worth_per_kwh))
}

/// Every site file below a folder, by name. Hidden files and folders are left aside.
fn site_files(folder: &Path) -> Result<Vec<PathBuf>, Refusal> {
    let mut found = Vec::new();
    collect(folder, DEEPEST, &mut found)
        .map_err(|e| Refusal::unusable(&format!("cannot read `{}`: {e}", folder.display()), ""))?;
    found.sort();
    Ok(found)
}

fn collect(folder: &Path, deeper: usize, found: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let path = entry.path();
        if entry.file_name().to_string_lossy().starts_with('.') {
            continue;
        }
        // A link to a folder is not followed, since it may lead back here.
        if entry.file_type()?.is_dir() {
            if deeper > 0 {
                collect(&path, deeper - 1, found)?;
            }
        } else if is_site_file(&path) {
            found.push(path);
        }
    }
    Ok(())
}

fn is_site_file(path: &Path) -> bool {
    let ending = path.extension().and_then(|e| e.to_str()).map(str::to_ascii_lowercase);
    matches!(ending.as_deref(), Some("yaml" | "yml"))
}
