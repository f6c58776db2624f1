//! A sound scenario with edits, planned: the first byte says which, the others are the edits.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;
#[path = "../hostile/edits.rs"]
#[allow(dead_code)]
mod edits;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::planned(edits::chosen_and_edited(bytes).as_bytes());
});
