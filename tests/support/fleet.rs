//! Realistic customers and stock of a seller of odd lots, seeded: site files, stock file, and the same
//! as the library takes them. Everything in them is invented.

use std::fmt::Write as _;

use sungraft::input::read_site;
use sungraft::model::{Kind, Label, StockItem};
use sungraft::plan::{Customer, Touch};
use sungraft::planner::{FleetOptions, Silent, allocate};
use sungraft::units::{Amps, PercentPerC, Volts, Watts};

use super::random::Random;

/// What a generated fleet is like.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FleetSize {
    pub(crate) sites: usize,
    pub(crate) kinds: usize,
    pub(crate) panels: usize,
}

/// A panel model: cells in series, current at maximum power, and what its label says.
#[derive(Debug, Clone)]
struct Model {
    id: String,
    v_mp: f64,
    i_mp: f64,
    v_oc: f64,
    i_sc: f64,
    cells: usize,
    beta: Option<f64>,
    gamma: Option<f64>,
    fuse: Option<f64>,
    system: Option<f64>,
}

/// Cells in series and currents that panels of the last twenty years have had (from memory, check your
/// edition): small 12 V panels, 60 and 72 cells of 156 mm, half cells of later years.
const FAMILIES: [(usize, f64, f64); 7] = [
    (36, 2.7, 9.8),
    (36, 4.5, 10.2),
    (54, 6.8, 13.2),
    (60, 7.3, 9.8),
    (66, 8.0, 13.0),
    (72, 4.8, 9.6),
    (72, 8.4, 13.4),
];

fn round(x: f64, step: f64) -> f64 {
    (x / step).round() * step
}

fn model(rng: &mut Random, id: String) -> Model {
    let (cells, lo, hi) = FAMILIES[rng.below(FAMILIES.len())];
    let i_mp = round(rng.between(lo, hi), 0.01);
    let v_mp = round(cells as f64 * rng.between(0.500, 0.575), 0.1);
    let v_oc = round(v_mp * rng.between(1.195, 1.245), 0.1);
    let i_sc = round(i_mp * rng.between(1.045, 1.085), 0.01);
    let fuse = [10.0, 15.0, 20.0, 25.0, 30.0];
    let least = 1.56 * i_sc;
    let rating = fuse.into_iter().find(|f| *f >= least).unwrap_or(30.0);
    Model {
        id,
        v_mp,
        i_mp,
        v_oc,
        i_sc,
        cells,
        beta: rng.chance(0.8).then(|| round(rng.between(-0.36, -0.25), 0.01)),
        gamma: rng.chance(0.8).then(|| round(rng.between(-0.47, -0.33), 0.01)),
        fuse: rng.chance(0.85).then_some(rating),
        system: rng.chance(0.9).then(|| [600.0, 1000.0][rng.below(2)]),
    }
}

const PLACES: [&str; 16] = [
    "seed shed",
    "cider barn",
    "apiary",
    "ferry kiosk",
    "cheese loft",
    "boat house",
    "hill chapel",
    "goat pen",
    "tide mill",
    "school garden",
    "wool store",
    "lime kiln",
    "fish ladder",
    "bell tower",
    "peat works",
    "orchard hut",
];
const WHERE: [&str; 12] = [
    "Hollow Creek",
    "Upper Fell",
    "Long Reach",
    "Sandy Ford",
    "North Bight",
    "Alder Bottom",
    "Grey Knoll",
    "Wether Dale",
    "Marsh End",
    "Fox Hollow",
    "Stony Brook",
    "Far Meadow",
];

/// Kinds of panels that customers have wired, and those that the seller holds; some are both.
struct Models {
    wired: Vec<Model>,
    held: Vec<Model>,
}

fn models(seed: u64, kinds: usize) -> Models {
    let mut rng = Random::seeded(seed ^ 0x5EED);
    let wired: Vec<Model> = (0..24).map(|k| model(&mut rng, format!("wired-{k}"))).collect();
    let held = (0..kinds)
        .map(|k| {
            let id = format!("lot-{k}");
            // One lot in four is of a kind that many have: replacements.
            if rng.chance(0.25) {
                Model { id, ..wired[rng.below(wired.len())].clone() }
            } else {
                model(&mut rng, id)
            }
        })
        .collect();
    Models { wired, held }
}

/// The stock: a few large lots, many of a handful.
pub(crate) fn stock(seed: u64, size: FleetSize) -> Vec<StockItem> {
    let held = models(seed, size.kinds).held;
    let mut rng = Random::seeded(seed ^ 0x57_0C4);
    let weights: Vec<f64> = held.iter().map(|_| rng.between_log(0.03, 3.0)).collect();
    let all: f64 = weights.iter().sum();
    // One of each, and the rest by weight.
    let rest = size.panels.saturating_sub(held.len()) as f64;
    let mut so_far = 0.0;
    let mut given = 0;
    held.iter()
        .zip(&weights)
        .map(|(model, weight)| {
            so_far += weight / all;
            let more = (rest * so_far).round() as usize - given;
            given += more;
            let count = 1 + more;
            let price = round(model.v_mp * model.i_mp * rng.between(0.12, 0.45), 1.0);
            StockItem { kind: kind(model), count, price: Some(price) }
        })
        .collect()
}

