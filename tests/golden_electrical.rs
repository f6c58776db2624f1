//! The project's own figures for six invented panels (tests/data/golden.json): fits, other
//! conditions, and every wiring of its searches evaluated (not searched).
//!
//! Source: an independent Python model written for this project (union-of-knots curve algebra, De
//! Soto translation, six-parameter fit); what it was checked against stands in the file itself.

#[path = "support/panels.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod panels;
#[path = "support/wirings.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod wirings;

use serde_json::Value;
use sungraft::electrical::{
    Catalog, Condition, CurveSet, Point, array_curve, exact_array_current, nameplate_array, stc,
};
use sungraft::model::{ArrayWiring, Kind, KindIdx};
use sungraft::units::{Celsius, Irradiance, PercentPerC, Volts};

fn golden() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/golden.json");
    let text = std::fs::read_to_string(path).expect("readable");
    serde_json::from_str(&text).expect("valid JSON")
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn relative(is: f64, should_be: f64) -> f64 {
    (is / should_be - 1.0).abs()
}

/// The kinds of the file, in its order, and their models.
fn kinds(golden: &Value) -> Vec<Kind> {
    let kinds: Vec<Kind> = golden["panels"]
        .as_object()
        .expect("panels by id")
        .iter()
        .map(|(id, p)| {
            let of = |key: &str| number(&p[key]);
            let kind = panels::kind(id, of("vmp"), of("imp"), of("voc"), of("isc"));
            let kind = panels::with_cells(kind, of("cells") as usize, of("bypass") as usize);
            // The file has coefficients as fractions per kelvin.
            panels::with_coefficients(kind, 1e2 * of("alpha"), 1e2 * of("beta"), 1e2 * of("gamma"))
        })
        .collect();
    assert_eq!(kinds.len(), 6);
    kinds
}

#[test]
fn the_file_holds_the_panels_that_other_tests_use() {
    let mut ours = panels::invented();
    let mut theirs = kinds(&golden());
    ours.sort_by(|a, b| a.id.cmp(&b.id));
    theirs.sort_by(|a, b| a.id.cmp(&b.id));
    for (a, b) in ours.iter().zip(&theirs) {
        let rounded = |c: Option<PercentPerC>| c.map(|c| (c.0 * 1e6).round());
        assert_eq!(a.label, b.label);
        assert_eq!(rounded(a.v_oc_coefficient), rounded(b.v_oc_coefficient));
        assert_eq!(rounded(a.p_mp_coefficient), rounded(b.p_mp_coefficient));
        assert_eq!((a.cells, a.bypass_diodes), (b.cells, b.bypass_diodes));
    }
}

#[test]
fn fits_have_the_parameters_of_the_independent_model() {
    let golden = golden();
    let kinds = kinds(&golden);
    let catalog = Catalog::fit(&kinds).expect("legal labels");
    for (k, kind) in kinds.iter().enumerate() {
        let (model, theirs) = (catalog.model(KindIdx(k)), &golden["fits"][&kind.id]);
        let r = model.reference;
        // Boltzmann's constant differs in the sixth digit: `a` by some 1e-5, and I0, which carries
        // it in its exponent, by twenty-five times that. P400 has little shunt leakage to tell.
        for (what, is, key, tolerance) in [
            ("IL", r.photocurrent, "IL", 1e-6),
            ("I0", r.saturation_current, "I0", 1e-3),
            ("Rs", r.resistance_series, "Rs", 5e-5),
            ("Rsh", 1.0 / r.conductance_shunt, "Rsh", 5e-4),
            ("a", r.a, "a", 5e-5),
            ("alpha", model.alpha, "alpha_adj", 5e-4),
        ] {
            let off = relative(is, number(&theirs[key]));
            assert!(off < tolerance, "{} {what}: off by {off:.1e}", kind.id);
        }
    }
}

#[test]
fn other_conditions_are_met() {
    let golden = golden();
    let kinds = kinds(&golden);
    let catalog = Catalog::fit(&kinds).expect("legal labels");
    let mut n = 0;
    for (k, kind) in kinds.iter().enumerate() {
        let conditions = golden["fits"][&kind.id]["at"].as_object().expect("by condition");
        for (name, theirs) in conditions {
            let (irradiance, temp_cell) = name.split_once('/').expect("E/T");
            let condition = Condition {
                irradiance: Irradiance(irradiance.parse().expect("a number")),
                temp_cell: Celsius(temp_cell.parse().expect("a number")),
            };
            let diode = catalog.model(KindIdx(k)).at(condition);
            let (v, i) = diode.max_power();
            for (is, key, tolerance) in [
                (v * i, "w", 1e-5),
                (v, "v", 2e-5),
                (i, "i", 2e-5),
                (diode.v_oc(), "voc", 1e-5),
                (diode.current_at_voltage(0.0), "isc", 1e-5),
            ] {
                let off = relative(is, number(&theirs[key]));
                assert!(off < tolerance, "{} at {name}: {key} off by {off:.1e}", kind.id);
            }
            n += 1;
        }
    }
    assert_eq!(n, 30);
}

