//! Any bytes as a site file.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::site_file(bytes);
});
