//! Sites to draw: all scenarios, and generated ones at the ends of what a site file allows.

use std::fmt::Write;
use std::fs;
use std::path::Path;

use sungraft::model::Installation;
use sungraft::plan::{Advice, Touch};
use sungraft::planner::{self, Options};

/// Names and site files.
pub(crate) fn cases() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let mut cases: Vec<(String, String)> = fs::read_dir(folder)
        .expect("is there")
        .map(|entry| entry.expect("readable").path())
        .filter(|path| path.extension().is_some_and(|e| e == "yaml"))
        .map(|path| {
            let name = path.file_stem().expect("has a name").to_string_lossy().into_owned();
            (name, fs::read_to_string(path).expect("readable"))
        })
        .collect();
    cases.sort();
    cases.push(("one-panel".into(), site(&["a"], MPPT, &["[a]"], &[("a", 1)], 2)));
    cases.push(("no-spares".into(), site(&["a"], MPPT, &["[a, a]", "[a, a]"], &[], 2)));
    cases.push(("nothing-yet".into(), site(&["a"], MPPT, &[], &[("a", 3)], 2)));
    let blocks = ["[[a, a, a], [a, a, a]]", "[[a, a, a], [a, a, a]]"];
    cases.push(("blocks-of-three".into(), site(&["a"], MPPT, &blocks, &[("a", 3)], 3)));
    cases.push(("grid".into(), site(&["a"], GRID, &["[a, a, a, a]"], &[("a", 2)], 1)));
    let odd = [
        "a <b> & \"c\"",
        "a name that goes on and on, since somebody liked to write it all out in words for ever",
    ];
    let quoted: Vec<String> = odd.iter().map(|id| format!("'{id}'")).collect();
    let string = format!("[{}, {}]", quoted[0], quoted[1]);
    cases.push(("odd-ids".into(), site(&odd, MPPT, &[&string], &[(odd[1], 2)], 1)));
    cases.push(("sixty".into(), sixty()));
    cases
}

const MPPT: &str = "    type: mppt\n    battery_v: 24\n    charge_a: 60\n    max_pv_v: 250\n    window_v: [32, 240]\n";
const GRID: &str = "    type: mppt\n    max_pv_v: 600\n    window_v: [60, 550]\n";

fn site(
    ids: &[&str],
    controller: &str,
    strings: &[&str],
    spares: &[(&str, usize)],
    block: usize,
) -> String {
    let mut out = format!(
        "site:\n  name: drawn site\n  coldest_c: -15\n  hottest_c: 34\n  block_max: {block}\nkinds:\n"
    );
    for (k, id) in ids.iter().enumerate() {
        let i_mp = 8.0 + 0.1 * k as f64;
        write!(
            out,
            "  - id: '{id}'\n    pmax_w: {:.1}\n    vmp_v: 18.4\n    imp_a: {i_mp:.2}\n    voc_v: 22.4\n    \
             isc_a: {:.2}\n    max_fuse_a: 20\n    voc_percent_per_c: -0.3\n    max_system_v: 1000\n",
            18.4 * i_mp,
            i_mp * 1.07
        )
        .expect("a string takes all");
    }
    let ports = strings.len().max(1) + 2;
    write!(out, "controllers:\n  - id: main\n{controller}    max_pv_a: 200\n    inputs: 1\n    string_ports: {ports}\n")
        .expect("a string takes all");
    if !strings.is_empty() {
        out.push_str("installed:\n  - controller: main\n    input: 1\n    strings:\n");
        for string in strings {
            writeln!(out, "      - {string}").expect("a string takes all");
        }
    }
    if !spares.is_empty() {
        out.push_str("spares:\n");
        for (kind, count) in spares {
            writeln!(out, "  - kind: '{kind}'\n    count: {count}").expect("a string takes all");
        }
    }
    out
}

/// Sixty panels of six kinds: long strings, many strings alike.
fn sixty() -> String {
    let ids = ["north-1", "north-2", "south-3", "south-4", "wing-5", "wing-6"];
    let run = |id: &str, n: usize| vec![id; n].join(", ");
    let mut strings: Vec<String> = (0..6).map(|_| format!("[{}]", run(ids[0], 5))).collect();
    strings.push(format!("[{}, {}]", run(ids[1], 4), run(ids[2], 4)));
    strings.push(format!("[{}, {}]", run(ids[3], 4), run(ids[4], 4)));
    strings.push(format!("[{}]", run(ids[5], 8)));
    let strings: Vec<&str> = strings.iter().map(String::as_str).collect();
    site(&ids, MPPT, &strings, &[(ids[1], 2), (ids[5], 4)], 1)
}

/// A site with its answer. Large ones are only asked for new strings, which is quick.
pub(crate) fn solved(name: &str, text: &str) -> (Installation, Advice) {
    let read = sungraft::input::read_site(name, text.as_bytes());
    let installation = read.unwrap_or_else(|findings| panic!("{name}: {findings}")).value;
    let mut options = Options::default();
    if name == "sixty" {
        options.touch = vec![Touch::None];
    }
    let advice = planner::advise(&installation, &options).expect("has an answer");
    (installation, advice)
}
