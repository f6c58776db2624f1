//! A sound upgrade in steps with edits, planned: the bytes are the edits.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;
#[path = "../hostile/edits.rs"]
#[allow(dead_code)]
mod edits;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::phased(edits::edited(edits::STEPS, bytes).as_bytes());
});