fn kind(m: &Model) -> Kind {
    let label = Label {
        p_mp: Watts(round(m.v_mp * m.i_mp, 1.0)),
        v_mp: Volts(m.v_mp),
        i_mp: Amps(m.i_mp),
        v_oc: Volts(m.v_oc),
        i_sc: Amps(m.i_sc),
    };
    Kind {
        v_oc_coefficient: m.beta.map(PercentPerC),
        p_mp_coefficient: m.gamma.map(PercentPerC),
        cells: Some(m.cells),
        max_fuse: m.fuse.map(Amps),
        max_system: m.system.map(Volts),
        ..Kind::of_label(m.id.clone(), label)
    }
}

/// The stock as a file.
pub(crate) fn stock_csv(seed: u64, size: FleetSize) -> String {
    let mut text = String::from(
        "id,pmax_w,vmp_v,imp_a,voc_v,isc_a,voc_percent_per_c,pmax_percent_per_c,cells,max_fuse_a,max_system_v,count,price\n",
    );
    let optional = |x: Option<f64>| x.map_or_else(String::new, |x| x.to_string());
    for item in stock(seed, size) {
        let StockItem { kind, count, price } = item;
        let label = kind.label;
        writeln!(
            text,
            "{},{},{:.1},{:.2},{:.1},{:.2},{},{},{},{},{},{count},{}",
            kind.id,
            label.p_mp.watts(),
            label.v_mp.volts(),
            label.i_mp.amps(),
            label.v_oc.volts(),
            label.i_sc.amps(),
            optional(kind.v_oc_coefficient.map(|c| round(c.percent_per_c(), 0.01))),
            optional(kind.p_mp_coefficient.map(|c| round(c.percent_per_c(), 0.01))),
            kind.cells.unwrap_or(60),
            optional(kind.max_fuse.map(Amps::amps)),
            optional(kind.max_system.map(Volts::volts)),
            optional(price),
        )
        .expect("writing to a string");
    }
    text
}

/// Battery volts, highest volts, window, output amps, input amps.
type Sold = (f64, f64, (f64, f64), f64, f64);

/// Controllers as they are sold, roughly: battery volts (0: a converter), highest volts, window, output
/// amps, input amps (0: the maker does not say), ports beyond the strings at most.
const CONTROLLERS: [Sold; 10] = [
    (12.0, 75.0, (15.0, 68.0), 15.0, 20.0),
    (12.0, 100.0, (16.0, 90.0), 20.0, 25.0),
    (24.0, 100.0, (30.0, 92.0), 30.0, 35.0),
    (24.0, 150.0, (32.0, 135.0), 35.0, 40.0),
    (24.0, 150.0, (32.0, 130.0), 60.0, 50.0),
    (48.0, 150.0, (62.0, 140.0), 60.0, 50.0),
    (48.0, 200.0, (62.0, 180.0), 70.0, 50.0),
    (48.0, 250.0, (62.0, 230.0), 85.0, 70.0),
    (48.0, 150.0, (62.0, 140.0), 45.0, 0.0),
    (0.0, 600.0, (120.0, 500.0), 0.0, 15.0),
];

/// The site files.
pub(crate) fn site_files(seed: u64, size: FleetSize) -> Vec<String> {
    let wired = models(seed, size.kinds).wired;
    // A third of them are one of a few standard kits.
    let kits: Vec<String> =
        (0..10).map(|k| site_file(seed ^ (0x717 + k), &wired, k as usize)).collect();
    let mut rng = Random::seeded(seed ^ 0xF1EE7);
    (0..size.sites)
        .map(|s| {
            if rng.chance(0.33) {
                let kit = &kits[rng.below(kits.len())];
                let (first, rest) = kit.split_once('\n').expect("a site file has lines");
                let (_, rest) = rest.split_once('\n').expect("a site file has lines");
                format!("{first}\n  name: {} {s}\n{rest}", name(&mut rng))
            } else {
                site_file(seed.wrapping_mul(31).wrapping_add(1_000 + s as u64), &wired, s)
            }
        })
        .collect()
}

fn name(rng: &mut Random) -> String {
    format!("{} {}", WHERE[rng.below(WHERE.len())], PLACES[rng.below(PLACES.len())])
}

