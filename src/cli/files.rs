//! Reads a file or standard input whole, with a limit on size; writes a file whole or not at all.

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::Path;

use super::exit::Refusal;

/// A site file is a few kilobytes; what is larger than this is some other file.
const LARGEST: u64 = 16 * 1024 * 1024;

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
    let name = path.display().to_string();
    if path.as_os_str() == "-" {
        let bytes = take(io::stdin().lock(), "standard input")?;
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
    if about.is_file() && about.len() > LARGEST {
        return Err(too_large(&format!("`{name}`"), Some(about.len())));
    }
    let bytes = take(file, &format!("`{name}`"))?;
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

/// Writes a file: all of it under its name, or what was there before stays.
///
/// The site file itself is never written over.
pub(super) fn write(path: &Path, site: &Path, text: &str) -> Result<(), Refusal> {
    let name = path.display();
    let refuse = |e: io::Error| cannot_write(&name.to_string(), &e);
    let same = |a: &Path, b: &Path| matches!((fs::canonicalize(a), fs::canonicalize(b)), (Ok(a), Ok(b)) if a == b);
    if same(path, site) {
        return Err(Refusal::unusable(
            &format!("`{name}` is the site file: it would be lost"),
            "give the report a name of its own",
        ));
    }
    // Devices and pipes cannot be renamed over.
    if fs::metadata(path).is_ok_and(|about| !about.is_file() && !about.is_dir()) {
        return fs::write(path, text).map_err(refuse);
    }
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = Path::new(&beside);
    let written = File::create(beside)
        .and_then(|mut file| file.write_all(text.as_bytes()).and_then(|()| file.sync_all()))
        .and_then(|()| fs::rename(beside, path));
    if written.is_err() {
        let _ = fs::remove_file(beside);
    }
    written.map_err(refuse)
}

fn cannot_write(name: &str, error: &io::Error) -> Refusal {
    let help = match error.kind() {
        ErrorKind::NotFound => "make its folder first, or name another",
        ErrorKind::PermissionDenied => "write where you have the right to, or ask for it",
        ErrorKind::IsADirectory => "that is a folder: name a file in it",
        _ => "",
    };
    Refusal::unusable(&format!("cannot write `{name}`: {error}"), help)
}

/// Reads to the end, but never more than is allowed: pipes and devices do not tell their size.
fn take(from: impl Read, what: &str) -> Result<Vec<u8>, Refusal> {
    let mut bytes = Vec::new();
    from.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Refusal::unusable(&format!("cannot read {what}: {e}"), ""))?;
    if bytes.len() as u64 > LARGEST {
        return Err(too_large(what, None));
    }
    Ok(bytes)
}

fn too_large(what: &str, len: Option<u64>) -> Refusal {
    let megabytes = |n: u64| n.div_ceil(1024 * 1024);
    let size = match len {
        Some(len) => format!("{} MB large", megabytes(len)),
        None => "too large".to_owned(),
    };
    Refusal::unusable(
        &format!("{what} is {size}; a site file has at most {} MB", megabytes(LARGEST)),
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
