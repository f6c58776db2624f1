//! The answer as a page: the figures, what their bands come from, what to do next, the entry to paste.

use super::LabelAnswer;
use super::cautions::cautions;
use super::words::{doubt, ends, next, outlier, source};
use super::{entry, fade};
use crate::electrical::readings::{Band, CELL_ABOVE_BACK};
use crate::report::layout::{self, Column, GLUE, lined_up, paragraph, titled};
use crate::report::numbers::{fixed, plain};
use crate::report::words::counted;
use crate::units::Amps;

/// Shares below this are not worth a line.
const LEAST_SHARE: f64 = 0.005;

/// The answer as a page of at most 100 columns, without colour.
pub(super) fn page(answer: &LabelAnswer<'_>) -> String {
    let most = Amps(answer.bands().i_sc.high);
    layout::page(&[
        head(answer),
        figures(answer),
        answer.fade.map_or_else(String::new, |(kind, fade)| fade::section(kind, fade)),
        look_at(answer),
        come_from(answer),
        narrower(answer),
        readings(answer),
        paste(answer),
        titled("Assumed", &assumed(answer)),
        take_care(&cautions(Some(most), answer.meter_range)),
    ])
}

/// How to measure.
pub(super) fn how(meter_range: Amps, starter: &str) -> String {
    let steps = [
        "Clean the panel. Put it square to a high sun under a steady sky, best above 600 W/m², and wait ten minutes until its warmth is even.",
        "Count the cells in series along all rows (`--cells`); of half-cut cells count one half.",
        "Light: an irradiance meter in the panel's own plane (`--irradiance`), or the short-circuit current of a panel of known label right beside it (`--twin-isc`, `--twin-label-isc`).",
        "Back: a thermometer pressed to the middle of the back (`--back-temp`, °C).",
        "Volts of the open panel (`--voc`), then amperes of the shorted panel (`--isc`), within a minute of the light.",
        "If you can: a load (a heater, a lamp, a power resistor) that holds it near 0.8 of the open volts; volts and amperes at once (`--load-v`, `--load-a`). This narrows the band of Vmp and Imp most.",
        "Do it again in other light. Each reading is a line of a file of readings.",
    ];
    let numbered: String = steps
        .iter()
        .enumerate()
        .map(|(k, step)| paragraph(&format!("{}.{GLUE}{step}", k + 1), 2, 5))
        .collect();
    let file: String = starter.lines().map(|l| format!("  {l}\n")).collect();
    layout::page(&[
        take_care(&cautions(None, meter_range)),
        format!("How to measure\n{numbered}"),
        format!(
            "A file of readings (columns in any order; `;` and decimal commas do, too)\n{file}"
        ),
    ])
}

fn take_care(texts: &[String]) -> String {
    let lines = texts.iter().map(|text| paragraph(text, 2, 4));
    std::iter::once("Take care\n".to_owned()).chain(lines).collect()
}

fn head(answer: &LabelAnswer<'_>) -> String {
    let n = counted(answer.measured.readings.len(), "reading", "readings");
    let what = match answer.fade {
        Some(_) => "What the panel gives today",
        None => "A label",
    };
    paragraph(
        &format!(
            "{what}, estimated from {n}: at 1000 W/m² and cells at 25 °C (STC), crystalline silicon"
        ),
        0,
        2,
    )
}

fn figures(answer: &LabelAnswer<'_>) -> String {
    let b = answer.bands();
    let row = |name: &str, band: &Band, unit: &str, decimals: usize| {
        vec![
            name.to_owned(),
            format!("{}{GLUE}{unit}", fixed(band.value, decimals)),
            format!("{}{GLUE}{unit}", ends(band, decimals)),
            format!("±{GLUE}{}{GLUE}%", fixed(band.percent(), 0)),
        ]
    };
    let rows = [
        vec!["".into(), "most likely".into(), "in 95 of 100 cases".into(), "".into()],
        row("Pmax", &b.p_mp, "W", 1),
        row("Vmp", &b.v_mp, "V", 1),
        row("Imp", &b.i_mp, "A", 2),
        row("Voc", &b.v_oc, "V", 1),
        row("Isc", &b.i_sc, "A", 2),
    ];
    lined_up(2, &[Column::Left(8), Column::Right(14), Column::Right(24), Column::Right(8)], &rows)
}

