//! The sentence on which a person acts: what to add or rewire, and the watts now and then.

use super::{Page, controllers};
use crate::energy::Span;
use crate::plan::{Advice, Aim, Plan, SpareAnswer, Touch, Verdict, Yield};
use crate::report::layout::GLUE;
use crate::report::planes;
use crate::report::words::{counted, listed, some_of, touch};
use crate::units::Watts;

/// A plan that gives this share of the best gain for fewer joints is worth a line of its own.
const NEARLY: f64 = 0.9;

/// What to add or rewire, and what it gives.
pub(super) fn sentence(page: Page<'_>, advice: &Advice, plan: &Plan) -> String {
    let added: Vec<String> = advice
        .spares
        .iter()
        .filter(|s| s.used > 0)
        .map(|s| added_in_words(page, advice, s))
        .chain(controllers::used_in_words(advice))
        .collect();
    if !added.is_empty() {
        format!("Add {}{}", listed(&added), gain(page, advice, plan))
    } else if plan.joints.made > 0 {
        format!("Add nothing, but rewire{}", gain(page, advice, plan))
    } else if plan.changes_wiring() {
        format!("Add nothing, but take panels out{}", gain(page, advice, plan))
    } else {
        stay(page, advice, plan)
    }
}

/// `both a`, `2 of 3 a (1 on south-face and 1 on west-face)`.
fn added_in_words(page: Page<'_>, advice: &Advice, spare: &SpareAnswer) -> String {
    let some = some_of(spare.used, spare.offered, page.names.label(spare.kind));
    match planes::put_up_in_words(page.names, advice, spare) {
        places if places.is_empty() => some,
        places => format!("{some} ({places})"),
    }
}

/// `: 171 W more at full sun (640 W now, 811 W then), if you rewire 2 strings.`
fn gain(page: Page<'_>, advice: &Advice, plan: &Plan) -> String {
    let scale = page.scale;
    let (now, then) = (advice.today.watts(), plan.state.watts());
    let how = how(page, advice, plan);
    let (passed_now, passed) = (advice.today.passed(), plan.state.passed());
    let lost = scale.difference(passed, passed_now);
    if advice.aim != Aim::Watts && lost > Watts(0.0) && !advice.today.breaches() {
        return format!(
            " for energy, not for watts{how}: at full sun {} less ({} now, {} then).",
            scale.watts(lost),
            scale.watts(passed_now),
            scale.watts(passed)
        );
    }
    if passed_now == now && passed == then {
        return format!(
            ": {} at full sun ({} now, {} then){how}.",
            more_or_less(page, now, then, advice, plan),
            scale.watts(now),
            scale.watts(then)
        );
    }
    if scale.difference(passed_now, passed) == Watts(0.0) {
        return format!(
            " for weak sun only{how}: at full sun the controller passes {} either way (the \
             array would give {} instead of {}).",
            scale.watts(passed),
            scale.watts(then),
            scale.watts(now)
        );
    }
    format!(
        ": {} at full sun after the controller's output limit ({} now, {} then; the array itself \
         gives {}){how}.",
        more_or_less(page, passed_now, passed, advice, plan),
        scale.watts(passed_now),
        scale.watts(passed),
        scale.watts(then)
    )
}

fn more_or_less(page: Page<'_>, now: Watts, then: Watts, advice: &Advice, plan: &Plan) -> String {
    let difference = page.scale.difference(now, then);
    if difference > Watts(0.0) {
        return format!("{} more", page.scale.watts(difference));
    }
    let amount = if difference < Watts(0.0) {
        format!("{} less", page.scale.watts(difference * -1.0))
    } else {
        "no more".to_owned()
    };
    // A plan that gives no more has some other merit: say which.
    if advice.today.breaches() && !plan.state.breaches() {
        format!("{amount} but inside the limits,")
    } else {
        amount
    }
}

