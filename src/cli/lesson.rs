//! `lesson`: a site worked step by step, or exercises and their key.

use std::path::Path;

use super::answers::{read_site, refuse};
use super::args::{LessonArgs, report_form};
use super::exit::{Exit, Refusal};
use super::files;
use super::streams::{say, show};
use super::written::{may_write, write};
use crate::plan;
use crate::planner::{self, Options};
use crate::report::{self, ReportForm, Sheet};

/// Runs `lesson`.
pub(super) fn lesson(args: &LessonArgs) -> Result<Exit, Refusal> {
    match (&args.site, args.exercise) {
        (_, Some(count)) => exercises(args, usize::from(count)),
        (Some(site), None) => on_site(args, site),
        (None, None) => unreachable!("the arguments ask for one of both"),
    }
}

fn on_site(args: &LessonArgs, site: &Path) -> Result<Exit, Refusal> {
    may_write(&args.report, site, args.overwrite)?;
    // A lesson is about one array; spare controllers are left aside.
    let installation = read_site(&files::read(site)?)?.without_spare_controllers();
    let advice = planner::advise(&installation, &Options::default()).map_err(refuse)?;
    let lesson = planner::lesson(&installation, &advice).map_err(refuse)?;
    publish(args, |form| report::lesson(&installation, &advice, &lesson, form))
}

fn exercises(args: &LessonArgs, count: usize) -> Result<Exit, Refusal> {
    let exercises = plan::exercises(count, args.seed);
    let sheet = if args.key { Sheet::Key } else { Sheet::Problems };
    // No site file is read that could be written over.
    may_write(&args.report, Path::new("-"), args.overwrite)?;
    publish(args, |form| report::exercises(&exercises, args.seed, sheet, form))
}

/// Files first: an answer on the screen whose file could not be written would mislead.
fn publish(args: &LessonArgs, text: impl Fn(ReportForm) -> String) -> Result<Exit, Refusal> {
    for path in &args.report {
        let form = report_form(path).expect("the arguments were checked");
        write(path, &text(form), args.overwrite)?;
        say(&format!("report: `{}`", path.display()));
    }
    show(&text(ReportForm::Text))?;
    Ok(Exit::Answered)
}
