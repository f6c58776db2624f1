//! The curve of worth in words: what the first panel of a kind adds, the second, and so on.

use super::layout::GLUE;
use super::numbers::{WattScale, fixed, rounded};
use crate::plan::WorthPoint;
use crate::units::Watts;

const ORDINALS: [&str; 12] = [
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth",
];
const CARDINALS: [&str; 6] = ["none", "one", "two", "three", "four", "five"];

/// Panels that follow each other and add the same, as it is shown.
struct Run {
    /// The first of them, from 1.
    from: usize,
    to: usize,
    /// What each adds, as it is shown; `None` where it is not told apart from nothing.
    adds: Option<f64>,
    /// The widest gap of their steps, as a fraction of the watts.
    gap: f64,
}

/// In what the steps are told.
#[derive(Debug, Clone, Copy)]
enum Amounts {
    Watts(WattScale),
    /// Kilowatt-hours with so many decimals.
    Energy(usize),
}

/// Decimals for the energy of a whole site and what adds to it.
pub(super) fn energy_decimals(most_kwh: f64) -> usize {
    match most_kwh {
        x if x < 20.0 => 2,
        x if x < 300.0 => 1,
        _ => 0,
    }
}

impl Amounts {
    /// What a point adds, as it is shown.
    fn step(self, point: &WorthPoint) -> Option<f64> {
        match self {
            Self::Watts(scale) => point.step.map(|step| scale.difference(Watts(0.0), step).watts()),
            Self::Energy(decimals) => {
                let places = i32::try_from(decimals).expect("a handful of decimals");
                let step = point.energy?.step?.energy;
                Some(rounded(step.kilowatt_hours(), places))
            }
        }
    }

    fn said(self, amount: f64) -> String {
        match self {
            Self::Watts(scale) => scale.watts(Watts(amount)),
            Self::Energy(decimals) => format!("{}{GLUE}kWh", fixed(amount, decimals)),
        }
    }
}

impl Run {
    fn adds_nothing(&self) -> bool {
        self.adds == Some(0.0)
    }
}

/// `first adds 82 W, second 89 W`; `one alone adds nothing, two add 150 W`; `each adds 200 W`.
///
/// Empty where the curve has no step, or its one step only repeats what the kind adds.
pub(super) fn in_words(worth: &[WorthPoint], scale: WattScale) -> String {
    let scale = match worth.iter().filter_map(|p| p.energy).map(|e| e.brings.energy).next_back() {
        None => Amounts::Watts(scale),
        Some(most) => Amounts::Energy(energy_decimals(most.kilowatt_hours())),
    };
    let runs = runs(worth, scale);
    match &runs[..] {
        [] => String::new(),
        [only] if only.to == 1 && only.adds.is_some() => String::new(),
        [only] if only.to > 1 && only.adds.is_some_and(|x| x > 0.0) => {
            format!("each adds {}", amount(only, scale))
        }
        [idle, gain, rest @ ..] if idle.adds_nothing() && gain.adds.is_some() => {
            together(idle, gain, rest, scale)
        }
        all => one_by_one(all, scale),
    }
}

/// Panels that only pay together: `one alone adds nothing, two add 150 W`.
fn together(idle: &Run, gain: &Run, rest: &[Run], scale: Amounts) -> String {
    let few = match idle.to {
        1 => "one alone adds nothing".to_owned(),
        n => format!("up to {} add nothing", cardinal(n)),
    };
    let amount_of_all = gain.adds.map_or_else(String::new, |x| scale.said(x));
    let pair = format!("{few}, {} add {amount_of_all}", cardinal(gain.from));
    let left = Run { from: gain.from + 1, ..*gain };
    let more: Vec<&Run> = (left.from <= left.to).then_some(&left).into_iter().chain(rest).collect();
    more.into_iter().fold(pair, |text, run| {
        format!("{text}, {} {}{}", named(run), verb(run), amount(run, scale))
    })
}

fn one_by_one(runs: &[Run], scale: Amounts) -> String {
    let parts = runs.iter().enumerate().map(|(i, run)| {
        // Said once: the others follow it.
        let verb = if i == 0 { verb(run) } else { "" };
        format!("{} {verb}{}", named(run), amount(run, scale))
    });
    parts.collect::<Vec<_>>().join(", ")
}

