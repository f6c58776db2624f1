//! How long whole answers take: `cargo bench --bench advise`.
//!
//! The owner's scene is the seed shed (7 panels of 3 kinds); the large one has 28 panels of 6 kinds,
//! blocks of two and 8 ports. Figures and the machine they were taken on: docs/performance.md.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use sungraft::input::read_site;
use sungraft::model::Installation;
use sungraft::plan::{Rule, Touch};
use sungraft::planner::{Options, advise, plan_only};

fn site(text: &str) -> Installation {
    read_site("bench", text.as_bytes()).expect("a sound site file").value
}

fn whole_answers(c: &mut Criterion) {
    let owner = site(include_str!("../../scenarios/seed-shed.yaml"));
    let large = site(include_str!("large.yaml"));
    let mut group = c.benchmark_group("advise");
    group.sample_size(10);
    group.bench_function("seed shed, whole answer", |b| {
        b.iter(|| advise(black_box(&owner), &Options::default()));
    });
    group.bench_function("seed shed, plans without verdicts", |b| {
        b.iter(|| plan_only(black_box(&owner), &Options::default()));
    });
    let free = |rule| Options { touch: vec![Touch::Free], rule, ..Options::default() };
    group.bench_function("28 panels of 6 kinds, one plan by the curves", |b| {
        b.iter(|| plan_only(black_box(&large), &free(Rule::Curve)));
    });
    group.bench_function("28 panels of 6 kinds, one plan by the nameplate rule", |b| {
        b.iter(|| plan_only(black_box(&large), &free(Rule::Nameplate)));
    });
    group.finish();
}

criterion_group!(benches, whole_answers);
criterion_main!(benches);