/// What a search of the file asks of an evaluation.
struct Search<'a> {
    kinds: &'a [Kind],
    catalog: &'a Catalog,
    curves: &'a CurveSet,
    lo: Volts,
    hi: Volts,
}

impl Search<'_> {
    fn curve_point(&self, array: &ArrayWiring) -> Point {
        let curve = array_curve(array, self.curves, false).expect("it has strings");
        curve.max_power(self.lo, self.hi)
    }

    fn nameplate_watts(&self, array: &ArrayWiring) -> f64 {
        let point = nameplate_array(array, self.kinds, self.lo, self.hi);
        point.expect("it has strings").power().watts()
    }
}

/// Calls a check for every wiring in every search, with the figures listed for it; how many.
fn for_every_wiring(rule: &str, check: impl Fn(&Search, &ArrayWiring, &Value)) -> usize {
    let golden = golden();
    let kinds = kinds(&golden);
    let catalog = Catalog::fit(&kinds).expect("legal labels");
    let curves = catalog.curves(stc());
    let mut n = 0;
    for search in golden["searches"].as_array().expect("a list") {
        let site = &search["site"];
        assert_eq!((number(&site["tc"]), number(&site["S"])), (25.0, 1000.0));
        // PWM holds the array at one voltage.
        let (lo, hi) = match site["pwm_v"].as_f64() {
            Some(v) => (Volts(v), Volts(v)),
            None => (Volts(number(&site["vlo"])), Volts(number(&site["vhi"]))),
        };
        let evaluated = Search { kinds: &kinds, catalog: &catalog, curves: &curves, lo, hi };
        for listed in search["res"][rule]["best"].as_array().expect("a list") {
            let array = wirings::wiring(listed["wiring"].as_str().expect("text"), &kinds);
            assert_eq!(array.panels().count() as u64, listed["panels"].as_u64().expect("a count"));
            check(&evaluated, &array, listed);
            n += 1;
        }
    }
    n
}

#[test]
fn every_wiring_listed_by_curve_gives_its_watts() {
    let n = for_every_wiring("curve", |search, array, listed| {
        let point = search.curve_point(array);
        let is = point.power().watts();
        let off = is / number(&listed["w"]) - 1.0;
        // The file's searches went over coarser chords than ours: its figures lie below.
        assert!((-2e-5..0.001).contains(&off), "{}: {is} W is off by {off:.1e}", listed["wiring"]);
        // Without chords, at the same voltage.
        let exact = exact_array_current(array, search.catalog, stc(), point.v, false);
        let off = relative(is, (point.v * exact).watts());
        assert!(off < 5e-5, "{}: {is} W is off by {off:.1e} from exact", listed["wiring"]);
    });
    assert_eq!(n, 25);
}

#[test]
fn every_wiring_listed_by_nameplate_gives_its_watts() {
    let n = for_every_wiring("nameplate", |search, array, listed| {
        let is = search.nameplate_watts(array);
        assert!(relative(is, number(&listed["w"])) < 1e-12, "{}: {is} W", listed["wiring"]);
    });
    assert_eq!(n, 25);
}

#[test]
fn nothing_beats_the_best_listed_by_curve_where_no_voltage_limit_bites() {
    // Search A: 100 V maximum, and no wiring of its three panels comes near (12 of 12 allowed).
    let golden = golden();
    let search = &golden["searches"][0];
    let kinds = kinds(&golden);
    let catalog = Catalog::fit(&kinds).expect("legal labels");
    let curves = catalog.curves(stc());
    let inventory: Vec<usize> = search["inv"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|id| kinds.iter().position(|k| Some(k.id.as_str()) == id.as_str()).expect("known"))
        .collect();
    let all = wirings::all_wirings(&inventory);
    assert_eq!(all.len() as u64, search["res"]["curve"]["n_wirings"].as_u64().expect("a count"));
    let (lo, hi) = (Volts(15.0), Volts(92.0));
    let evaluated = Search { kinds: &kinds, catalog: &catalog, curves: &curves, lo, hi };
    let best = all.iter().map(|w| evaluated.curve_point(w).power().watts()).fold(0.0, f64::max);
    assert!(relative(best, number(&search["res"]["curve"]["best"][0]["w"])) < 0.002);
}

#[test]
fn the_searches_have_as_many_wirings_as_listed() {
    let golden = golden();
    for search in golden["searches"].as_array().expect("a list") {
        let ids: Vec<&str> =
            search["inv"].as_array().expect("a list").iter().filter_map(Value::as_str).collect();
        let distinct: std::collections::BTreeSet<_> = ids.iter().collect();
        let inventory: Vec<usize> = ids
            .iter()
            .map(|id| distinct.iter().position(|d| *d == id).expect("it is among them"))
            .collect();
        let listed = search["res"]["nameplate"]["n_wirings"].as_u64().expect("a count");
        assert_eq!(wirings::all_wirings(&inventory).len() as u64, listed, "{ids:?}");
    }
}
