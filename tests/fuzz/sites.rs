//! Any bytes as a file of many sites.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::many_sites(bytes);
});
