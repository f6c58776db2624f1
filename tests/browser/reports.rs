//! The pages that are looked at.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Mutex;

/// A report as the program wrote it.
pub(crate) struct Report {
    pub(crate) name: &'static str,
    pub(crate) path: PathBuf,
    /// The sentence that it opens with.
    pub(crate) verdict: String,
}

impl Report {
    /// On a site of `scenarios/`.
    pub(crate) fn of_scenario(name: &'static str, arguments: &[&str]) -> Self {
        Self::of(name, &format!("scenarios/{name}.yaml"), arguments)
    }

    /// On a site of this folder.
    pub(crate) fn of_site(name: &'static str, arguments: &[&str]) -> Self {
        Self::of(name, &format!("tests/browser/sites/{name}.yaml"), arguments)
    }

    fn of(name: &'static str, site: &str, arguments: &[&str]) -> Self {
        /// Tests run side by side and share the files.
        static WRITING: Mutex<()> = Mutex::new(());
        let place = Path::new(env!("CARGO_TARGET_TMPDIR")).join("reports");
        let path = place.join(format!("{name}.html"));
        let guard = WRITING.lock().expect("nobody panics while writing");
        fs::create_dir_all(&place).expect("can make the folder");
        let output = Command::new(env!("CARGO_BIN_EXE_sungraft"))
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .args(["advise", site, "--force", "--report"])
            .arg(&path)
            .args(arguments)
            .output()
            .expect("the program starts");
        drop(guard);
        // 1 says that no plan keeps every limit: an answer, too.
        assert!(
            matches!(output.status.code(), Some(0 | 1)),
            "{name}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let page = fs::read_to_string(&path).expect("was written");
        let lead = page.split_once("<p class=\"lead\">").expect("has a verdict").1;
        let lead = lead.split_once("</p>").expect("which ends").0;
        let verdict = lead.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
        Self { name, path, verdict }
    }
}

/// A page that has every fault the checks look for.
pub(crate) fn bad_page() -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bad-page.html");
    fs::write(&path, BAD_PAGE).expect("can write the page");
    path
}

const BAD_PAGE: &str = r##"<!DOCTYPE html>
<html lang="en"><head><title>bad</title><style>
  @page { margin: 0; }
  .clip { width: 60px; height: 20px; overflow: hidden; white-space: nowrap; }
  .wide { white-space: nowrap; }
  .over { position: relative; top: -20px; }
</style></head><body style="background: #fff; color: #000">
<h1 id="x">Heading</h1><h4 id="x">Heading</h4>
<div class="clip">this does not fit into its box at all</div>
<p class="wide">this line does not end where the page does, neither on a telephone nor on a desk with a wide window, since it may not be broken anywhere and goes on and on and on and on and on and on</p>
<p>under</p><p class="over">above</p>
<p style="color: #999">pale</p><p style="position: absolute; left: 0">edge</p>
<img src="http://127.0.0.1:9/not-there.png" alt="nothing"><p style="background: url(paper.png)">on a picture</p>
<figure><svg viewBox="0 0 100 40" width="100" height="40"><title>bad</title>
<text x="5" y="20">one</text><text x="8" y="22">two</text><text x="90" y="30">outside</text></svg></figure>
<table><tr><th>head</th><td>cell</td></tr></table>
<p><a href="https://example.org">out</a> <a href="#nowhere">nowhere</a></p>
<script>console.error("loud")</script>
</body></html>
"##;