/// How much of today's wiring the plan changes, and on which input where there are several.
fn how(page: Page<'_>, advice: &Advice, plan: &Plan) -> String {
    let mut n_kept = 0;
    let mut n_today = 0;
    let mut n_planned = 0;
    for (now, then) in advice.today.inputs.iter().zip(&plan.state.inputs) {
        if !advice.together.contains(&now.at) {
            continue;
        }
        n_today += now.strings.len();
        n_planned += then.strings.len();
        n_kept += super::wiring::unchanged(now, then).into_iter().filter(|&same| same).count();
    }
    let place = if page.names.has_several_inputs() && advice.together.len() == 1 {
        format!(" on {}", page.names.input(advice.planned))
    } else {
        String::new()
    };
    let changed = n_today - n_kept;
    match plan.touch {
        _ if changed == 0 => {
            let new = counted(n_planned - n_kept, "new string", "new strings");
            let beside = if n_today > 0 { " beside today's" } else { "" };
            format!(", as {new}{beside}{place}")
        }
        _ if plan.joints.made == 0 => place,
        Touch::Free => format!(", if you rewire {}{place}", of_today(changed, n_today)),
        _ => format!(", if you add to {}{place}", of_today(changed, n_today)),
    }
}

/// `today's string`, `both strings`, `2 of 4 strings`.
fn of_today(n: usize, all: usize) -> String {
    match (n, all) {
        (1, 1) => "today's string".to_owned(),
        (2, 2) => "both strings".to_owned(),
        (n, all) if n == all => format!("all{GLUE}{n}{GLUE}strings"),
        (n, all) => format!("{n}{GLUE}of{GLUE}{all}{GLUE}strings"),
    }
}

fn stay(page: Page<'_>, advice: &Advice, plan: &Plan) -> String {
    let none_fits = advice.spares.iter().all(|s| s.verdict == Verdict::Breaches);
    let weighed = advice.joint_worth.is_some_and(|w| w > Watts(0.0));
    let joints = match (weighed && !none_fits, advice.spares.is_empty()) {
        (false, _) => "",
        (true, false) => " and its joints",
        (true, true) => " for its joints",
    };
    let why = match (advice.spares.is_empty(), plan.bound.proven) {
        (false, _) if none_fits => "no spare fits inside the limits",
        (false, true) => "no spare is worth its place",
        (false, false) => "no wiring was found in which a spare is worth its place",
        (true, true) if weighed => "no spares are listed, and no other wiring gives enough",
        (true, true) => "no spares are listed, and no other wiring gives more",
        (true, false) => "no spares are listed, and no better wiring was found",
    };
    format!(
        "Leave the array as it is: {why}{joints} ({}).",
        super::watts_and_share(page, &advice.today)
    )
}

/// What a plan brings beyond today of the energy that plans were chosen for, if they were.
fn energy_gain(advice: &Advice, plan: &Plan) -> Option<Yield> {
    let brings = plan.energy?.brings;
    let today = &advice.energy.as_ref()?.today;
    let now = match brings.span {
        Span::Year => today.out(),
        Span::DayOf(_) => today.per_day(today.worst_month()),
    };
    Some(Yield { energy: brings.energy - now, ..brings })
}

/// A plan with fewer joints that gives nearly as much: of the energy sought, or at full sun after the
/// output limit.
pub(super) fn less_work(page: Page<'_>, advice: &Advice, best: &Plan) -> Option<String> {
    let work = |p: &Plan| p.joints.opened + p.joints.made;
    let now = advice.today.passed();
    let gain = |p: &Plan| {
        let watts = || (p.state.passed() - now).watts();
        energy_gain(advice, p).map_or_else(watts, |gain| gain.energy.kilowatt_hours())
    };
    let enough = gain(best) * NEARLY;
    let plan = advice
        .plans
        .iter()
        .filter(|p| gain(p) > 0.0 && gain(p) >= enough && work(p) < work(best))
        .min_by_key(|p| work(p))?;
    let difference = page.scale.difference(now, plan.state.passed());
    Some(format!(
        "{} for less work: {}, {} more ({} opened, {} made).",
        if gain(plan) < gain(best) { "Nearly as much" } else { "Just as much" },
        touch(plan.touch),
        energy_gain(advice, plan).map_or_else(|| page.scale.watts(difference), Yield::in_words),
        counted(plan.joints.opened, "joint", "joints"),
        plan.joints.made
    ))
}
