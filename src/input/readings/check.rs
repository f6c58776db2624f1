//! A reading's figures against each other: can one silicon panel show them together?

use super::Beside;
use super::codes::{
    CELLS, LOAD, LOAD_ODD, NO_LIGHT_KNOWN, SWAPPED, TEMPERATURE_ODD, TWIN, WEAK_LIGHT,
};
use super::columns::Column;
use super::raw::{Figure, Origin, Raw};
use crate::input::findings::{Findings, rounded};
use crate::model::PanelReading;
use crate::units::{Amps, Celsius, Irradiance, Volts};

/// Voc of one silicon cell in any light and warmth that is allowed here. \[V\]
///
/// At standard test conditions 0.60 to 0.66 (nine in ten silicon rows of the open CEC module table), less
/// about 0.1 V when hot and in weak light; a single cell ends at 0.76 (from memory, check your
/// edition), and more when cold.
const VOLTS_PER_CELL: (f64, f64) = (0.42, 0.85);
/// The most that a loaded panel gives of its own Voc × Isc: 0.83 in the same table.
const MOST_FILL: f64 = 0.86;
/// Backs hotter than this are rare. \[°C\] (common practice, no source)
const HOT_BACK: f64 = 75.0;
/// Light weaker than this says little about full sun. \[W/m²\]
const WEAK: f64 = 400.0;
/// A load that leaves less than this of Voc sees only the flat part of the curve (ours).
const LOW_LOAD: f64 = 0.6;

/// A reading, if all its figures are there and fit.
pub(super) fn check_reading(
    raw: &Raw,
    beside: &Beside,
    findings: &mut Findings,
) -> Option<PanelReading> {
    use Column::{BackTemp, Irradiance as Sun, Note, OpenVoltage, ShortCurrent, TwinCurrent};
    let before = findings.n_errors();
    let v_oc = raw.required(OpenVoltage, "measure the volts of the open panel", findings);
    let i_sc = raw.required(ShortCurrent, "measure the amperes of the shorted panel", findings);
    let temp = raw.required(
        BackTemp,
        "press a thermometer to the middle of the panel's back; the panel's own warmth moves its volts by a third of a percent a degree",
        findings,
    );
    let sun = raw.figure(Sun, findings);
    let twin = raw.figure(TwinCurrent, findings);
    let load = check_load_pair(raw, findings);
    if raw.cell(Sun).is_none() && raw.cell(TwinCurrent).is_none() {
        let message = "nothing says how strong the light was";
        let help = format!(
            "give {} from an irradiance meter, or {} of a panel of known label lying beside it",
            raw.subject(Sun),
            raw.subject(TwinCurrent)
        );
        findings.error(NO_LIGHT_KNOWN, raw.at, message, help);
    }
    check_twin(raw, beside, twin.as_ref(), findings);
    if let (Some(v), Some(i)) = (&v_oc, &i_sc) {
        check_volts(raw, v, i, beside, findings);
        if let Some((load_v, load_a)) = &load {
            check_load(raw, (v, i), (load_v, load_a), findings);
        }
    }
    if let Some(t) = temp.as_ref().filter(|t| t.value > HOT_BACK) {
        let message = format!("{} is unusually hot ({} °C)", raw.subject(BackTemp), t.value);
        let help = format!("is it in °F? {} °F are {} °C", t.value, celsius(t.value));
        findings.warning(TEMPERATURE_ODD, t.at, message, help);
    }
    if let Some(g) = sun.as_ref().filter(|g| g.value < WEAK) {
        let message = format!("weak light ({} W/m²) says little about full sun", g.value);
        findings.warning(WEAK_LIGHT, g.at, message, "measure above 600 W/m² if you can");
    }
    if findings.n_errors() > before {
        return None;
    }
    let name = match (raw.cell(Note), raw.origin) {
        (Some(note), _) => note.text.clone(),
        (None, Origin::File) => format!("line {}", raw.at.line),
        (None, Origin::CommandLine) => "the reading".to_owned(),
    };
    Some(PanelReading {
        name,
        v_oc: Volts(v_oc?.value),
        i_sc: Amps(i_sc?.value),
        irradiance: sun.map(|g| Irradiance(g.value)),
        twin_i_sc: twin.map(|i| Amps(i.value)),
        temp_back: Celsius(temp?.value),
        load: load.map(|(v, i)| (Volts(v.value), Amps(i.value))),
    })
}

fn celsius(f: f64) -> String {
    rounded(crate::input::typed_units::fahrenheit_to_celsius(f), 1)
}

