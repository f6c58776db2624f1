//! Figures that are each possible, but hardly together: asked about, never refused.

use super::codes::{COEFFICIENT_ODD, LABEL_ODD, LOSS_ODD, PLANE_ODD, POWER_LIMIT_ODD, WINDOW_ODD};
use super::document::{Node, Value};
use super::fields::Typed;
use super::findings::{Findings, rounded};
use crate::model::{Controller, Kind};
use crate::units::Watts;

/// Of 20,946 silicon modules in the open CEC table (file `sam-library-cec-modules-2019-03-05.csv` of
/// pvlib 0.16.1) one in a thousand has an Imp below this share of its Isc.
const LEAST_I_MP: f64 = 0.845;
/// 98 in a hundred of the same modules have an open-circuit voltage for each cell between these. \[V\]
const CELL_VOLTS: (f64, f64) = (0.51, 0.74);
/// Voc falls faster than power, by more than this, on 46 of the same modules. \[%/°C\]
const FASTER: f64 = 0.02;
/// Below this a Voc coefficient is odd without any other figure. \[%/°C\]
const ODD_BY_ITSELF: f64 = -0.5;
/// A window that begins above this multiple of charging voltage is made for a larger battery (common
/// practice, no source).
const FAR_ABOVE: f64 = 2.0;
/// Nominal voltages that controllers list for their battery (common practice, no source). \[V\]
const BATTERIES: [f64; 7] = [12.0, 24.0, 36.0, 48.0, 60.0, 72.0, 96.0];
/// Nearer to the equator than this, panels may face either way. \[°\]
const TROPICS: f64 = 25.0;
/// Flatter than this it hardly matters which way a panel faces. \[°\]
const FLAT: f64 = 10.0;
/// Less than this in percent is hardly worth an entry, but a usual fraction. \[%\]
const LEAST_LOSS: f64 = 0.1;

/// The current at maximum power far below the short-circuit current: another column of the data sheet?
pub(super) fn current_pair(i_mp: &Typed<f64>, i_sc: &Typed<f64>, findings: &mut Findings) {
    let share = i_mp.value / i_sc.value;
    if share >= LEAST_I_MP {
        return;
    }
    let message = format!(
        "`imp_a` is only {} % of `isc_a` ({} against {}); panels have 85 to 98 %",
        rounded(share * 100.0, 0),
        i_mp.as_typed,
        i_sc.as_typed
    );
    let help = "are some figures from the column for 800 W/m² (NOCT or NMOT)? write those at 1000 W/m² (STC)";
    findings.warning(LABEL_ODD, i_mp.at, message, help);
}

/// Cells that do not make up the panel's voltage.
pub(super) fn cells(cells: &Typed<usize>, v_oc: f64, findings: &mut Findings) {
    let usual = |n: f64| (CELL_VOLTS.0..=CELL_VOLTS.1).contains(&(v_oc / n));
    let n = cells.value as f64;
    if usual(n) {
        return;
    }
    let message = format!(
        "{} cells make {} V each of `voc_v` {v_oc}; silicon has {} to {}",
        cells.as_typed,
        rounded(v_oc / n, 2),
        CELL_VOLTS.0,
        CELL_VOLTS.1
    );
    let help = if usual(n / 2.0) {
        format!(
            "half-cut cells stand in two halves side by side: count those in series, as in `cells: {}`",
            rounded(n / 2.0, 0)
        )
    } else {
        "count the cells that are in series, or leave the key out".to_owned()
    };
    findings.warning(LABEL_ODD, cells.at, message, help);
}

/// Voltage that falls faster than power.
pub(super) fn coefficients(v_oc: &Typed<f64>, p_mp: &Typed<f64>, findings: &mut Findings) {
    // A figure that is odd by itself has been asked about.
    if v_oc.value < ODD_BY_ITSELF || v_oc.value >= p_mp.value - FASTER {
        return;
    }
    let message = format!(
        "the voltage would fall faster than the power (`voc_percent_per_c` {} against `pmax_percent_per_c` {})",
        v_oc.as_typed, p_mp.as_typed
    );
    findings.warning(
        COEFFICIENT_ODD,
        v_oc.at,
        message,
        "are the two swapped? on nearly every label it is the power that falls faster",
    );
}

