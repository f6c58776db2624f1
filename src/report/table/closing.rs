//! What the figures rest on: other peaks, clipping, the rule of thumb, assumptions, cautions.

use super::Page;
use crate::plan::{Advice, State};
use crate::report::layout::{GLUE, paragraph, titled};
use crate::report::numbers::{fixed, volts};
use crate::units::Watts;

/// Peaks on which a tracker that only climbs may stay.
pub(super) fn peaks(page: Page<'_>, state: &State) -> String {
    titled("Other peaks", &peak_lines(page, state))
}

/// A sentence for each.
pub(in crate::report) fn peak_lines(page: Page<'_>, state: &State) -> Vec<String> {
    state
        .inputs
        .iter()
        .flat_map(|input| input.other_peaks.iter().map(move |peak| (input, peak)))
        .map(|(input, peak)| {
            format!(
                "{} at {}{}: a tracker that only climbs may stay there and lose {}.",
                page.scale.watts(peak.power),
                volts(peak.v),
                page.names.in_place(input.at, None),
                page.scale.watts(page.scale.difference(peak.power, input.power)),
            )
        })
        .collect()
}

/// What the controllers pass where their output limit bites.
pub(super) fn clipping(page: Page<'_>, state: &State) -> String {
    titled("Clipping", &clipping_lines(page, state))
}

/// A sentence for each.
pub(in crate::report) fn clipping_lines(page: Page<'_>, state: &State) -> Vec<String> {
    let clipped = state.inputs.iter().filter(|i| i.clipped.is_some());
    // Inputs that share an output are told of together.
    let outputs = clipped.collect::<Vec<_>>();
    outputs
        .chunk_by(|a, b| a.at.controller == b.at.controller)
        .map(|inputs| {
            let power: Watts = inputs.iter().map(|i| i.power).sum();
            let passed: Watts = inputs.iter().filter_map(|i| i.clipped).sum();
            let name = match inputs {
                [one] => page.names.input(one.at),
                all => page.names.controller(all[0].at).to_owned(),
            };
            format!(
                "{name} passes {} of {} at full sun. The rest is lost then and harms nothing; in \
                 weak sun all of it counts.",
                page.scale.watts(passed),
                page.scale.watts(power),
            )
        })
        .collect()
}

/// What the rule of thumb would have said of today's wiring and of the best plan's.
pub(super) fn thumb(page: Page<'_>, advice: &Advice) -> String {
    titled("Rule of thumb", &thumb_lines(page, advice))
}

/// A sentence for each wiring.
pub(in crate::report) fn thumb_lines(page: Page<'_>, advice: &Advice) -> Vec<String> {
    let planned = advice.best.map(|b| &advice.plans[b]).filter(|plan| plan.changes_wiring());
    let planned = planned.map(|plan| thumb_line(page, "the planned wiring", &plan.state));
    planned.into_iter().chain([thumb_line(page, "today's wiring", &advice.today)]).collect()
}

/// The same for one wiring.
pub(super) fn thumb_of(page: Page<'_>, what: &str, state: &State) -> String {
    titled("Rule of thumb", &[thumb_line(page, what, state)])
}

/// What to be careful of: each on as few lines as it can.
pub(in crate::report) fn cautions(cautions: &[&'static str]) -> String {
    if cautions.is_empty() {
        return String::new();
    }
    let lines = cautions.iter().map(|c| paragraph(c, 2, 4));
    std::iter::once("Take care\n".to_owned()).chain(lines).collect()
}

/// A title with one line for each text.
pub(in crate::report) fn list<S: AsRef<str>>(title: &str, texts: &[S]) -> String {
    let lines: Vec<String> = texts.iter().map(|t| t.as_ref().to_owned()).collect();
    titled(title, &lines)
}

fn thumb_line(page: Page<'_>, what: &str, state: &State) -> String {
    let (nameplate, curve) = (state.nameplate(), state.watts());
    let difference = page.scale.difference(nameplate, curve);
    let against = if difference == Watts(0.0) {
        "the curves say the same".to_owned()
    } else {
        let (amount, word) = if difference > Watts(0.0) {
            (difference, "more")
        } else {
            (difference * -1.0, "less")
        };
        let share = if nameplate > Watts(0.0) {
            let percent = 100.0 * amount.watts() / nameplate.watts();
            format!(" ({}{GLUE}%)", fixed(percent, 1))
        } else {
            String::new()
        };
        format!("the curves give {} {word}{share}", page.scale.watts(amount))
    };
    format!("{} for {what}; {against}.", page.scale.watts(nameplate))
}
