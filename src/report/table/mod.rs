//! The answers as a page of text: verdict first, then the figures, then what they rest on.
//!
//! What is said stands in functions of its own, open to the report, which says the same.

mod cables;
pub(in crate::report) mod closing;
pub(in crate::report) mod controllers;
pub(in crate::report) mod energy;
pub(in crate::report) mod harm;
mod joints;
pub(in crate::report) mod limits;
pub(in crate::report) mod money;
pub(in crate::report) mod plans;
pub(in crate::report) mod spares;
mod to_do;
pub(in crate::report) mod verdict;
pub(in crate::report) mod wiring;

use super::layout::{self, GLUE};
use super::names::Names;
use super::numbers::{WattScale, plain, share_in_words};
use super::planes;
use super::words;
use crate::model::Installation;
use crate::plan::{Advice, Checked, Plan, State};
use crate::units::{Celsius, Watts};

/// What every block of one page needs.
#[derive(Debug, Clone, Copy)]
pub(in crate::report) struct Page<'a> {
    pub(in crate::report) names: Names<'a>,
    pub(in crate::report) scale: WattScale,
}

impl<'a> Page<'a> {
    fn new(installation: &'a Installation, largest: Watts) -> Self {
        Self { names: Names(installation), scale: WattScale::for_label(largest) }
    }

    /// The page of an answer: the watts of all its plans are shown alike.
    pub(in crate::report) fn of(installation: &'a Installation, advice: &Advice) -> Self {
        let states = advice.plans.iter().map(|p| &p.state);
        let largest = states.chain([&advice.today]).fold(Watts(0.0), |most, s| most.max(s.label()));
        Self::new(installation, largest)
    }
}

/// The answer to `advise` as a page of at most 100 columns, without colour.
pub(super) fn advice(installation: &Installation, advice: &Advice) -> String {
    let page = Page::of(installation, advice);
    let best = advice.best.map(|b| &advice.plans[b]);
    let subject = best.map_or(&advice.today, |plan| &plan.state);
    let limits_of = if best.is_some() { "Limits of *" } else { "Limits today" };

    let head = heading(page, &advice.site, advice.coldest, advice.hottest)
        + &planned(page, advice)
        + &sentence(planes::full_sun(page.names))
        + &verdict::advice(page, advice)
        + &sentence(energy::in_words(advice))
        + &sentence(money::sentence(page, advice));
    let mut sections = vec![
        head,
        plans::table(page, advice),
        joints::block(page, advice),
        energy::block(page, advice),
    ];
    sections.extend(wirings(page, advice, best));
    sections.push(spares::table(page, advice));
    sections.push(controllers::spare(page, advice));
    sections.push(controllers::own(advice));
    sections.push(money::block(page, advice));
    sections.push(harm::block(page, advice));
    sections.push(spares::idle(page, "Not needed", &advice.idle));
    sections.push(limits::summary(page, limits_of, subject));
    sections.push(limits::to_ask(&advice.ask));
    sections.push(closing::peaks(page, subject));
    sections.push(closing::clipping(page, subject));
    sections.push(cables::block(page, installation, subject));
    sections.push(closing::thumb(page, advice));
    sections.push(closing::list("Assumed", &advice.assumed));
    sections.push(closing::list("Notes", &advice.notes));
    sections.push(closing::cautions(&advice.cautions));
    layout::page(&sections)
}

/// The answer to `check` as a page of at most 100 columns, without colour.
pub(super) fn checked(installation: &Installation, checked: &Checked) -> String {
    let state = &checked.state;
    let page = Page::new(installation, state.label());
    let head = heading(page, &checked.site, checked.coldest, checked.hottest)
        + &sentence(planes::full_sun(page.names))
        + &verdict::checked(page, checked)
        + &sentence(checked.energy.as_ref().map(energy::in_words_of));
    let mut sections = vec![head, wiring::block(page, wiring::TODAY, state)];
    sections.push(energy::block_of(page, checked.energy.as_ref()));
    sections.extend(limits::tables(page, state));
    sections.push(limits::to_ask(&checked.ask));
    sections.push(spares::idle(page, "Idle panels", &checked.idle));
    sections.push(closing::peaks(page, state));
    sections.push(closing::clipping(page, state));
    sections.push(cables::block(page, installation, state));
    sections.push(closing::thumb_of(page, "this wiring", state));
    sections.push(closing::list("Assumed", &checked.assumed));
    sections.push(closing::cautions(&checked.cautions));
    layout::page(&sections)
}

