//! Any bytes as meter readings of an array.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    claims::array_readings(bytes);
});
