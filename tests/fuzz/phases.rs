//! A sound upgrade in steps with edits, planned: the bytes are the edits.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;
#[path = "../hostile/edits.rs"]
mod edits;

const STEPS: &str = include_str!("../hostile/steps/drying-loft.yaml");

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::phased(edits::edited(STEPS, bytes).as_bytes());
});
