//! A sound scenario with edits, planned: the first byte says which, the others are the edits.
#![no_main]

#[path = "../hostile/claims.rs"]
#[allow(dead_code)]
mod claims;
#[path = "../hostile/edits.rs"]
mod edits;

const SCENARIOS: [&str; 6] = [
    include_str!("../../scenarios/seed-shed.yaml"),
    include_str!("../../scenarios/cider-barn.yaml"),
    include_str!("../../scenarios/pasture-pwm.yaml"),
    include_str!("../../scenarios/apiary-block.yaml"),
    include_str!("../../scenarios/boat-house.yaml"),
    include_str!("../../scenarios/cheese-loft.yaml"),
];

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let Some((which, script)) = bytes.split_first() else { return };
    let text = edits::edited(SCENARIOS[usize::from(*which) % SCENARIOS.len()], script);
    claims::planned(text.as_bytes());
});
