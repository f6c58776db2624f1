//! Any bytes as a weather file.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::weather_file(bytes);
});
