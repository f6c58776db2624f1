//! How long an upgrade in steps takes: `cargo bench --bench phases`.
//!
//! Three phases, twenty panels of five kinds, budgets in two of them. Figures: docs/performance.md.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sungraft::input::read_site;
use sungraft::model::Installation;
use sungraft::planner::{Options, PhaseOptions, plan_phases};

fn site(text: &str) -> Installation {
    read_site("bench", text.as_bytes()).expect("a sound site file").value
}

fn upgrades(c: &mut Criterion) {
    let twenty = site(include_str!("phases.yaml"));
    let workshop = site(include_str!("../../scenarios/quarry-workshop.yaml"));
    let mut group = c.benchmark_group("phases");
    group.sample_size(10);
    group.bench_function("three phases, 12 panels of 3 kinds and a controller", |b| {
        b.iter(|| plan_phases(black_box(&workshop), &PhaseOptions::default()));
    });
    group.bench_function("three phases, 20 panels of 5 kinds", |b| {
        b.iter(|| plan_phases(black_box(&twenty), &PhaseOptions::default()));
    });
    let plan = Options { joint_worth: Some(2.0), ..Options::default() };
    let options = PhaseOptions { plan, money_worth: None };
    group.bench_function("the same with a worth of joints", |b| {
        b.iter(|| plan_phases(black_box(&twenty), &options));
    });
    group.finish();
}

criterion_group!(benches, upgrades);
criterion_main!(benches);
