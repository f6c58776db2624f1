//! Files that somebody damaged, by accident or on purpose: nothing panics, everything is answered.
//!
//! A seeded slice runs always; `SUNGRAFT_HOSTILE_SECONDS=60` goes on with further seeds for so long.
//! Coverage-guided fuzzing of the same claims stands in `tests/fuzz/`; what it found is in
//! `tests/hostile/found/` and is run here first.

mod claims;
mod edits;
#[path = "../support/random.rs"]
#[allow(dead_code)]
mod random;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use random::Random;

/// Damaged files of a sort that always run, and of a sort that takes long.
const ALWAYS: usize = 400;
const SLOW: usize = 60;

fn folder(name: &str) -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let entries = fs::read_dir(root).expect("the folder is there");
    let mut paths: Vec<PathBuf> = entries.map(|e| e.expect("readable").path()).collect();
    paths.retain(|p| p.is_file());
    paths.sort();
    paths
}

fn texts(name: &str, endings: &[&str]) -> Vec<String> {
    let mut paths = folder(name);
    paths.retain(|p| p.extension().is_some_and(|e| endings.iter().any(|known| e == *known)));
    let bytes = paths.iter().map(|p| fs::read(p).expect("readable"));
    let texts: Vec<String> = bytes.map(|b| String::from_utf8_lossy(&b).into_owned()).collect();
    assert!(!texts.is_empty(), "nothing to damage in {name}");
    texts
}

/// Damages one of the texts after the other, a few edits each, and holds the claim against it.
fn damaged(texts: &[String], (seed, always): (u64, usize), claim: fn(&[u8])) {
    let seconds = std::env::var("SUNGRAFT_HOSTILE_SECONDS").ok().and_then(|s| s.parse().ok());
    let more = Duration::from_secs(seconds.unwrap_or(0));
    let start = Instant::now();
    let mut n = 0;
    while n < always || start.elapsed() < more {
        let mut rng = Random::seeded(seed ^ (n as u64) << 8);
        let script: Vec<u8> = (0..4 * (1 + rng.below(6))).map(|_| rng.below(256) as u8).collect();
        let mut bytes = edits::edited(&texts[n % texts.len()], &script).into_bytes();
        if rng.chance(0.1) && !bytes.is_empty() {
            let at = rng.below(bytes.len());
            bytes[at] = rng.below(256) as u8;
        }
        claim(&bytes);
        n += 1;
    }
}

#[test]
fn damaged_site_files_are_read_or_refused_in_words() {
    let mut all = texts("scenarios", &["yaml"]);
    all.extend(texts("tests/bad-inputs", &["yaml"]));
    damaged(&all, (1, ALWAYS), |bytes| drop(claims::site_file(bytes)));
}

#[test]
fn damaged_sites_that_can_still_be_read_are_planned_and_shown() {
    damaged(&texts("scenarios", &["yaml"]), (2, ALWAYS), claims::planned);
}

#[test]
fn damaged_upgrades_in_steps_that_can_still_be_read_are_planned_and_shown() {
    let all = texts("tests/hostile/steps", &["yaml"]);
    damaged(&all, (7, SLOW), claims::phased);
}

#[test]
fn damaged_meter_readings_are_held_against_the_array_or_refused_in_words() {
    damaged(&texts("scenarios/readings", &["yaml"]), (8, SLOW), claims::array_readings);
}

#[test]
fn damaged_price_files_are_read_or_refused_in_words() {
    let starter = sungraft::input::prices_starter().to_owned();
    damaged(&[starter], (9, ALWAYS), claims::price_file);
}

#[test]
fn damaged_weather_files_are_read_or_refused_in_words() {
    let mut all = texts("tests/bad-inputs", &["epw", "csv"]);
    all.truncate(12);
    damaged(&all, (3, ALWAYS), claims::weather_file);
}

#[test]
fn damaged_readings_are_read_or_refused_in_words() {
    let starter = sungraft::input::readings_starter().to_owned();
    let german = starter.replace(',', ";").replace('.', ",");
    damaged(&[starter, german], (4, ALWAYS), claims::readings_file);
}

#[test]
fn damaged_stock_files_are_read_or_refused_in_words() {
    let mut all = texts("tests/stock-files", &["csv"]);
    all.extend(texts("scenarios/reseller", &["csv"]));
    damaged(&all, (5, ALWAYS), claims::stock_file);
}

#[test]
fn damaged_files_of_many_sites_are_read_or_refused_in_words() {
    let all = texts("scenarios/reseller/customers", &["yaml"]).join("---\n");
    damaged(&[all], (6, ALWAYS), claims::many_sites);
}

/// The edits that led a coverage-guided run to code that no others had led to, each a line of hex.
fn scripts(name: &str) -> Vec<Vec<u8>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile/scripts").join(name);
    let text = fs::read_to_string(path).expect("readable");
    let byte = |pair: &[u8]| {
        let pair = std::str::from_utf8(pair).expect("plain");
        u8::from_str_radix(pair, 16).expect("hex")
    };
    let all: Vec<Vec<u8>> =
        text.lines().map(|line| line.as_bytes().chunks(2).map(byte).collect()).collect();
    assert!(all.len() > 200, "{name}");
    all
}

#[test]
fn edits_that_led_somewhere_new_end_well() {
    for script in scripts("advise.txt") {
        claims::planned(edits::chosen_and_edited(&script).as_bytes());
    }
    for script in scripts("phases.txt") {
        claims::phased(edits::edited(edits::STEPS, &script).as_bytes());
    }
}

#[test]
fn what_broke_the_program_once_does_not_again() {
    for path in folder("tests/hostile/found") {
        let bytes = fs::read(&path).expect("readable");
        claims::planned(&bytes);
        claims::weather_file(&bytes);
        claims::readings_file(&bytes);
        claims::stock_file(&bytes);
        claims::many_sites(&bytes);
        claims::phased(&bytes);
        claims::array_readings(&bytes);
        claims::price_file(&bytes);
    }
}
