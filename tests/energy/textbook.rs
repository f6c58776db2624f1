//! Cell temperature against published figures.

use sungraft::electrical::cell_temperature;
use sungraft::model::Kind;
use sungraft::units::{Celsius, Irradiance};

use crate::panels::kind;

/// From the tests of pvlib 0.16.1 for the same relation: 1000 W/m², 30 °C, NOCT 50 °C → 67.5 °C.
#[test]
fn cells_are_as_warm_as_by_another_library() {
    let panel = Kind { noct: Some(Celsius(50.0)), ..kind("a", 18.0, 5.56, 22.3, 5.90) };
    let cells = cell_temperature(&panel, Celsius(30.0), Irradiance(1000.0));
    assert!((cells.celsius() - 67.5).abs() < 1e-9);
}
