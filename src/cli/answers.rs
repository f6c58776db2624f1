//! `advise` and `check`: read a site, ask the library, show the answer.

use std::path::Path;

use super::args::{AdviseArgs, CheckArgs, RuleArg, TouchArg, report_form};
use super::exit::{Exit, Refusal};
use super::files::{self, Source};
use super::streams::{say, show};
use super::verify;
use super::watch::watched;
use super::written::{may_write, write};
use crate::diagnostic::Diagnostics;
use crate::input;
use crate::model::{InputRef, Installation, PartPrice};
use crate::plan::{Advice, Aim, Checked, Touch, TouchAnswer};
use crate::planner::{self, Failure, Options};
use crate::report::{self, SiteFile, drawing};

/// Runs `advise`.
pub(super) fn advise(args: &AdviseArgs) -> Result<Exit, Refusal> {
    let files = [args.report.as_slice(), args.drawing.as_slice()].concat();
    may_write(&files, &args.site, args.overwrite)?;
    let source = files::read(&args.site)?;
    let mut installation = read_site(&source)?;
    if let Some(prices) = &args.prices {
        installation.site.money.prices = Some(read_prices(prices)?);
    }
    let mut options = options(args, &installation)?;
    let advice = watched(args.seconds, |watch| {
        options.effort.watch = watch;
        planner::advise(&installation, &options)
    });
    let advice = advice.map_err(refuse)?;
    // First, so that a file that cannot be written does not take the answer with it.
    show(&report::advice(&installation, &advice, args.format.into()))?;
    write_reports(args, &source, &installation, &advice)?;
    for path in &args.drawing {
        let in_use = advice.installation_in_use(&installation);
        write(path, &drawing::sheet(&in_use, &advice), args.overwrite)?;
    }
    Ok(exit_of_advice(&advice))
}

/// One report for each file that was named.
fn write_reports(
    args: &AdviseArgs,
    source: &Source,
    installation: &Installation,
    advice: &Advice,
) -> Result<(), Refusal> {
    if args.report.is_empty() {
        return Ok(());
    }
    let method = planner::method(installation, advice, args.measured).map_err(refuse)?;
    let text = String::from_utf8_lossy(&source.bytes);
    let site_file = SiteFile { name: &source.name, text: text.trim_start_matches('\u{feff}') };
    for path in &args.report {
        let form = report_form(path).expect("the arguments were checked");
        let text = report::report(installation, advice, method.as_ref(), site_file, form);
        write(path, &text, args.overwrite)?;
        say(&format!("report: `{}`", path.display()));
    }
    Ok(())
}

/// Runs `check`.
pub(super) fn check(args: &CheckArgs) -> Result<Exit, Refusal> {
    verify::check_streams(args)?;
    // What is not wired cannot be checked.
    let installation = read_site(&files::read(&args.site)?)?.without_spare_controllers();
    let checked = planner::check(&installation).map_err(refuse)?;
    if let Some(readings) = &args.readings {
        return verify::verify(args, readings, &installation, &checked);
    }
    show(&report::checked(&installation, &checked, args.format.into()))?;
    Ok(exit_of_check(&checked))
}

pub(super) fn read_site(source: &Source) -> Result<Installation, Refusal> {
    let unusable =
        |findings: Diagnostics| Refusal { text: findings.to_string(), exit: Exit::Unusable };
    let read = input::read_site(&source.name, &source.bytes).map_err(unusable)?;
    say(&read.warnings.to_string());
    let mut installation = read.value;
    if let Some(weather) = installation.site.sun.weather.clone() {
        let weather = files::read_beside(Path::new(&source.name), &weather)?;
        let warnings = input::add_weather(&mut installation, &weather.name, &weather.bytes)
            .map_err(unusable)?;
        say(&warnings.to_string());
    }
    Ok(installation)
}

/// What parts cost, by a price file.
fn read_prices(path: &Path) -> Result<Vec<PartPrice>, Refusal> {
    let source = files::read(path)?;
    let read = input::read_prices(&source.name, &source.bytes)
        .map_err(|findings| Refusal { text: findings.to_string(), exit: Exit::Unusable })?;
    say(&read.warnings.to_string());
    Ok(read.value)
}

