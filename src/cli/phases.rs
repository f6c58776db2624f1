//! `phases`: an upgrade in steps.

use super::answers::{read_site, refuse};
use super::args::report_form;
use super::exit::{Exit, Refusal};
use super::files;
use super::phases_args::PhasesArgs;
use super::streams::{say, show};
use super::watch::watched;
use super::written::{may_write, write};
use crate::plan::{Aim, Touch};
use crate::planner::{self, Options, PhaseOptions};
use crate::report::{self, SiteFile};

/// Runs `phases`.
pub(super) fn phases(args: &PhasesArgs) -> Result<Exit, Refusal> {
    may_write(&args.report, &args.site, args.overwrite)?;
    let source = files::read(&args.site)?;
    let installation = read_site(&source)?;
    if installation.phases.is_empty() {
        return Err(Refusal::unusable(
            &format!("`{}` has no `phases`", source.name),
            "list the steps of the upgrade under `phases:`, as docs/input.md shows; for one step alone \
             there is `sungraft advise`",
        ));
    }
    let mut options = PhaseOptions {
        plan: Options {
            threshold_watts: args.threshold.threshold_watts,
            threshold_share: args.threshold.share(),
            joint_worth: args.joint_worth,
            aim: args.aim.map(Aim::from),
            touch: vec![Touch::from(args.touch)],
            ..Options::default()
        },
        money_worth: args.money_worth,
    };
    let phased = watched(args.seconds, |watch| {
        options.plan.effort.watch = watch;
        planner::plan_phases(&installation, &options).map_err(refuse)
    })?;
    // First, so that a file that cannot be written does not take the answer with it.
    show(&report::phases(&installation, &phased, args.format.into()))?;
    if !args.report.is_empty() {
        let methods = planner::phase_methods(&phased, args.measured).map_err(refuse)?;
        let text = String::from_utf8_lossy(&source.bytes);
        let file = SiteFile { name: &source.name, text: text.trim_start_matches('\u{feff}') };
        for path in &args.report {
            let form = report_form(path).expect("the arguments were checked");
            let text = report::phases_report(&installation, &phased, &methods, file, form);
            write(path, &text, args.overwrite)?;
            say(&format!("report: `{}`", path.display()));
        }
    }
    Ok(match (phased.steps.is_empty(), &phased.stopped) {
        (false, _) => Exit::Answered,
        (true, Some(_)) => Exit::LimitReached,
        (true, None) => Exit::No,
    })
}
