//! `label`: meter readings to a label with a band, or to how far a panel has faded.

use super::exit::{Exit, Refusal};
use super::files;
use super::label_args::LabelArgs;
use super::streams::{say, show};
use crate::diagnostic::Diagnostics;
use crate::electrical::readings::{EstimateError, Prior, estimate_fade, estimate_label};
use crate::input::{self, Beside, Read};
use crate::model::{Accuracy, Kind, MeasuredPanel};
use crate::report::{self, LabelAnswer};
use crate::units::Amps;

/// Runs `label`.
pub(super) fn label(args: &LabelArgs) -> Result<Exit, Refusal> {
    let meter_range = Amps(args.meter_range);
    if args.how {
        show(&report::how_to_measure(meter_range, input::readings_starter()))?;
        return Ok(Exit::Answered);
    }
    let kind = if args.aged { Some(known_kind(args)?) } else { None };
    let measured = measured(args, kind.as_ref())?;
    let fade = kind
        .as_ref()
        .map(|kind| estimate_fade(&measured, kind).map(|fade| (kind, fade)))
        .transpose()
        .map_err(refuse)?;
    let estimate = match &fade {
        Some((_, fade)) => fade.estimate.clone(),
        None => estimate_label(&measured, &Prior::of_silicon()).map_err(refuse)?,
    };
    let id = args.id.clone().unwrap_or_else(|| match &kind {
        Some(kind) => format!("{}-today", kind.id),
        None => format!("measured-{:.0}", estimate.label.p_mp.watts()),
    });
    let fade = fade.as_ref().map(|(kind, fade)| (*kind, fade));
    let answer =
        LabelAnswer { measured: &measured, estimate: &estimate, fade, id: &id, meter_range };
    show(&report::label(&answer, args.format.into()))?;
    Ok(Exit::Answered)
}

fn measured(args: &LabelArgs, kind: Option<&Kind>) -> Result<MeasuredPanel, Refusal> {
    let beside = Beside {
        cells: args.cells.or(kind.and_then(|k| k.cells)),
        twin_label_i_sc: args.twin_label_isc.map(Amps),
    };
    let typed = args.reading();
    let read = match &args.readings {
        Some(path) => {
            let source = files::read(path)?;
            input::read_readings(&source.name, &source.bytes, &beside)
        }
        None if typed.is_empty() => {
            return Err(Refusal::unusable(
                "there is no reading",
                "give one as `--voc 20.6 --isc 4.37 --irradiance 870 --back-temp 44`, or a file \
                 with `--readings FILE.csv`; `sungraft label --how` says how to measure",
            ));
        }
        None => input::read_typed_reading(&typed, &beside),
    };
    Ok(MeasuredPanel {
        readings: taken(read)?,
        accuracy: Accuracy {
            volts_percent: args.volt_percent,
            amps_percent: args.amp_percent,
            irradiance_percent: args.light_percent,
            temp_k: args.temp_off,
            twin_percent: args.twin_percent,
        },
        cells: args.cells,
        twin_label_i_sc: beside.twin_label_i_sc,
    })
}

/// The kind whose label is known: of a site file, or of five figures on the command line.
fn known_kind(args: &LabelArgs) -> Result<Kind, Refusal> {
    let mut kind = match &args.site {
        Some(path) => kind_of_site(path, args.kind.as_deref())?,
        None if args.label().is_empty() => {
            return Err(Refusal::unusable(
                "`--aged` needs the label to hold the readings against",
                "give `--site SITE.yaml --kind ID`, or the five figures as `--label-pmax 160 \
                 --label-vmp 18.4 --label-imp 8.7 --label-voc 22.4 --label-isc 9.3`",
            ));
        }
        None => Kind::of_label("panel".to_owned(), taken(input::read_typed_label(&args.label()))?),
    };
    kind.age_years = args.age.or(kind.age_years);
    Ok(kind)
}

fn kind_of_site(path: &std::path::Path, id: Option<&str>) -> Result<Kind, Refusal> {
    let source = files::read(path)?;
    let site = taken(input::read_site(&source.name, &source.bytes))?;
    // A label is the same on every plane.
    let labels: Vec<Kind> =
        site.labels().iter().map(|kinds| site.kind(kinds[0]).without_plane()).collect();
    let ids = || {
        let ids: Vec<String> = labels.iter().map(|k| format!("`{}`", k.id)).collect();
        ids.join(", ")
    };
    match (id, &labels[..]) {
        (None, [only]) => Ok(only.clone()),
        (None, _) => Err(Refusal::unusable(
            "which of the kinds was measured?",
            &format!("say `--kind ID`; this site has {}", ids()),
        )),
        (Some(id), kinds) => kinds.iter().find(|k| k.id == id).cloned().ok_or_else(|| {
            let help = format!("this site has {}", ids());
            Refusal::unusable(&format!("`--kind {id}`: there is no such kind"), &help)
        }),
    }
}

/// What was read, its warnings said; or a refusal with every finding.
fn taken<T>(read: Result<Read<T>, Diagnostics>) -> Result<T, Refusal> {
    let read =
        read.map_err(|findings| Refusal { text: findings.to_string(), exit: Exit::Unusable })?;
    say(&read.warnings.to_string());
    Ok(read.value)
}

fn refuse(error: EstimateError) -> Refusal {
    let error = match error {
        EstimateError::NoCurve(_) => "no curve of a silicon panel passes through these readings",
        EstimateError::Apart => "these readings are too far apart to be of one panel",
    };
    Refusal::unusable(error, "take them again, one panel by itself, clean and without shade")
}