fn site_file(seed: u64, wired: &[Model], number: usize) -> String {
    let mut rng = Random::seeded(seed);
    let coldest = rng.between(-32.0, 4.0).round();
    let hottest = rng.between(24.0, 42.0).round();
    // A wiring that its controller takes: tried until one is found.
    let (model, (battery, max, window, charge, amps), series) = loop {
        let model = &wired[rng.below(wired.len())];
        let controller = CONTROLLERS[rng.below(CONTROLLERS.len())];
        let beta = model.beta.unwrap_or(-0.45);
        let cold = model.v_oc * (1.0 - beta / 100.0 * (25.0 - coldest)) * 1.02;
        let most = (controller.1.min(model.system.unwrap_or(f64::MAX)) / cold).floor() as usize;
        let least = (1.25 * controller.2.0 / (0.86 * model.v_mp)).ceil() as usize;
        let fits = controller.4 == 0.0 || 1.25 * model.i_sc <= controller.4;
        if least <= most && most > 0 && fits {
            let series = least + rng.below(most - least + 1);
            break (model, controller, series);
        }
    };
    let room = if amps == 0.0 { 4 } else { (amps / (1.25 * model.i_sc)) as usize };
    let strings = 1 + rng.below(room.clamp(1, 3));
    let ports = strings + [0, 0, 1, 1, 2][rng.below(5)];
    let inputs = if rng.chance(0.1) { 2 } else { 1 };
    let mut text = format!("site:\n  name: {} {number}\n", name(&mut rng));
    let _ = writeln!(text, "  coldest_c: {coldest}\n  hottest_c: {hottest}");
    let _ = writeln!(text, "kinds:");
    push_kind(&mut text, model);
    let own = rng.chance(0.15).then(|| &wired[rng.below(wired.len())]);
    let own = own.filter(|own| own.id != model.id);
    own.iter().for_each(|own| push_kind(&mut text, own));
    let _ = writeln!(text, "controllers:\n  - id: main\n    type: mppt");
    if battery > 0.0 {
        let _ = writeln!(text, "    battery_v: {battery}\n    charge_a: {charge}");
    }
    let _ = writeln!(text, "    max_pv_v: {max}\n    window_v: [{}, {}]", window.0, window.1);
    if amps > 0.0 {
        let _ = writeln!(text, "    max_pv_a: {amps}");
    }
    let _ = writeln!(text, "    inputs: {inputs}\n    string_ports: {ports}\ninstalled:");
    for input in 1..=inputs {
        let _ = writeln!(text, "  - controller: main\n    input: {input}\n    strings:");
        for _ in 0..strings {
            let string = vec![model.id.as_str(); series].join(", ");
            let _ = writeln!(text, "      - [{string}]");
        }
    }
    if let Some(own) = own {
        let _ = writeln!(text, "spares:\n  - kind: {}\n    count: {}", own.id, 1 + rng.below(3));
    }
    text
}

fn push_kind(text: &mut String, m: &Model) {
    let _ = writeln!(
        text,
        "  - id: {}\n    pmax_w: {}\n    vmp_v: {:.1}\n    imp_a: {:.2}\n    voc_v: {:.1}\n    isc_a: {:.2}\n    cells: {}",
        m.id,
        round(m.v_mp * m.i_mp, 1.0),
        m.v_mp,
        m.i_mp,
        m.v_oc,
        m.i_sc,
        m.cells
    );
    let mut line = |key: &str, value: Option<f64>| {
        if let Some(value) = value {
            let _ = writeln!(text, "    {key}: {}", round(value, 0.01));
        }
    };
    line("voc_percent_per_c", m.beta);
    line("pmax_percent_per_c", m.gamma);
    line("max_fuse_a", m.fuse);
    line("max_system_v", m.system);
}

/// The same as customers: of three one may only get new strings, two may have theirs extended.
pub(crate) fn customers(seed: u64, size: FleetSize) -> Vec<Customer> {
    let mut rng = Random::seeded(seed ^ 0xC057);
    site_files(seed, size)
        .into_iter()
        .enumerate()
        .map(|(s, text)| {
            let file = format!("site-{s:05}.yaml");
            let read = read_site(&file, text.as_bytes());
            let installation = read.unwrap_or_else(|mistakes| panic!("{mistakes}\n{text}")).value;
            Customer {
                file,
                installation,
                touch: if rng.chance(0.33) { Touch::None } else { Touch::Extend },
                worth_per_watt: Some(round(rng.between(0.35, 0.9), 0.01)),
                worth_per_kwh: None,
            }
        })
        .collect()
}

/// Best customer first: each takes what is best for it of what is left. What that is worth.
pub(crate) fn best_first(customers: &[Customer], stock: &[StockItem]) -> f64 {
    let options = FleetOptions::default();
    let alone = |customer: &Customer, stock: &[StockItem]| {
        allocate(std::slice::from_ref(customer), stock, &options, &[], &Silent)
            .expect("labels are legal and wirings pass the audit")
    };
    let mut order: Vec<(f64, usize)> =
        customers.iter().enumerate().map(|(c, x)| (alone(x, stock).value, c)).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut left = stock.to_vec();
    let mut value = 0.0;
    for (_, c) in order {
        let taken = alone(&customers[c], &left);
        value += taken.value;
        for placed in taken.sites.iter().flat_map(|s| &s.placed) {
            left[placed.stock].count -= placed.count;
        }
    }
    value
}