fn options(args: &AdviseArgs, installation: &Installation) -> Result<Options, Refusal> {
    let input = args.input.as_deref().map(|text| find_input(text, installation)).transpose()?;
    if let Some(at) = input.filter(|at| installation.kept.contains(at)) {
        let id = &installation.controller(at).id;
        return Err(Refusal::unusable(
            &format!("input {} of `{id}` is to be kept as it is (`keep: true`)", at.input),
            "take `keep: true` out of its entry in `installed`, or plan another input",
        ));
    }
    let aim = args.aim.map(Aim::from);
    if args.rule == RuleArg::Nameplate && aim.is_some_and(|aim| aim != Aim::Watts) {
        return Err(Refusal::unusable(
            "the rule of thumb knows no weather: `--rule nameplate` goes with `--for watts` alone",
            "leave `--rule nameplate` out to choose plans for energy",
        ));
    }
    let mut options = Options {
        aim,
        rule: args.rule.into(),
        threshold_watts: args.threshold.threshold_watts,
        threshold_share: args.threshold.share(),
        joint_worth: args.joint_worth,
        joint_curve: args.joint_worth.is_some() || !args.report.is_empty(),
        controller_watts: args.controller_watts,
        input,
        ..Options::default()
    };
    if !args.touch.is_empty() {
        options.touch = levels(&args.touch);
    }
    Ok(options)
}

/// The levels asked for, each once, from the least disturbance.
fn levels(asked: &[TouchArg]) -> Vec<Touch> {
    let mut levels: Vec<Touch> = asked.iter().map(|&t| t.into()).collect();
    levels.sort_unstable();
    levels.dedup();
    levels
}

/// `CONTROLLER:N`, or the controller alone if it has one input. An id may itself hold a colon.
fn find_input(text: &str, installation: &Installation) -> Result<InputRef, Refusal> {
    let installed = || installation.controllers.iter().filter(|c| c.spare.is_none());
    let by_id = |id: &str| installed().position(|c| c.id == id);
    if let Some(controller) = by_id(text) {
        return match installation.controllers[controller].n_inputs {
            1 => Ok(InputRef { controller, input: 1 }),
            n => Err(Refusal::unusable(
                &format!("`--input {text}`: `{text}` has {n} inputs"),
                &format!("say which, as `--input {text}:1`"),
            )),
        };
    }
    let Some((id, number)) = text.rsplit_once(':') else {
        return Err(no_controller(text, text, installation));
    };
    let Some(controller) = by_id(id) else { return Err(no_controller(text, id, installation)) };
    let n_inputs = installation.controllers[controller].n_inputs;
    match number.parse() {
        Ok(input) if (1..=n_inputs).contains(&input) => Ok(InputRef { controller, input }),
        _ => Err(Refusal::unusable(
            &format!("`--input {text}`: `{id}` has no input `{number}`"),
            &format!("its inputs are numbered from 1 to {n_inputs}"),
        )),
    }
}

fn no_controller(text: &str, id: &str, installation: &Installation) -> Refusal {
    let installed = installation.controllers.iter().filter(|c| c.spare.is_none());
    let ids = installed.map(|c| c.id.as_str());
    let nearest = ids
        .clone()
        .map(|known| (strsim::damerau_levenshtein(known, id), known))
        .filter(|(distance, known)| *distance <= known.chars().count() / 2)
        .min();
    let help = match nearest {
        Some((_, known)) => format!("did you mean `{known}`?"),
        None => {
            let known: Vec<String> = ids.map(|known| format!("`{known}`")).collect();
            format!("this site has {}", known.join(", "))
        }
    };
    Refusal::unusable(&format!("`--input {text}`: there is no controller `{id}`"), &help)
}

fn exit_of_advice(advice: &Advice) -> Exit {
    let limit_reached = advice.levels.iter().any(|(_, a)| matches!(a, TouchAnswer::LimitReached));
    match advice.best {
        Some(_) => Exit::Answered,
        None if limit_reached => Exit::LimitReached,
        None => Exit::No,
    }
}

pub(super) fn exit_of_check(checked: &Checked) -> Exit {
    if checked.state.breaches() { Exit::No } else { Exit::Answered }
}

pub(super) fn refuse(failure: Failure) -> Refusal {
    match failure {
        Failure::Label { kind, error } => Refusal::unusable(
            &format!("no curve passes through the label of `{kind}` ({error:?})"),
            "check its five figures against the label: Vmp lies between half of Voc and Voc, Imp \
             between half of Isc and Isc",
        ),
        Failure::NoSun => Refusal::unusable(
            "plans can be chosen for energy only where the site file says enough about the sun",
            "give `tilt_deg` and `azimuth_deg` (or `planes`), and either `weather` or `latitude_deg`, `sun_kwh_m2_day` \
             and `air_c` under `site`, or ask with `--for watts`",
        ),
        Failure::SeveralSuns => Refusal::unusable(
            "panels on several planes cannot be held against one reading of the sun",
            "write a site file with the strings of one plane alone, and read the sun on that plane",
        ),
        Failure::AllKept => Refusal::unusable(
            "every input is to be kept as it is (`keep: true`), so there is nothing to plan",
            "take `keep: true` out of the entry in `installed` that may be rewired",
        ),
        Failure::Audit(error) => Refusal {
            text: format!(
                "internal error: a plan did not stand its audit, so there is no answer: {error:?}\n\
                 help: this is a mistake in sungraft, not in your file; please report it with the \
                 site file"
            ),
            exit: Exit::Internal,
        },
    }
}
