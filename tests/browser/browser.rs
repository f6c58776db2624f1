//! Debian's chromium, started for one page at a time and ended again.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

const NAMES: [&str; 2] = ["chromium", "chromium-browser"];
const PAPER_TOOLS: [&str; 2] = ["pdftotext", "pdftoppm"];
/// Longer than the slowest page takes on a busy machine.
const PATIENCE: Duration = Duration::from_secs(120);

/// A browser that is installed.
#[derive(Debug, Clone)]
pub(crate) struct Browser {
    program: &'static str,
    more: Vec<String>,
}

/// What a run left.
pub(crate) struct Ran {
    pub(crate) stdout: String,
    /// What the page's console said, line by line.
    pub(crate) console: Vec<String>,
}

impl Browser {
    /// The browser, or none with a word on standard error.
    ///
    /// # Panics
    /// If there is none and `SUNGRAFT_BROWSER_REQUIRED` is `1`.
    pub(crate) fn or_skip() -> Option<Self> {
        let program = NAMES.into_iter().find(|name| is_installed(name));
        let missing: Vec<&str> =
            PAPER_TOOLS.into_iter().filter(|name| !is_installed(name)).collect();
        match program {
            Some(program) if missing.is_empty() => return Some(Self { program, more: vec![] }),
            _ => {}
        }
        let why = match program {
            None => "no chromium is installed".to_owned(),
            Some(_) => format!("not installed: {}", missing.join(", ")),
        };
        let required = std::env::var("SUNGRAFT_BROWSER_REQUIRED").is_ok_and(|v| v == "1");
        assert!(!required, "{why}: apt-get install chromium poppler-utils");
        let name = std::thread::current().name().unwrap_or("a test").to_owned();
        // Straight to standard error: what `eprintln!` says is shown only where a test fails.
        let _ = writeln!(std::io::stderr(), "SKIPPED {name}: {why}");
        None
    }

    /// The same with one more argument.
    pub(crate) fn with(&self, argument: &str) -> Self {
        let more = [self.more.clone(), vec![argument.to_owned()]].concat();
        Self { more, ..*self }
    }

    /// Opens a file and ends, with a profile of its own that is thrown away.
    pub(crate) fn run(&self, file: &Path, arguments: &[String]) -> Ran {
        let place = scratch();
        let file_for = |name: &str| File::create(place.join(name)).expect("can make a file");
        let mut child = Command::new(self.program)
            .args(["--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars"])
            .args([
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
            ])
            .args(["--allow-file-access-from-files", "--virtual-time-budget=10000"])
            .args(["--enable-logging=stderr", "--force-device-scale-factor=1"])
            .arg(format!("--user-data-dir={}", place.join("profile").display()))
            .args(&self.more)
            .args(arguments)
            .arg(format!("file://{}", file.display()))
            .stdin(Stdio::null())
            .stdout(file_for("stdout"))
            .stderr(file_for("stderr"))
            .spawn()
            .expect("the browser starts");
        let started = Instant::now();
        while child.try_wait().expect("can wait").is_none() {
            if started.elapsed() > PATIENCE {
                let _ = child.kill();
                panic!("the browser did not end on {}", file.display());
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        let text = |name: &str| {
            let bytes = fs::read(place.join(name)).expect("was written");
            String::from_utf8_lossy(&bytes).into_owned()
        };
        // The browser's own troubles in a bare container (no bus, no display) are not the page's.
        let log = text("stderr");
        let console = log.lines().filter(|l| l.contains(":CONSOLE")).map(str::to_owned).collect();
        let ran = Ran { stdout: text("stdout"), console };
        let _ = fs::remove_dir_all(&place);
        ran
    }
}

/// A fresh folder for one run.
pub(crate) fn scratch() -> PathBuf {
    static N_MADE: AtomicUsize = AtomicUsize::new(0);
    let number = N_MADE.fetch_add(1, Ordering::Relaxed);
    let name = format!("browser-{}-{number}", std::process::id());
    let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::create_dir_all(&place).expect("can make the folder");
    place
}

fn is_installed(program: &str) -> bool {
    let path = std::env::var_os("PATH").unwrap_or_default();
    std::env::split_paths(&path).any(|folder| folder.join(program).is_file())
}
