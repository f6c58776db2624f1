//! A journal: what was found about each site, one line each, so that work may be interrupted.
//!
//! A line is written at once when something is found, under a key made of all that it depends on. So a file that was changed is asked again, and one that was not is not. A last line that was torn
//! off is left out.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::fmt;
use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::lines::Line;
use crate::cli::exit::Refusal;
use crate::cli::match_args::MatchArgs;
use crate::cli::streams::say;
use crate::cli::written::may_write;
use crate::plan::{Customer, OfferRecord};

/// The first line of every journal.
const HEAD: &str = "{\"format\":\"sungraft/match-journal@1\"}\n";

/// What an answer depends on, in short.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Key(u64);

impl Key {
    /// FNV-1a over the parts (G. Fowler and others, IETF draft-eastlake-fnv): the same on every machine,
    /// which the standard library's own does not promise.
    pub(super) fn of(parts: &[&str]) -> Self {
        let bytes = parts.iter().flat_map(|part| part.bytes().chain([0xff]));
        Self(bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
        }))
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:016x}", self.0)
    }
}

/// A journal that is being kept.
pub(super) struct Journal {
    name: String,
    /// Of each customer.
    keys: Vec<Key>,
    files: Vec<String>,
    known: Vec<OfferRecord>,
    file: Mutex<Kept>,
}

struct Kept {
    file: File,
    /// The lines that stand there already.
    lines: HashSet<String>,
    failed: Option<std::io::Error>,
}

impl Journal {
    /// Begins a journal, or goes on with one; `None` if none is wanted.
    pub(super) fn open(
        args: &MatchArgs,
        customers: &[Customer],
        keys: Vec<Key>,
    ) -> Result<Option<Self>, Refusal> {
        let (path, (file, lines)) = match (&args.resume, &args.journal) {
            (Some(path), _) if path.exists() => (path, read(path)?),
            (Some(path), _) => (path, begin(path)?),
            (None, Some(path)) => {
                may_write(std::slice::from_ref(path), &args.stock, args.overwrite)?;
                (path, begin(path)?)
            }
            (None, None) => return Ok(None),
        };
        // Of sites that are alike to the letter the first stands for all.
        let mut by_key = HashMap::new();
        for (customer, key) in keys.iter().enumerate() {
            by_key.entry(key.to_string()).or_insert(customer);
        }
        let there = lines.iter().map(written).collect();
        let known: Vec<OfferRecord> = lines
            .into_iter()
            .filter_map(|line| {
                let customer = *by_key.get(&line.key)?;
                line.record(customer)
            })
            .collect();
        if args.resume.is_some() {
            let sites: BTreeSet<usize> = known.iter().map(|offer| offer.customer).collect();
            let (n, of) = (sites.len(), customers.len());
            say(&format!("`{}` knows of {n} of {of} sites", path.display()));
        }
        Ok(Some(Self {
            name: path.display().to_string(),
            keys,
            files: customers.iter().map(|c| c.file.clone()).collect(),
            known,
            file: Mutex::new(Kept { file, lines: there, failed: None }),
        }))
    }

    /// What was found before.
    pub(super) fn known(&self) -> &[OfferRecord] {
        &self.known
    }

    /// Keeps what was found: the whole line at once, or none of it.
    pub(super) fn keep(&self, offer: &OfferRecord) {
        let (file, key) = (&self.files[offer.customer], self.keys[offer.customer].to_string());
        let line = Line::of(file, key, offer);
        let text = written(&line);
        let mut kept = self.lock();
        if kept.failed.is_none() && !kept.lines.contains(&text) {
            kept.failed = kept.file.write_all(text.as_bytes()).err();
            kept.lines.insert(text);
        }
    }

    /// Says so if not everything could be kept.
    pub(super) fn finish(&self) {
        if let Some(error) = &self.lock().failed {
            say(&format!(
                "warning: the journal `{}` is not complete: {error}\nhelp: the answer is whole all the same",
                self.name
            ));
        }
    }

    fn lock(&self) -> MutexGuard<'_, Kept> {
        // A thread that failed left whole lines behind.
        self.file.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn written(line: &Line) -> String {
    serde_json::to_string(line).expect("plain data serializes") + "\n"
}

/// A new journal with its first line.
fn begin(path: &Path) -> Result<(File, Vec<Line>), Refusal> {
    let started = File::create(path).and_then(|mut file| {
        file.write_all(HEAD.as_bytes())?;
        Ok(file)
    });
    started.map(|file| (file, Vec::new())).map_err(|e| cannot(path, "write", &e))
}

/// The lines of a journal, and the file to go on with. What was torn off at its end is cut away.
fn read(path: &Path) -> Result<(File, Vec<Line>), Refusal> {
    let open = OpenOptions::new().read(true).append(true).open(path);
    let mut file = open.map_err(|e| cannot(path, "read", &e))?;
    let mut bytes = Vec::new();
    file.read_to_end(&mut bytes).map_err(|e| cannot(path, "read", &e))?;
    if bytes.is_empty() {
        drop(file);
        return begin(path);
    }
    if !bytes.starts_with(HEAD.as_bytes()) {
        return Err(Refusal::unusable(
            &format!("`{}` is no journal of `match`", path.display()),
            "name the file that `--journal` wrote, or begin one with `--journal`",
        ));
    }
    let whole = bytes.iter().rposition(|b| *b == b'\n').map_or(0, |at| at + 1);
    if whole < bytes.len() {
        file.set_len(whole as u64).map_err(|e| cannot(path, "write", &e))?;
    }
    let lines = bytes[HEAD.len()..whole].split(|b| *b == b'\n').filter(|line| !line.is_empty());
    let read: Vec<Option<Line>> = lines.map(|line| serde_json::from_slice(line).ok()).collect();
    let n_bad = read.iter().filter(|line| line.is_none()).count();
    if n_bad > 0 {
        let lines = if n_bad == 1 { "line" } else { "lines" };
        say(&format!("{n_bad} {lines} of `{}` cannot be read: asked again", path.display()));
    }
    Ok((file, read.into_iter().flatten().collect()))
}

fn cannot(path: &Path, what: &str, error: &std::io::Error) -> Refusal {
    Refusal::unusable(&format!("cannot {what} the journal `{}`: {error}", path.display()), "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_the_same_everywhere_and_depends_on_every_part() {
        // Test vector of the draft for the empty text and for `a`, each with our end mark behind it,
        // worked by hand: what matters is that they never change.
        assert_eq!(Key::of(&[]).to_string(), "cbf29ce484222325");
        assert_ne!(Key::of(&["ab", "c"]), Key::of(&["a", "bc"]));
        assert_eq!(Key::of(&["a", "b"]), Key::of(&["a", "b"]));
    }
}
