//! One-line wiring: today above, the plan below, to the same scale.
//!
//! A string is a row that reads from its minus end to its plus end, as the current flows to the
//! battery. Places count from the plus end, so that 1.1 stands next to the plus bus.

mod balance;
mod fold;
mod joints;
mod measure;
mod panel;
mod rows;
mod scene;

use super::letters::{shortened, width_as};
use super::svg::{Canvas, Paint, Type, Weight};
use super::{Sketch, When, planned_input};
use crate::model::Installation;
use crate::plan::{Advice, Plan, State};
use crate::report::names::Names;
use crate::report::numbers::{WattScale, amps, volts};
use crate::report::words::counted;
use measure::{Fitted, Measures};

/// Draws one of both alone, to the scale in which they stand together; `None` for a plan that changes
/// nothing.
pub(super) fn alone(
    installation: &Installation,
    advice: &Advice,
    when: When,
    paint: Paint,
) -> Option<Sketch> {
    let (now, then) = scene::scenes(installation, advice);
    let plan = advice.best.map(|b| &advice.plans[b]);
    let (head, title, alternative) = match when {
        When::Today => (
            head(installation, advice, "Today", &advice.today),
            "Wiring today",
            format!("One-line wiring diagram as it stands: {}.", tally(advice, &advice.today)),
        ),
        When::Planned => {
            let (plan, _) = (plan?, then.as_ref()?);
            (
                head(installation, advice, "Planned", &plan.state),
                "Planned wiring",
                format!(
                    "One-line wiring diagram of the plan: {}. Panels that are new or moved are \
                     marked.",
                    tally(advice, &plan.state)
                ),
            )
        }
    };
    let scenes: Vec<_> = std::iter::once(&now).chain(&then).collect();
    let widest = width_as(&head, Weight::Bold) + 20.0;
    let (measures, fitted) = measure::fit(installation, &scenes, widest);
    let scene = match when {
        When::Today => fitted.first()?,
        When::Planned => fitted.get(1)?,
    };
    let mut canvas = Canvas::new(paint);
    canvas.text((10.0, 20.0), &head, Type::START.bold());
    let bottom = one(&mut canvas, &measures, installation, advice, scene, 30.0) + 10.0;
    let size = (measures.width, bottom);
    Some(Sketch { title: title.into(), alternative, size, canvas })
}

/// Draws both, with the words that go with them.
pub(super) fn sketch(installation: &Installation, advice: &Advice, paint: Paint) -> Sketch {
    let (now, then) = scene::scenes(installation, advice);
    let plan = advice.best.map(|b| &advice.plans[b]);
    let mut heads = vec![head(installation, advice, "Today", &advice.today)];
    if let (Some(plan), Some(_)) = (plan, &then) {
        heads.push(head(installation, advice, "Planned", &plan.state));
    }
    let widest = heads.iter().map(|h| width_as(h, Weight::Bold)).fold(0.0, f64::max);
    let scenes: Vec<_> = std::iter::once(&now).chain(&then).collect();
    let (measures, fitted) = measure::fit(installation, &scenes, widest + 20.0);
    let mut canvas = Canvas::new(paint);
    let mut y = 0.0;
    for (scene, head) in fitted.iter().zip(&heads) {
        canvas.text((10.0, y + 20.0), head, Type::START.bold());
        y = one(&mut canvas, &measures, installation, advice, scene, y + 30.0) + 10.0;
    }
    Sketch {
        title: match then {
            Some(_) => "Wiring today and as planned".into(),
            None => "Wiring today".into(),
        },
        alternative: alternative(advice, plan.filter(|_| then.is_some())),
        size: (measures.width, y),
        canvas,
    }
}

fn one(
    canvas: &mut Canvas,
    measures: &Measures<'_>,
    installation: &Installation,
    advice: &Advice,
    scene: &Fitted,
    top: f64,
) -> f64 {
    if scene.rows.is_empty() {
        canvas.text((10.0, top + 13.0), "nothing wired", Type::START);
        return top + 30.0;
    }
    let buses = rows::draw_rows(canvas, measures, scene, top);
    let controller = installation.controller(advice.planned);
    let bottom = balance::draw_balance(canvas, measures, buses, controller);
    rows::draw_out(canvas, measures, &scene.out, bottom)
}

/// `Today: 640 W at 36.8 V and 17.4 A`.
fn head(installation: &Installation, advice: &Advice, when: &str, state: &State) -> String {
    let names = Names(installation);
    let input = match names.has_several_inputs() {
        true => format!(", {}", shortened(&names.input(advice.planned), 300.0)),
        false => String::new(),
    };
    match planned_input(advice, state) {
        Some(i) if !i.strings.is_empty() => {
            let watts = WattScale::for_label(i.label).watts(i.power);
            format!("{when}{input}: {watts} at {} and {}", volts(i.v), amps(i.i))
        }
        _ => format!("{when}{input}"),
    }
}

fn alternative(advice: &Advice, plan: Option<&Plan>) -> String {
    let wiring = |state| tally(advice, state);
    let today = wiring(&advice.today);
    match plan {
        None => format!("One-line wiring diagram as it stands: {today}."),
        Some(plan) => format!(
            "One-line wiring diagrams, to the same scale: today {today}, as planned {}; {} are \
             opened and {} made. Panels that are new or moved are marked.",
            wiring(&plan.state),
            counted(plan.joints.opened, "joint", "joints"),
            plan.joints.made,
        ),
    }
}

/// `4 panels in 2 strings`.
fn tally(advice: &Advice, state: &State) -> String {
    let input = planned_input(advice, state);
    let n_strings = input.map_or(0, |i| i.strings.len());
    let n_panels: usize =
        input.map_or(0, |i| i.strings.iter().map(|s| s.wiring.panels().count()).sum());
    format!(
        "{} in {}",
        counted(n_panels, "panel", "panels"),
        counted(n_strings, "string", "strings")
    )
}
