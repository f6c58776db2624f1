//! The report on screens: a phone's width and a desk's, in light and in dark.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::browser::{Browser, scratch};

const SCRIPT: &str = include_str!("check.js");
/// Width of a small phone, of a tablet and of a desk's window. [px]
const WIDTHS: [u32; 3] = [360, 900, 1280];
const SCHEMES: [&str; 2] = ["light", "dark"];

/// What was found in one window.
pub(crate) struct Look {
    /// Its width and whether it was light or dark.
    pub(crate) seen: String,
    /// Lines of text outside drawings.
    pub(crate) n_texts: usize,
    pub(crate) faults: Vec<String>,
}

/// Opens a report in all windows at once and runs the checks over each.
pub(crate) fn looks(browser: &Browser, report: &Path) -> Vec<Look> {
    let place = scratch();
    let page = place.join("around.html");
    fs::write(&page, around(report)).expect("can write the page");
    let ran = browser.run(&page, &["--dump-dom".into()]);
    let found = between(&ran.stdout, "<pre id=\"found\">", "</pre>").unwrap_or_else(|| {
        panic!("the checks did not run on {}:\n{}", report.display(), ran.stdout)
    });
    let found: Value = serde_json::from_str(found)
        .unwrap_or_else(|e| panic!("{e} in what was found on {}: {found}", report.display()));
    assert!(found["error"].is_null(), "the checks broke off: {}", found["error"]);
    let _ = fs::remove_dir_all(&place);
    let mut looks: Vec<Look> =
        found["looks"].as_array().expect("a list").iter().map(look).collect();
    assert_eq!(looks.len(), WIDTHS.len() * SCHEMES.len());
    for scheme in SCHEMES {
        for width in WIDTHS {
            let wanted = format!("{width} px, {scheme}");
            assert!(looks.iter().any(|l| l.seen == wanted), "no window was {wanted}");
        }
    }
    looks[0].faults.extend(ran.console.iter().map(|line| format!("console: {line}")));
    looks
}

/// A page of windows that all show the report. A window's own scheme is what the report sees.
fn around(report: &Path) -> String {
    let windows: String = SCHEMES
        .iter()
        .flat_map(|scheme| WIDTHS.map(|width| (width, scheme)))
        .map(|(width, scheme)| {
            format!(
                "<iframe style=\"border:0;width:{width}px;height:800px;color-scheme:{scheme}\" \
                 src=\"file://{}\"></iframe>\n",
                report.display()
            )
        })
        .collect();
    format!(
        "<!DOCTYPE html>\n<meta charset=\"utf-8\">\n<body>\n{windows}<pre id=\"found\"></pre>\n\
         <script>\n{SCRIPT}</script>\n"
    )
}

fn look(found: &Value) -> Look {
    let faults = found["faults"].as_array().expect("a list").iter();
    Look {
        seen: found["seen"].as_str().expect("text").to_owned(),
        n_texts: found["n_texts"].as_u64().and_then(|n| usize::try_from(n).ok()).expect("a count"),
        faults: faults.map(|f| f.as_str().expect("text").to_owned()).collect(),
    }
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    text.split_once(from)?.1.split_once(to).map(|(inside, _)| inside)
}
