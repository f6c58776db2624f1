//! Reads a file or standard input whole, with a limit on size.

use std::fs::File;
use std::io::{self, ErrorKind, Read};
use std::path::Path;

use super::exit::Refusal;

/// A site file is a few kilobytes; what is larger than this is some other file.
const LARGEST: u64 = 16 * 1024 * 1024;
/// The same for a file of many thousand sites.
const LARGEST_OF_MANY: u64 = 256 * 1024 * 1024;

/// A text as it came in, with the name under which a person knows it.
#[derive(Debug)]
pub(super) struct Source {
    /// The path as given; `-` for standard input.
    pub(super) name: String,
    /// Its bytes, unchecked.
    pub(super) bytes: Vec<u8>,
}

/// Reads a file, or standard input for `-`.
pub(super) fn read(path: &Path) -> Result<Source, Refusal> {
    read_at_most(path, LARGEST)
}

/// Reads a file that may hold many sites.
pub(super) fn read_many(path: &Path) -> Result<Source, Refusal> {
    read_at_most(path, LARGEST_OF_MANY)
}

fn read_at_most(path: &Path, largest: u64) -> Result<Source, Refusal> {
    let name = path.display().to_string();
    if path.as_os_str() == "-" {
        let bytes = take(io::stdin().lock(), "standard input", largest)?;
        return Ok(Source { name, bytes });
    }
    let file = File::open(path).map_err(|e| cannot_read(&name, &e))?;
    let about = file.metadata().map_err(|e| cannot_read(&name, &e))?;
    if about.is_dir() {
        return Err(Refusal::unusable(
            &format!("`{name}` is a folder, not a site file"),
            "name the site file inside it",
        ));
    }
    if about.is_file() && about.len() > largest {
        return Err(too_large(&format!("`{name}`"), Some(about.len()), largest));
    }
    let bytes = take(file, &format!("`{name}`"), largest)?;
    Ok(Source { name, bytes })
}

/// Reads a file that a site file names, relative to it; a site from standard input names it from here.
pub(super) fn read_beside(site: &Path, name: &str) -> Result<Source, Refusal> {
    let folder = site.parent().unwrap_or_else(|| Path::new(""));
    let path = folder.join(name);
    if path.is_file() {
        return read(&path);
    }
    let what = if path.is_dir() { "is a folder" } else { "is not there" };
    Err(Refusal::unusable(
        &format!("the weather file `{}` {what}", path.display()),
        "`weather` in the site file names an EPW or TMY3 file, relative to the site file",
    ))
}

/// Reads to the end, but never more than is allowed: pipes and devices do not tell their size.
fn take(from: impl Read, what: &str, largest: u64) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    from.take(largest + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Refusal::unusable(&format!("cannot read {what}: {e}"), ""))?;
    if bytes.len() as u64 > largest {
        return Err(too_large(what, None, largest));
    }
    Ok(bytes)
}

fn too_large(what: &str, len: Option<u64>, largest: u64) -> Refusal {
    let megabytes = |n: u64| n.div_ceil(1024 * 1024);
    let size = match len {
        Some(len) => format!("{} MB large", megabytes(len)),
        None => "too large".to_owned(),
    };
    Refusal::unusable(
        &format!("{what} is {size}; a site file has at most {} MB", megabytes(largest)),
        "is it the right file? a site file is a few kilobytes of text",
    )
}

fn cannot_read(name: &str, error: &io::Error) -> Refusal {
    match error.kind() {
        ErrorKind::NotFound => Refusal::unusable(
            &format!("there is no file `{name}`"),
            "check the name, or begin one with `sungraft starter > shed.yaml`",
        ),
        ErrorKind::PermissionDenied => Refusal::unusable(
            &format!("`{name}` may not be read: {error}"),
            "ask for the right to read it, or copy it to where you have it",
        ),
        _ => Refusal::unusable(&format!("cannot read `{name}`: {error}"), ""),
    }
}