/// Today's wiring, and the best plan's where it differs.
fn wirings(page: Page<'_>, advice: &Advice, best: Option<&Plan>) -> Vec<String> {
    let today = wiring::block(page, wiring::TODAY, &advice.today);
    match best {
        Some(plan) if plan.changes_wiring() => {
            let planned = wiring::planned(page, "Wiring of *", &plan.state, advice);
            vec![today, planned]
        }
        _ => vec![today],
    }
}

/// One line: whose site, under which sky, how many inputs.
pub(in crate::report) fn heading(
    page: Page<'_>,
    site: &str,
    coldest: Celsius,
    hottest: Celsius,
) -> String {
    let apart = GLUE.to_string().repeat(4);
    let (climate, size) = (climate(coldest, hottest), size(page));
    layout::paragraph(&format!("{site}{apart} {climate}{apart} {size}"), 0, 2)
}

/// `coldest -22 °C, hottest 35 °C`.
pub(in crate::report) fn climate(coldest: Celsius, hottest: Celsius) -> String {
    format!(
        "coldest{GLUE}{}{GLUE}°C,{GLUE}hottest{GLUE}{}{GLUE}°C",
        plain(coldest.celsius(), 1),
        plain(hottest.celsius(), 1)
    )
}

/// `1 controller, 2 inputs`.
pub(in crate::report) fn size(page: Page<'_>) -> String {
    let site = page.names.0;
    let (spare, installed): (Vec<_>, Vec<_>) =
        site.controllers.iter().partition(|c| c.spare.is_some());
    let n_inputs: usize = installed.iter().map(|c| c.n_inputs).sum();
    let n_spare: usize =
        spare.iter().filter_map(|c| c.spare.as_ref()).filter(|s| s.unit == 1).map(|s| s.of).sum();
    let ready = match n_spare {
        0 => String::new(),
        n => format!(",{GLUE}{}", words::counted(n, "spare controller", "spare controllers")),
    };
    format!(
        "{},{GLUE}{}{ready}",
        words::counted(installed.len(), "controller", "controllers"),
        words::counted(n_inputs, "input", "inputs"),
    )
}

/// A line of its own; none where there is nothing to say.
fn sentence(text: Option<String>) -> String {
    text.map_or_else(String::new, |text| layout::paragraph(&text, 0, 2))
}

fn planned(page: Page<'_>, advice: &Advice) -> String {
    sentence(planned_here(page, advice))
}

/// Which input the whole answer is about, where there are several.
pub(in crate::report) fn planned_here(page: Page<'_>, advice: &Advice) -> Option<String> {
    if !page.names.has_several_inputs() {
        return None;
    }
    let n_together = advice.together.len();
    let any_spare = advice.together.iter().any(|at| page.names.0.is_spare(*at));
    if n_together > 1 || any_spare {
        let text = match page.names.0.installed.len() - n_together {
            0 if any_spare => format!(
                "Planned together: what is installed, and {}.",
                ready_in_words(page, advice)
            ),
            0 if n_together == 2 => "Planned together: both inputs.".to_owned(),
            0 => format!("Planned together: all {n_together} inputs."),
            _ => format!(
                "Planned together: {}; what else there is stays as it is.",
                words::listed(
                    &advice.together.iter().map(|at| page.names.input(*at)).collect::<Vec<_>>()
                )
            ),
        };
        return Some(text);
    }
    let others = match page.names.0.installed.len() - 1 {
        1 => "the other input stays as it is",
        _ => "the other inputs stay as they are",
    };
    let name = page.names.input(advice.planned);
    Some(format!("Planned here: {name}; {others}."))
}

/// `the spare controller shelf`, `the spare controllers shelf 1 and shelf 2`: those that some plan
/// uses.
fn ready_in_words(page: Page<'_>, advice: &Advice) -> String {
    let mut controllers: Vec<usize> = advice.together.iter().map(|at| at.controller).collect();
    controllers.dedup();
    let spare = controllers.into_iter().map(|c| &page.names.0.controllers[c]);
    let ids: Vec<String> = spare.filter(|c| c.spare.is_some()).map(|c| c.id.clone()).collect();
    let noun = if ids.len() == 1 { "controller" } else { "controllers" };
    format!("the spare {noun} {}", words::listed(&ids))
}

/// `811 W at full sun, 98.1 % of the label watts`.
fn watts_and_share(page: Page<'_>, state: &State) -> String {
    format!(
        "{} at full sun, {} of the label watts",
        page.scale.watts(state.watts()),
        share_in_words(state.utilization()),
    )
}