/// Both figures of the loaded point, or neither.
fn check_load_pair(raw: &Raw, findings: &mut Findings) -> Option<(Figure, Figure)> {
    use Column::{LoadCurrent, LoadVoltage};
    let (v, a) = (raw.figure(LoadVoltage, findings), raw.figure(LoadCurrent, findings));
    let lonely = match (raw.cell(LoadVoltage), raw.cell(LoadCurrent)) {
        (Some(cell), None) => Some((cell, LoadVoltage, LoadCurrent)),
        (None, Some(cell)) => Some((cell, LoadCurrent, LoadVoltage)),
        _ => None,
    };
    if let Some((cell, there, missing)) = lonely {
        let (there, missing) = (raw.subject(there), raw.subject(missing));
        let message = format!("{there} stands without {missing}");
        let help =
            "a loaded point is volts and amperes read at the same moment; give both or neither";
        findings.error(LOAD, cell.at, message, help);
    }
    v.zip(a)
}

fn check_twin(raw: &Raw, beside: &Beside, twin: Option<&Figure>, findings: &mut Findings) {
    if let (Some(twin), None) = (twin, beside.twin_label_i_sc) {
        let message = format!("{} needs the twin's label", raw.subject(Column::TwinCurrent));
        let help =
            "give the short-circuit current on the label of the twin with `--twin-label-isc`";
        findings.error(TWIN, twin.at, message, help);
    }
}

/// Volts against amperes, and against the cells.
fn check_volts(raw: &Raw, v: &Figure, i: &Figure, beside: &Beside, findings: &mut Findings) {
    let (lo, hi) = VOLTS_PER_CELL;
    let fits = |volts: f64, cells: usize| (lo..=hi).contains(&(volts / cells as f64));
    let (voc, isc) = (raw.subject(Column::OpenVoltage), raw.subject(Column::ShortCurrent));
    let Some(cells) = beside.cells else {
        if v.value < i.value {
            let message = format!("{voc} is below {isc} ({} V, {} A)", v.value, i.value);
            let help = "are the two in each other's place? If it is really so, count the cells and give `--cells`";
            findings.error(SWAPPED, v.at, message, help);
        }
        return;
    };
    if fits(v.value, cells) {
        return;
    }
    let each = rounded(v.value / cells as f64, 2);
    if fits(i.value, cells) {
        let message =
            format!("{voc} and {isc} may be in each other's place ({} V, {} A)", v.value, i.value);
        let help =
            format!("{cells} cells give about {} V in the sun", rounded(0.58 * cells as f64, 0));
        findings.error(SWAPPED, v.at, message, help);
        return;
    }
    let message = format!(
        "{voc} does not fit the cells ({} V on {cells} cells are {each} V a cell)",
        v.value
    );
    let help = if fits(2.0 * v.value, cells) {
        format!(
            "silicon cells give 0.5 to 0.7 V each. Half-cut cells lie in two halves side by side: then write `--cells {}`. Or a third or half of the panel is bypassed or dead",
            cells / 2
        )
    } else if v.value / cells as f64 > hi {
        "count the cells again, along all rows; thin-film panels are not covered".to_owned()
    } else {
        "count the cells again; if the count is right, a part of the panel is bypassed or dead, or the light is too weak".to_owned()
    };
    findings.error(CELLS, v.at, message, help);
}

/// The loaded point against the ends of the curve.
fn check_load(
    raw: &Raw,
    (v_oc, i_sc): (&Figure, &Figure),
    (v, i): (&Figure, &Figure),
    findings: &mut Findings,
) {
    use Column::{LoadCurrent, LoadVoltage, OpenVoltage, ShortCurrent};
    let fill = v.value * i.value / (v_oc.value * i_sc.value);
    let (load_v, load_a) = (raw.subject(LoadVoltage), raw.subject(LoadCurrent));
    let (message, at) = if v.value >= v_oc.value {
        let open = raw.subject(OpenVoltage);
        (format!("{load_v} must be below {open} ({} is not below {})", v.value, v_oc.value), v.at)
    } else if i.value > i_sc.value * 1.02 {
        let short = raw.subject(ShortCurrent);
        (format!("{load_a} must be below {short} ({} is not below {})", i.value, i_sc.value), i.at)
    } else if fill > MOST_FILL {
        let share = rounded(fill, 2);
        (
            format!(
                "{load_v} × {load_a} is {share} of open volts × short amperes (at most {MOST_FILL})"
            ),
            v.at,
        )
    } else {
        if v.value < LOW_LOAD * v_oc.value {
            let volts = rounded(0.8 * v_oc.value, 1);
            let message = format!("{load_v} is low: the point says little about maximum power");
            findings.warning(LOAD_ODD, v.at, message, format!("load it to about {volts} V"));
        }
        return;
    };
    let help = "the light changed between the readings, or a figure is mistyped: read all four within a minute under a steady sky";
    findings.error(LOAD, at, message, help);
}