/// Battery voltages in the place of the tracking range, or a range for another battery.
pub(super) fn window((lo, hi): (&Typed<f64>, &Typed<f64>), nominal: f64, findings: &mut Findings) {
    let charging = 1.2 * nominal;
    if BATTERIES.contains(&lo.value) && BATTERIES.contains(&hi.value) {
        let message = format!(
            "`window_v` is [{}, {}], which look like voltages of batteries",
            lo.as_typed, hi.as_typed
        );
        let help = "write the voltages of the array between which the input tracks, from the manual (MPPT range)";
        findings.warning(WINDOW_ODD, lo.at, message, help);
    } else if lo.value > FAR_ABOVE * charging {
        let message = format!(
            "`window_v` begins at {} V, far above the {} V at which a battery of {nominal} V charges",
            lo.as_typed,
            rounded(charging, 1)
        );
        let help = format!(
            "is `battery_v` right? two batteries of {nominal} V in series are {} V",
            2.0 * nominal
        );
        findings.warning(WINDOW_ODD, lo.at, message, help);
    }
}

/// Panels that turn their back to the sun.
pub(super) fn azimuth(
    azimuth: &Typed<f64>,
    latitude: Option<f64>,
    tilt: Option<f64>,
    findings: &mut Findings,
) {
    let Some(latitude) = latitude.filter(|l| l.abs() > TROPICS) else { return };
    if tilt.is_some_and(|t| t < FLAT) {
        return;
    }
    let (pole, noon) = if latitude > 0.0 { ("north", 180.0) } else { ("south", 0.0_f64) };
    if (azimuth.value - noon).to_radians().cos() > -0.5 {
        return;
    }
    let message = format!(
        "the panels face {pole}, away from the sun (`azimuth_deg` {} at latitude {latitude}°)",
        azimuth.as_typed
    );
    let help = "`azimuth_deg` counts from north over east: 90 is east, 180 south, 270 west; was it counted from south?";
    findings.warning(PLANE_ODD, azimuth.at, message, help);
}

/// A limit on the watts of the whole array that is below one panel.
pub(super) fn power_limit(
    node: &Node,
    controller: Option<&Controller>,
    kinds: &[Option<Kind>],
    findings: &mut Findings,
) {
    let watts = kinds.iter().flatten().map(|kind| kind.label.p_mp.watts());
    let least = watts.fold(f64::INFINITY, f64::min);
    let Some(limit) = controller.and_then(|c| c.max_pv_power).map(Watts::watts) else { return };
    let Value::Map(entries) = &node.value else { return };
    let Some(entry) = entries.iter().find(|e| e.key == "max_pv_w") else { return };
    // Exactly the watts of a kind are that kind's watts.
    let of_one = kinds.iter().flatten().any(|kind| kind.label.p_mp.watts() == limit);
    if limit >= least && !of_one {
        return;
    }
    let message = format!(
        "`max_pv_w` is {} W, {} one panel",
        rounded(limit, 1),
        if of_one { "the label of" } else { "less than" }
    );
    let help = if limit < 20.0 {
        format!("is it in kW? then write `{}`", rounded(limit * 1000.0, 0))
    } else {
        "it is the most that the whole array may have, where the maker states such a limit"
            .to_owned()
    };
    findings.warning(POWER_LIMIT_ODD, entry.node.place, message, help);
}

/// A fraction in the place of percent.
pub(super) fn loss(percent: &Typed<f64>, findings: &mut Findings) {
    if percent.value == 0.0 || percent.value >= LEAST_LOSS {
        return;
    }
    let message = format!("`percent` is {}, next to nothing", percent.as_typed);
    let help =
        format!("if it is meant as a fraction, write `{}`", rounded(percent.value * 100.0, 2));
    findings.warning(LOSS_ODD, percent.at, message, help);
}
