//! `check --readings` and the form for it.

use std::path::Path;

use super::answers::{exit_of_check, read_site, refuse};
use super::args::CheckArgs;
use super::exit::{Exit, Refusal};
use super::files;
use super::streams::{say, show};
use crate::input;
use crate::model::Installation;
use crate::plan::Checked;
use crate::planner::Failure;
use crate::{planner, report};

/// Refuses two files from one stream.
pub(super) fn check_streams(args: &CheckArgs) -> Result<(), Refusal> {
    let stream = |path: &Path| path.as_os_str() == "-";
    if stream(&args.site) && args.readings.as_deref().is_some_and(stream) {
        return Err(Refusal::unusable(
            "both files cannot come from standard input",
            "name the site file, or the file of readings",
        ));
    }
    Ok(())
}

/// Holds readings against the wiring.
pub(super) fn verify(
    args: &CheckArgs,
    readings: &Path,
    installation: &Installation,
    checked: &Checked,
) -> Result<Exit, Refusal> {
    one_sun(installation)?;
    let source = files::read(readings)?;
    let read = input::read_array_readings(&source.name, &source.bytes, installation)
        .map_err(|findings| Refusal { text: findings.to_string(), exit: Exit::Unusable })?;
    say(&read.warnings.to_string());
    let verified = planner::verify(installation, &read.value).map_err(refuse)?;
    show(&report::verified(installation, checked, &verified, args.format.into()))?;
    Ok(if verified.n_outside() > 0 { Exit::No } else { exit_of_check(checked) })
}

/// Prints a form for readings on a site's wiring.
pub(super) fn form(site: &Path) -> Result<Exit, Refusal> {
    let installation = read_site(&files::read(site)?)?.without_spare_controllers();
    if installation.installed.iter().all(|w| w.array.strings.is_empty()) {
        return Err(Refusal::unusable(
            "nothing is wired on this site, so there is nothing to read",
            "write the wiring as it is now under `installed` in the site file",
        ));
    }
    one_sun(&installation)?;
    show(&report::readings_form(&installation))?;
    Ok(Exit::Answered)
}

/// Readings have one sun, and so must the panels.
fn one_sun(installation: &Installation) -> Result<(), Refusal> {
    let several = installation.site.sun.planes.len() > 1;
    if several { Err(refuse(Failure::SeveralSuns)) } else { Ok(()) }
}
