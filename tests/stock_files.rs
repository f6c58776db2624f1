//! Stock files as spreadsheets write them: each in `tests/stock-files/` gives the text beside it, word for word.
//!
//! `NN-name.expected` holds what is read, then the findings as they are shown to a person. After a
//! change of words, write them anew and read the difference:
//!
//! ```text
//! SUNGRAFT_BLESS=1 cargo test --test stock_files
//! git diff tests/stock-files
//! ```

use std::collections::BTreeSet;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use sungraft::diagnostic::Diagnostics;
use sungraft::input::{BadRows, read_stock};
use sungraft::model::StockItem;

fn files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/stock-files");
    let entries = fs::read_dir(folder).expect("the folder is there");
    let mut paths: Vec<PathBuf> = entries.map(|e| e.expect("readable").path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "csv" || e == "bin"));
    paths.sort();
    paths
}

fn items_in_words(items: &[StockItem]) -> String {
    let mut text = String::new();
    for StockItem { kind, count, price } in items {
        let label = kind.label;
        let figures = [
            label.p_mp.watts(),
            label.v_mp.volts(),
            label.i_mp.amps(),
            label.v_oc.volts(),
            label.i_sc.amps(),
        ];
        write!(text, "{count} of {:?}: {figures:?}", kind.id).expect("a string takes all");
        let percent = |c: Option<sungraft::units::PercentPerC>| c.map(|c| c.0);
        let coefficients =
            [kind.v_oc_coefficient, kind.i_sc_coefficient, kind.p_mp_coefficient].map(percent);
        if coefficients.iter().any(Option::is_some) {
            write!(text, ", coefficients {coefficients:?}").expect("a string takes all");
        }
        if let (Some(fuse), Some(system)) = (kind.max_fuse, kind.max_system) {
            write!(text, ", fuse {} A, system {} V", fuse.amps(), system.volts())
                .expect("a string takes all");
        }
        if let (Some(cells), Some(noct)) = (kind.cells, kind.noct) {
            write!(text, ", {cells} cells, NOCT {} °C", noct.celsius())
                .expect("a string takes all");
        }
        if kind.estimated {
            text += ", estimated";
        }
        match price {
            Some(price) => writeln!(text, ", at {price} each"),
            None => writeln!(text, ", no price"),
        }
        .expect("a string takes all");
    }
    text
}

/// What is read, what is left out, and what is said.
fn shown(path: &Path) -> String {
    let name = path.file_name().expect("a file").to_string_lossy();
    let bytes = fs::read(path).expect("readable");
    let tallied = |found: &Diagnostics| match found.tally() {
        tally if tally.is_empty() => String::new(),
        tally => format!("\n{found}\n\n{tally}\n"),
    };
    let refused = read_stock(&name, &bytes, BadRows::Refuse);
    match (refused, read_stock(&name, &bytes, BadRows::Skip)) {
        (Ok(read), _) => format!("{}{}", items_in_words(&read.items), tallied(&read.findings)),
        (Err(refused), Ok(read)) => {
            assert_eq!(refused, read.findings, "both say the same");
            let items = items_in_words(&read.items);
            let (lines, said) = (read.skipped, tallied(&refused));
            format!("refused; without the rows in lines {lines:?}:\n{items}{said}")
        }
        (Err(refused), Err(again)) => {
            assert_eq!(refused, again, "both say the same");
            format!("refused\n{}", tallied(&refused))
        }
    }
}

#[test]
fn every_stock_file_is_answered_word_for_word() {
    let bless = std::env::var_os("SUNGRAFT_BLESS").is_some();
    let mut wrong = Vec::new();
    for path in files() {
        let (actual, golden) = (shown(&path), path.with_extension("expected"));
        if bless {
            fs::write(&golden, &actual).expect("writable");
        } else if fs::read_to_string(&golden).unwrap_or_default() != actual {
            wrong.push(format!("{}:\n{actual}", golden.display()));
        }
    }
    assert!(files().len() > 20);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Codes in a text: `E701`, `W702`.
fn codes_in(text: &str) -> BTreeSet<String> {
    let words = text.split(|c: char| !c.is_ascii_alphanumeric());
    let is_code = |w: &&str| w.len() == 4 && (w.starts_with("E7") || w.starts_with("W7"));
    words.filter(is_code).map(str::to_owned).collect()
}

#[test]
fn every_code_of_stock_is_shown_by_a_file_and_explained() {
    let declared = codes_in(include_str!("../src/input/stock/codes.rs"));
    let mut shown = BTreeSet::from(["E709".to_owned()]);
    for path in files() {
        let golden = fs::read_to_string(path.with_extension("expected")).expect("readable");
        shown.extend(golden.lines().filter(|l| l.contains("]: ")).flat_map(codes_in));
    }
    assert_eq!(declared, shown);
    let page = include_str!("../docs/match.md");
    let rows = page.lines().filter_map(|l| l.strip_prefix("| ")).filter_map(|l| l.get(..4));
    assert_eq!(declared, rows.flat_map(codes_in).collect());
}

const HEADINGS: &str = "id,pmax_w,vmp_v,imp_a,voc_v,isc_a,count\n";

fn rows(n: usize) -> String {
    let rows = (0..n).map(|k| format!("creek-{k},90,18.0,5.00,22.0,5.35,4\n"));
    format!("{HEADINGS}{}", rows.collect::<String>())
}

#[test]
fn a_stock_of_two_thousand_kinds_is_read_and_one_more_is_refused() {
    let read = read_stock("stock.csv", rows(2000).as_bytes(), BadRows::Refuse).expect("is read");
    assert_eq!(read.items.len(), 2000);
    let found = read_stock("stock.csv", rows(2001).as_bytes(), BadRows::Skip).expect_err("is not");
    assert_eq!(found.0[0].code, "E709");
    assert!(found.to_string().contains("2001; at most 2000"), "{found}");
}

#[test]
fn ten_megabytes_are_refused_at_once() {
    let text = rows(250_000);
    assert!(text.len() > 8_000_000);
    let started = Instant::now();
    let found = read_stock("stock.csv", text.as_bytes(), BadRows::Skip).expect_err("too large");
    assert!(started.elapsed() < Duration::from_secs(2), "{:?}", started.elapsed());
    assert_eq!((found.0.len(), found.0[0].code), (1, "E102"));
    assert!(found.to_string().contains("at most 1000000 are read"), "{found}");
}

#[test]
fn a_megabyte_of_nonsense_takes_no_time() {
    let started = Instant::now();
    for filling in ["x,", "\"\",", "\"", "\n", "1,2\n", ";\t,"] {
        let text = format!("{HEADINGS}{}", filling.repeat(900_000 / filling.len()));
        let _ = read_stock("stock.csv", text.as_bytes(), BadRows::Skip);
    }
    assert!(started.elapsed() < Duration::from_secs(10), "{:?}", started.elapsed());
}