/// `first`, `second and third`, `fourth to seventh`.
fn named(run: &Run) -> String {
    let ordinal = |n: usize| ORDINALS.get(n - 1).map_or_else(|| format!("{n}th"), |s| (*s).into());
    match run.to - run.from {
        0 => ordinal(run.from),
        1 => format!("{} and {}", ordinal(run.from), ordinal(run.to)),
        _ => format!("{} to {}", ordinal(run.from), ordinal(run.to)),
    }
}

fn verb(run: &Run) -> &'static str {
    match (run.adds, run.to - run.from) {
        (None, _) => "",
        (Some(_), 0) => "adds ",
        (Some(_), _) => "add ",
    }
}

fn amount(run: &Run, scale: Amounts) -> String {
    match run.adds {
        // Rounded up, so that the proof never claims more than it has.
        None => {
            let percent = fixed((run.gap * 1e4 - 1e-9).ceil() / 100.0, 2);
            format!("not told apart from nothing ({percent}{GLUE}% gap)")
        }
        Some(0.0) => "nothing".to_owned(),
        Some(x) if run.to > run.from && run.from > 1 => format!("{} each", scale.said(x)),
        Some(x) => scale.said(x),
    }
}

fn cardinal(n: usize) -> String {
    CARDINALS.get(n).map_or_else(|| n.to_string(), |s| (*s).to_owned())
}

fn runs(worth: &[WorthPoint], scale: Amounts) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for pair in worth.windows(2) {
        let (before, point) = (&pair[0], &pair[1]);
        // As shown, so that equal figures fold.
        let adds = scale.step(point);
        let open = |p: &WorthPoint| (p.bound.watts() - p.watts.watts()).max(0.0);
        let gap = (open(before) + open(point)) / point.watts.watts().max(1.0);
        match runs.last_mut().filter(|run| run.adds == adds) {
            Some(run) => {
                run.to = point.panels;
                run.gap = run.gap.max(gap);
            }
            None => runs.push(Run { from: point.panels, to: point.panels, adds, gap }),
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A curve from its steps; `None` is a step that is hidden by a gap of 0.2 W at both ends.
    fn said(steps: &[Option<f64>]) -> String {
        let mut watts = 1000.0;
        let mut curve = vec![WorthPoint {
            panels: 0,
            watts: Watts(watts),
            bound: Watts(watts + 0.2),
            step: None,
            energy: None,
        }];
        for (i, step) in steps.iter().enumerate() {
            watts += step.unwrap_or(0.1);
            curve.push(WorthPoint {
                panels: i + 1,
                watts: Watts(watts),
                bound: Watts(watts + 0.2),
                step: step.map(Watts),
                energy: None,
            });
        }
        in_words(&curve, WattScale::for_label(Watts(1000.0))).replace(GLUE, " ")
    }

    #[test]
    fn each_panel_is_told_in_its_turn() {
        assert_eq!(said(&[Some(82.0), Some(89.4)]), "first adds 82 W, second 89 W");
        assert_eq!(
            said(&[Some(82.0), Some(40.0), Some(40.3), Some(0.0)]),
            "first adds 82 W, second and third 40 W each, fourth nothing"
        );
        assert_eq!(said(&[Some(75.0), Some(75.2), Some(75.1)]), "each adds 75 W");
    }

    #[test]
    fn panels_that_pay_only_together_are_not_called_useless() {
        assert_eq!(said(&[Some(0.0), Some(150.0)]), "one alone adds nothing, two add 150 W");
        assert_eq!(
            said(&[Some(0.0), Some(0.0), Some(600.0), Some(2.0), Some(0.0)]),
            "up to two add nothing, three add 600 W, fourth adds 2 W, fifth adds nothing"
        );
    }

    #[test]
    fn a_step_inside_the_gaps_is_not_claimed() {
        assert_eq!(
            said(&[Some(82.0), None]),
            "first adds 82 W, second not told apart from nothing (0.04 % gap)"
        );
        assert_eq!(said(&[None]), "first not told apart from nothing (0.04 % gap)");
    }

    #[test]
    fn one_panel_alone_needs_no_curve() {
        assert_eq!(said(&[Some(82.0)]), "");
        assert_eq!(in_words(&[], WattScale::for_label(Watts(1000.0))), "");
    }
}