fn look_at(answer: &LabelAnswer<'_>) -> String {
    let texts: Vec<String> = answer.estimate.doubts.iter().map(doubt).collect();
    titled("Look at", &texts)
}

fn come_from(answer: &LabelAnswer<'_>) -> String {
    let share = |x: f64| format!("{}{GLUE}%", fixed(100.0 * x, 0));
    let mut shares = answer.estimate.shares.clone();
    shares.sort_by(|a, b| b.of_p_mp.total_cmp(&a.of_p_mp));
    let mut rows = vec![vec!["Pmax".into(), "Voc".into(), "Isc".into(), "comes from".into()]];
    let said = |s: &&crate::electrical::readings::Share| {
        s.of_p_mp.max(s.of_v_oc).max(s.of_i_sc) >= LEAST_SHARE
    };
    rows.extend(shares.iter().filter(said).map(|s| {
        vec![
            share(s.of_p_mp),
            share(s.of_v_oc),
            share(s.of_i_sc),
            source(s.source, &answer.measured.accuracy),
        ]
    }));
    let columns = [Column::Right(6), Column::Right(6), Column::Right(6), Column::Rest];
    format!("What the bands come from (shares of their squares)\n{}", lined_up(2, &columns, &rows))
}

fn narrower(answer: &LabelAnswer<'_>) -> String {
    let now = answer.bands().p_mp.percent();
    let lines: Vec<String> = answer
        .estimate
        .narrowings
        .iter()
        .filter(|n| n.p_mp_percent < now - 0.5)
        .map(|n| format!("Pmax to ±{GLUE}{}{GLUE}%: {}.", fixed(n.p_mp_percent, 0), next(n.next)))
        .collect();
    if lines.is_empty() {
        let text = "no single further reading narrows the band of Pmax by a percent; better instruments together would.";
        return titled("Narrower", &[text.to_owned()]);
    }
    titled("Narrower", &lines)
}

fn readings(answer: &LabelAnswer<'_>) -> String {
    let mut texts: Vec<String> = answer
        .estimate
        .agreement
        .iter()
        .map(|a| {
            let verdict = a
                .stands_out
                .map_or_else(String::new, |o| format!(". It stands out: {}", outlier(o)));
            format!(
                "{}: volts {}{GLUE}%, amperes {}{GLUE}% against what the others say{verdict}.",
                a.name,
                signed(a.v_oc_percent),
                signed(a.i_sc_percent)
            )
        })
        .collect();
    if answer.estimate.scatter.wider > 1.0 {
        texts.push(format!(
            "They scatter more than the instruments allow; all bands are {} times as wide for it.",
            fixed(answer.estimate.scatter.wider, 1)
        ));
    }
    titled("Readings", &texts)
}

fn signed(x: f64) -> String {
    let text = fixed(x, 1);
    if text.starts_with('-') { text } else { format!("+{text}") }
}

fn paste(answer: &LabelAnswer<'_>) -> String {
    let text = titled("To paste", &entry::advice(answer));
    format!("{text}\nkinds:\n{}", entry::entry(answer))
}

/// What the estimate rests on beside the readings.
pub(super) fn assumed(answer: &LabelAnswer<'_>) -> Vec<String> {
    let p = &answer.estimate.prior;
    let spread = |s: &crate::electrical::readings::Spread, decimals: usize| {
        format!("{} ± {}", fixed(s.middle, decimals), fixed(2.0 * s.sd, decimals))
    };
    let basis = match answer.fade {
        Some(_) => "the label's, with 3 % either way for wear (ours, no source)",
        None => "medians of silicon panels in two open tables, with the range of 95 in 100",
    };
    vec![
        format!(
            "Vmp/Voc {}, Imp/Isc {}: {basis}.",
            spread(&p.vmp_per_voc, 2),
            spread(&p.imp_per_isc, 2)
        ),
        format!(
            "Temperature coefficients: voltage {} %/°C, current {} %/°C, power {} %/°C below voltage.",
            spread(&p.beta, 2),
            spread(&p.alpha, 2),
            spread(&p.delta, 2)
        ),
        format!(
            "Cells {} °C warmer than the back at full sun (King and others, SAND2004-3535).",
            plain(CELL_ABOVE_BACK, 1)
        ),
        "The panel is clean, unshaded, and crystalline silicon; the figures are what it gives now, not what it gave when new.".to_owned(),
    ]
}
