//! Writes files: each whole under its name, or what was there before stays whole.

use std::ffi::OsStr;
use std::fs::{self, Metadata, Permissions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use tempfile::{Builder, NamedTempFile};

use super::exit::Refusal;

/// What may be done to files that are there already.
#[derive(Debug, Clone, Copy, Default, Args)]
pub(super) struct Overwrite {
    /// Write over files that are there already
    #[arg(long)]
    force: bool,
}

impl Overwrite {
    /// May files that are there be written over?
    pub(super) fn allows(self) -> bool {
        self.force
    }
}

/// Refuses names that cannot be written to: before the work is done, not after it.
///
/// `site` is the file that was read (`-` if none was): it is never written over.
pub(super) fn may_write(
    paths: &[PathBuf],
    site: &Path,
    overwrite: Overwrite,
) -> Result<(), Refusal> {
    for (i, path) in paths.iter().enumerate() {
        let name = path.display();
        if is_same(path, site) {
            return Err(Refusal::unusable(
                &format!("`{name}` is the file that was read: it would be lost"),
                "give what is written a name of its own",
            ));
        }
        if paths[..i].contains(path) {
            return Err(Refusal::unusable(
                &format!("`{name}` is to be written twice"),
                "give each file a name of its own",
            ));
        }
        match fs::metadata(path) {
            Ok(about) if about.is_dir() => return Err(is_folder(&name.to_string())),
            Ok(about) if about.is_file() && !overwrite.force => {
                return Err(is_there(&name.to_string()));
            }
            _ => {}
        }
    }
    Ok(())
}

/// Writes a file: all of it under its name, or what was there before stays.
///
/// It is written beside its place under a name of its own and then renamed; through a link, beside
/// the file that the link leads to. Devices and pipes are written to as they are.
pub(super) fn write(path: &Path, text: &str, overwrite: Overwrite) -> Result<(), Refusal> {
    let name = path.display().to_string();
    let refuse = |error: io::Error| match error.kind() {
        ErrorKind::AlreadyExists => is_there(&name),
        _ => cannot_write(&name, &error),
    };
    match fs::metadata(path) {
        Ok(about) if about.is_dir() => Err(is_folder(&name)),
        Ok(about) if !about.is_file() => fs::write(path, text).map_err(refuse),
        Ok(about) if overwrite.force => replace(path, text, &about).map_err(refuse),
        Ok(_) => Err(is_there(&name)),
        Err(_) => create(path, text).map_err(refuse),
    }
}

/// A new file; if another program makes one of this name meanwhile, that one stays.
fn create(path: &Path, text: &str) -> io::Result<()> {
    beside(path, text)?.persist_noclobber(path)?;
    Ok(())
}

/// A file in place of another, with the same permissions.
fn replace(path: &Path, text: &str, before: &Metadata) -> io::Result<()> {
    let target = fs::canonicalize(path)?;
    let new = beside(&target, text)?;
    new.as_file().set_permissions(before.permissions())?;
    new.persist(&target)?;
    Ok(())
}

/// The whole text in a file beside its place, which vanishes if it is not renamed.
fn beside(path: &Path, text: &str) -> io::Result<NamedTempFile> {
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let mut start = OsStr::new(".").to_owned();
    start.push(path.file_name().unwrap_or_default());
    let mut builder = Builder::new();
    builder.prefix(&start).suffix(".part");
    #[cfg(unix)]
    builder.permissions(as_usual());
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// What a new file may be used for, less what the person's own setting (`umask`) takes away.
#[cfg(unix)]
fn as_usual() -> Permissions {
    use std::os::unix::fs::PermissionsExt;
    Permissions::from_mode(0o666)
}

fn is_same(a: &Path, b: &Path) -> bool {
    matches!((fs::canonicalize(a), fs::canonicalize(b)), (Ok(a), Ok(b)) if a == b)
}

fn is_there(name: &str) -> Refusal {
    Refusal::unusable(
        &format!("`{name}` is there already, and stays as it is"),
        "give another name, or `--force` to write over it",
    )
}

fn is_folder(name: &str) -> Refusal {
    Refusal::unusable(&format!("`{name}` is a folder"), "name a file in it")
}

fn cannot_write(name: &str, error: &io::Error) -> Refusal {
    let help = match error.kind() {
        ErrorKind::NotFound => "make its folder first, or name another",
        ErrorKind::PermissionDenied => "write where you have the right to, or ask for it",
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded | ErrorKind::FileTooLarge => {
            "make room, or write somewhere else; what was there before is whole"
        }
        _ => "",
    };
    Refusal::unusable(&format!("cannot write `{name}`: {error}"), help)
}
