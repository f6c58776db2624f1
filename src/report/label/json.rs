//! The answer as JSON: a contract, versioned; see `docs/label.schema.json`.

use serde::Serialize;

use super::LabelAnswer;
use super::cautions::cautions;
use super::fade::verdict_name;
use super::words::{doubt, next, next_name, outlier_name, source_name};
use super::{entry, table};
use crate::electrical::readings::Band;
use crate::report::figures::{Figure, figure};
use crate::units::Amps;

#[derive(Serialize)]
struct LabelJson<'a> {
    format: &'static str,
    readings: usize,
    coverage_percent: u8,
    pmax_w: BandJson,
    vmp_v: BandJson,
    imp_a: BandJson,
    voc_v: BandJson,
    isc_a: BandJson,
    faded: Option<FadedJson<'a>>,
    band_from: Vec<ShareJson>,
    narrower: Vec<NarrowerJson>,
    agreement: Vec<AgreementJson<'a>>,
    scatter_factor: Figure,
    doubts: Vec<String>,
    kinds_entry: String,
    tolerance_percent: Figure,
    assumed: Vec<String>,
    cautions: Vec<String>,
}

#[derive(Serialize)]
struct BandJson {
    value: Figure,
    low: Figure,
    high: Figure,
}

#[derive(Serialize)]
struct FadedJson<'a> {
    kind: &'a str,
    age_years: Option<f64>,
    pmax_percent: BandJson,
    voc_percent: BandJson,
    isc_percent: BandJson,
    usual_percent: Figure,
    verdict: Option<&'static str>,
}

#[derive(Serialize)]
struct ShareJson {
    source: &'static str,
    of_pmax_percent: Figure,
    of_voc_percent: Figure,
    of_isc_percent: Figure,
}

#[derive(Serialize)]
struct NarrowerJson {
    by: &'static str,
    pmax_percent: Figure,
    text: String,
}

#[derive(Serialize)]
struct AgreementJson<'a> {
    reading: &'a str,
    voc_percent: Figure,
    isc_percent: Figure,
    verdict: &'static str,
}

fn band(band: &Band, decimals: i32) -> BandJson {
    BandJson {
        value: figure(band.value, decimals),
        low: figure(band.low, decimals),
        high: figure(band.high, decimals),
    }
}

/// The answer as JSON text.
pub(super) fn text(answer: &LabelAnswer<'_>) -> String {
    let (estimate, bands) = (answer.estimate, answer.bands());
    let percent = |x: f64| figure(x, 2);
    let json = LabelJson {
        format: "sungraft/label@1",
        readings: answer.measured.readings.len(),
        coverage_percent: 95,
        pmax_w: band(&bands.p_mp, 2),
        vmp_v: band(&bands.v_mp, 2),
        imp_a: band(&bands.i_mp, 3),
        voc_v: band(&bands.v_oc, 2),
        isc_a: band(&bands.i_sc, 3),
        faded: answer.fade.map(|(kind, fade)| FadedJson {
            kind: &kind.id,
            age_years: kind.age_years,
            pmax_percent: band(&fade.p_mp_percent, 2),
            voc_percent: band(&fade.v_oc_percent, 2),
            isc_percent: band(&fade.i_sc_percent, 2),
            usual_percent: fade.usual.and_then(|(usual, _)| percent(usual)),
            verdict: fade.usual.map(|(_, verdict)| verdict_name(verdict)),
        }),
        band_from: estimate
            .shares
            .iter()
            .map(|s| ShareJson {
                source: source_name(s.source),
                of_pmax_percent: percent(100.0 * s.of_p_mp),
                of_voc_percent: percent(100.0 * s.of_v_oc),
                of_isc_percent: percent(100.0 * s.of_i_sc),
            })
            .collect(),
        narrower: estimate
            .narrowings
            .iter()
            .map(|n| NarrowerJson {
                by: next_name(n.next),
                pmax_percent: percent(n.p_mp_percent),
                text: next(n.next),
            })
            .collect(),
        agreement: estimate
            .agreement
            .iter()
            .map(|a| AgreementJson {
                reading: &a.name,
                voc_percent: percent(a.v_oc_percent),
                isc_percent: percent(a.i_sc_percent),
                verdict: outlier_name(a.stands_out),
            })
            .collect(),
        scatter_factor: percent(estimate.scatter.wider),
        doubts: estimate.doubts.iter().map(doubt).collect(),
        kinds_entry: entry::entry(answer),
        tolerance_percent: percent(entry::tolerance(answer)),
        assumed: table::assumed(answer),
        cautions: cautions(Some(Amps(bands.i_sc.high)), answer.meter_range),
    };
    serde_json::to_string_pretty(&json).expect("plain data with string keys serializes") + "\n"
}
