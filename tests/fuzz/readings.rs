//! Any bytes as readings of a panel without a label.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::readings_file(bytes);
});
