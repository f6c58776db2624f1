//! `match` as a person meets it: a folder of customers and a stock, answers, journals, reports.
//!
//! The scene is `scenarios/reseller/`; its answers stand in `tests/matching/golden/`:
//!
//! ```text
//! SUNGRAFT_BLESS=1 cargo test --test matching
//! git diff tests/matching
//! ```

mod answers;
mod bad;
mod journal;
mod places;
mod reports;

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;

/// A file or folder of the scene.
fn scene(name: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    root.join("scenarios/reseller").join(name).display().to_string()
}

/// An empty folder of a test's own.
fn scratch(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("matching").join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("can make a folder");
    folder
}

fn text(path: &Path) -> &str {
    path.to_str().expect("is UTF-8")
}

/// Exit code, standard output, standard error of `match` with these arguments behind its files.
fn run_match(sites: &str, stock: &str, more: &[&str]) -> (i32, String, String) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_sungraft"));
    command.args(["match", "--sites", sites, "--stock", stock]).args(more);
    let output = command.output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("is UTF-8");
    let code = output.status.code().expect("ends by itself");
    (code, text(output.stdout), text(output.stderr))
}

/// The same for the scene as it is.
fn run_scene(more: &[&str]) -> (i32, String, String) {
    run_match(&scene("customers"), &scene("stock.csv"), more)
}

/// Holds an answer against its golden file, or writes that anew.
fn hold(name: &str, actual: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/matching/golden").join(name);
    if std::env::var_os("SUNGRAFT_BLESS").is_some() {
        fs::write(&path, actual).expect("writable");
        return;
    }
    let golden = fs::read_to_string(&path).expect("a golden file; SUNGRAFT_BLESS=1 writes it");
    assert_eq!(golden, actual, "{}", path.display());
}
