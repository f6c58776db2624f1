//! How fast the electrical model is: `cargo bench --bench electrical`.
//!
//! The first group stands beside a reference library's figure for the same job (maximum power
//! points of ten thousand panels): `tests/bench/max_power_pvlib.py`. See docs/performance.md.

#[path = "../support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;

use std::hint::black_box;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use random::Random;
use sungraft::electrical::{
    Assumed, Catalog, SingleDiode, array_curve, exact_array_current, fit_label, stc, string_curve,
};
use sungraft::model::{ArrayWiring, Element, Kind, KindIdx, PanelString};
use sungraft::units::Volts;

/// As many panels as the reference library's batch has.
const BATCH: usize = 10_000;

/// Random panels in random weather; the same distribution as in `max_power_pvlib.py`.
fn random_diodes() -> Vec<SingleDiode> {
    let mut random = Random::seeded(7);
    (0..BATCH)
        .map(|_| SingleDiode {
            photocurrent: random.between(0.5, 14.0),
            saturation_current: random.between_log(1e-12, 1e-8),
            resistance_series: random.between(0.05, 0.6),
            conductance_shunt: 1.0 / random.between(80.0, 2000.0),
            a: random.between(0.9, 2.0),
        })
        .collect()
}

fn max_power(c: &mut Criterion) {
    let diodes = random_diodes();
    let mut group = c.benchmark_group("max_power");
    group.throughput(Throughput::Elements(BATCH as u64));
    group.bench_function("ten thousand panels", |b| {
        b.iter(|| diodes.iter().map(|d| black_box(d.max_power()).0).sum::<f64>());
    });
    group.bench_function("open circuit of ten thousand panels", |b| {
        b.iter(|| diodes.iter().map(|d| black_box(d.v_oc())).sum::<f64>());
    });
    group.finish();
}

fn fit(c: &mut Criterion) {
    let kinds = panels::invented();
    let silent: Vec<Kind> = kinds
        .iter()
        .map(|k| Kind {
            i_sc_coefficient: None,
            v_oc_coefficient: None,
            p_mp_coefficient: None,
            ..k.clone()
        })
        .collect();
    let mut group = c.benchmark_group("fit_label");
    group.throughput(Throughput::Elements(kinds.len() as u64));
    for (name, kinds) in [("whole labels", kinds), ("five figures only", silent)] {
        group.bench_function(name, |b| {
            b.iter(|| {
                kinds
                    .iter()
                    .map(|k| fit_label(black_box(&k.label), &Assumed::for_kind(k)))
                    .filter(Result::is_ok)
                    .count()
            });
        });
    }
    group.finish();
}

fn curves(c: &mut Criterion) {
    let catalog = Catalog::fit(&panels::invented()).expect("legal labels");
    let at_stc = catalog.curves(stc());
    let mixed = PanelString::new([1, 0, 4, 3, 5].map(|k| Element::single(KindIdx(k))).to_vec());
    let blocks = PanelString::new(vec![
        Element::block(vec![KindIdx(0), KindIdx(1)]),
        Element::single(KindIdx(4)),
        Element::block(vec![KindIdx(1), KindIdx(1)]),
    ]);
    let array = ArrayWiring { strings: vec![mixed.clone(), mixed.clone(), blocks.clone()] };
    let built = array_curve(&array, &at_stc, false).expect("it has strings");
    c.bench_function("curve of one panel", |b| {
        b.iter(|| catalog.model(black_box(KindIdx(1))).curve(stc()));
    });
    c.bench_function("string of five mixed panels", |b| {
        b.iter(|| string_curve(black_box(&mixed), &at_stc));
    });
    c.bench_function("string with two blocks", |b| {
        b.iter(|| string_curve(black_box(&blocks), &at_stc));
    });
    c.bench_function("array of three strings", |b| {
        b.iter(|| array_curve(black_box(&array), &at_stc, false));
    });
    c.bench_function("highest power of that array", |b| {
        b.iter(|| black_box(&built).max_power(Volts(15.0), Volts(140.0)));
    });
    c.bench_function("current of that array without curves", |b| {
        b.iter(|| exact_array_current(black_box(&array), &catalog, stc(), Volts(70.0), false));
    });
}

criterion_group!(benches, max_power, fit, curves);
criterion_main!(benches);
