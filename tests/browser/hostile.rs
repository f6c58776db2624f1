//! Pages made of files that somebody filled with markup, quotes, turned letters and no spaces.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::browser::{Browser, scratch};

/// What would run, or load, or turn the page around, if it were taken for more than text.
const NAMES: [(&str, &str); 5] = [
    ("SITE", "Barn <img src=x onerror=\"document.title='owned'\"> & 'son'"),
    ("ONE", "\"><script>document.title='owned'</script><svg onload=\"document.title='owned'\">"),
    (
        "TWO",
        "\u{202e}desrever\u{202c} \u{2066}שמש\u{2069} 👩\u{200d}🌾😀 &lt;b&gt; `x` ]]> --> </style></title>",
    ),
    ("BOX", "'\" onmouseover=\"document.title='owned'\" x='"),
    ("STEP", "<a href=\"javascript:document.title='owned'\">step</a> {{7*7}} ${7*7} %s"),
];
/// As long as a name may be, and nothing to break it at.
const LONGEST: usize = 100;
/// Characters of one comment line, which the page repeats with the rest of the file.
const COMMENT: usize = 10_000;

const SITE: &str = include_str!("sites/hostile.yaml");
const STOCK: &str = include_str!("sites/hostile.csv");

/// A page, and how its maker was called.
pub(crate) struct Page {
    pub(crate) name: String,
    pub(crate) path: PathBuf,
}

/// Every sort of page there is, of hostile files.
pub(crate) fn pages() -> Vec<Page> {
    let place = scratch();
    let site = place.join("site.yaml");
    let stock = place.join("stock.csv");
    fs::write(&site, filled(SITE, |name| name.replace('\'', "''"))).expect("can write the site");
    fs::write(&stock, filled(STOCK, |name| name.replace('"', "\"\"")))
        .expect("can write the stock");
    let page = |name: &str| place.join(format!("{name}.html"));
    let text = |path: &Path| path.display().to_string();
    let site = text(&site);
    for command in ["advise", "phases", "lesson"] {
        run(&[command, &site, "--report", &text(&page(command))]);
    }
    run(&[
        "match",
        "--sites",
        &site,
        "--stock",
        &text(&stock),
        "--reports",
        &text(&place.join("all")),
    ]);
    let mut paths: Vec<PathBuf> = ["advise", "phases", "lesson"].map(page).into();
    let reports = fs::read_dir(place.join("all")).expect("was made");
    paths.extend(reports.map(|e| e.expect("readable").path()));
    paths.retain(|p| p.extension().is_some_and(|e| e == "html"));
    assert!(paths.len() > 3, "{paths:?}");
    let name = |path: &Path| path.file_name().expect("a file").to_string_lossy().into_owned();
    paths.into_iter().map(|path| Page { name: name(&path), path }).collect()
}

/// A page that writes the names down as they are.
pub(crate) fn unescaped_page() -> Page {
    let path = scratch().join("unescaped.html");
    let names = NAMES.map(|(_, name)| format!("<p title=\"{name}\">{name}</p>")).concat();
    fs::write(&path, format!("<!DOCTYPE html><title>page</title>{names}")).expect("can write it");
    Page { name: "unescaped".to_owned(), path }
}

/// What in the page is more than text that came from a file.
pub(crate) fn faults(browser: &Browser, page: &Page) -> Vec<String> {
    let dom = browser.run(&page.path, &["--dump-dom".into()]).stdout;
    let mut faults = Vec::new();
    // The browser writes `<` in texts and in attributes as `&lt;`: what is left are its elements.
    let elements: Vec<&str> = dom.split('<').skip(1).filter_map(|e| e.split('>').next()).collect();
    for name in ["script", "img"] {
        if elements.iter().any(|e| e.starts_with(name)) {
            faults.push(format!("{}: there is an element {name}", page.name));
        }
    }
    // A quote in the value of an attribute is `&quot;`.
    for sign in ["href=\"javascript:", " onload=\"", " onmouseover=\"", " onerror=\""] {
        if elements.iter().any(|e| e.contains(sign)) {
            faults.push(format!("{}: an element has {sign}", page.name));
        }
    }
    let title = dom.split_once("<title>").and_then(|(_, rest)| rest.split_once("</title>"));
    let title = title.map_or("", |(title, _)| title);
    if title == "owned" || title.is_empty() {
        faults.push(format!("{}: its title is {title:?}", page.name));
    }
    if !dom.contains("&lt;img src=x onerror") {
        faults.push(format!("{}: the name of the site is not there as text", page.name));
    }
    faults
}

fn filled(text: &str, quoted: impl Fn(&str) -> String) -> String {
    let mut text =
        text.replace("COMMENT", &"<script>x</script>&".repeat(COMMENT / 19 + 1)[..COMMENT]);
    for (place, name) in NAMES {
        text = text.replace(place, &quoted(name));
    }
    text.replace("LONGEST", &"W".repeat(LONGEST))
}

fn run(arguments: &[&str]) {
    let output = Command::new(env!("CARGO_BIN_EXE_sungraft"))
        .args(arguments)
        .output()
        .expect("the program starts");
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{arguments:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
}
