//! The first page: what to do, what it brings, how it is wired, what to be careful of.

use super::blocks::{Block, Drawing, KeyFigure};
use super::{Subject, parts};
use crate::energy::YearEnergy;
use crate::plan::{Advice, Part, State};
use crate::report::drawing::{self, When};
use crate::report::layout::GLUE;
use crate::report::numbers::share;
use crate::report::table::energy::{self, a_day};
use crate::report::table::{money, verdict};
use crate::report::words::{self, counted};
use crate::units::Watts;

/// Cautions on the first page; all of them stand where the work begins.
const FIRST_CAUTIONS: usize = 4;

/// Everything that the owner needs to decide.
pub(super) fn blocks(subject: Subject<'_>, list: &[Part]) -> Vec<Block> {
    let said = verdict::said(subject.page, subject.advice);
    let mut beside = Vec::new();
    beside.extend(said.danger.map(|d| Block::Warning("Before anything else".into(), vec![d])));
    beside.push(Block::Lead(said.verdict));
    beside.push(Block::Key(figures(subject)));
    let others = (subject.advice.together.len() > 1)
        .then(|| "Drawn here is the input that changes most; all stand under Wiring.".to_owned());
    let points: Vec<String> = said
        .beside
        .into_iter()
        .chain(energy::in_words(subject.advice))
        .chain(money::sentence(subject.page, subject.advice))
        .chain(others)
        .collect();
    if !points.is_empty() {
        beside.push(Block::List(points));
    }
    beside.extend(parts::in_short(list));
    let first = Block::Beside(drawn(subject), beside);
    std::iter::once(first).chain(careful(subject)).collect()
}

/// The input on whose wiring most watts hang: what the plan changes most, or the first.
fn drawn(subject: Subject<'_>) -> Drawing {
    let installation = subject.page.names.0;
    let gain = |about: &Advice| {
        let power = |state: &State| {
            let input = state.inputs.iter().find(|input| input.at == about.planned);
            input.map_or(0.0, |input| input.power.watts())
        };
        (power(subject.state()) - power(&subject.advice.today)).abs()
    };
    let of_inputs = subject.advice.by_input();
    let most = of_inputs.iter().map(gain).fold(0.0, f64::max);
    let about = of_inputs.iter().find(|about| gain(about) >= most);
    let about = about.expect("an answer is about an input at least");
    drawing::wiring_alone(installation, about, When::Planned)
        .or_else(|| drawing::wiring_alone(installation, about, When::Today))
        .expect("today's wiring can always be drawn")
}

/// What comes out now and then, and what it costs in work.
fn figures(subject: Subject<'_>) -> Vec<KeyFigure> {
    let (scale, today) = (subject.page.scale, &subject.advice.today);
    let key = |figure: String, of: String| KeyFigure { figure, of };
    let Some(plan) = subject.change() else {
        let mut figures = vec![
            key(scale.watts(today.passed()), "at full sun, as it stands".into()),
            key(share(today.utilization()), "of the label watts of the panels wired".into()),
        ];
        figures.extend(worst_month(subject));
        return figures;
    };
    let added = scale.difference(today.passed(), plan.state.passed());
    let sign = if added == Watts(0.0) {
        "no more".to_owned()
    } else {
        scale.signed(added) + &format!("{GLUE}W")
    };
    let now = scale.watts(today.passed());
    let opened = counted(plan.joints.opened, "joint opened", "joints opened");
    let joints = || {
        key(
            format!("{}{GLUE}joints", plan.joints.opened + plan.joints.made),
            format!("to work on: {opened}, {}{GLUE}made", plan.joints.made),
        )
    };
    vec![
        key(scale.watts(plan.state.passed()), format!("at full sun; now {now}: {sign}")),
        worst_month(subject).unwrap_or_else(joints),
    ]
}

/// What a day brings in the month that a person must get through, where the sun is known.
fn worst_month(subject: Subject<'_>) -> Option<KeyFigure> {
    let energy = subject.advice.energy.as_ref()?;
    let now = &energy.today;
    let then = match subject.change() {
        Some(_) => subject.advice.best.map_or(now, |b| &energy.plans[b]),
        None => now,
    };
    let worst = then.worst_month();
    let day = |year: &YearEnergy| format!("{}{GLUE}kWh", a_day(year.per_day(worst)));
    let beside =
        if subject.change().is_some() { format!("; now {}", day(now)) } else { String::new() };
    let of = format!("on a day of {}, the worst month{beside}", words::month(worst));
    Some(KeyFigure { figure: day(then), of })
}

/// The most pressing cautions, and the last word.
fn careful(subject: Subject<'_>) -> Option<Block> {
    let cautions = &subject.advice.cautions;
    let mut shown: Vec<String> =
        cautions.iter().take(FIRST_CAUTIONS).map(|&c| c.to_owned()).collect();
    if let Some(last) = cautions.last().filter(|_| cautions.len() > FIRST_CAUTIONS) {
        shown.push((*last).to_owned());
    }
    (!shown.is_empty()).then(|| Block::Warning("Be careful".into(), shown))
}
