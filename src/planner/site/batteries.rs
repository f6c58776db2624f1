//! What of each input's current a battery's limit counts.
//!
//! A controller pushes the smaller of its own limit and what its panels allow. With one input that is
//! a figure of this input alone. With several it is the smaller of its limit and a sum: so two cases
//! are planned, one in which the limit is counted, whatever is wired, and one in which the sum is. A
//! wiring that keeps the battery's limit keeps it in one of them, and none keeps it in a case that
//! does not really.

use crate::model::InputRef;
use crate::planner::charging::pushed;

use super::inputs::Input;
use super::rows::Stock;

/// Controllers with several inputs of which both cases are planned; of any more the limit is counted.
const MOST_TOLD_APART: usize = 3;

/// One case.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Case {
    /// For each input the most that is counted of what it can push; `None`: nothing is. \[A\]
    pub pushes: Vec<Option<f64>>,
    /// What the battery takes of that; `None`: anything. \[A\]
    pub limit: Option<f64>,
}

/// A controller with several inputs.
struct Sharing {
    controller: usize,
    /// Its own limit. \[A\]
    most: f64,
    /// What its inputs that are not planned can push. \[A\]
    standing: f64,
}

/// The cases of a stock; one where no battery has a limit.
pub(super) fn cases(stock: &Stock, inputs: &[Input]) -> Vec<Case> {
    let Some(limit) = stock.battery else {
        return vec![Case { pushes: vec![None; inputs.len()], limit: None }];
    };
    let sharing = sharing(inputs);
    let told_apart = sharing.len().min(MOST_TOLD_APART);
    (0..1_usize << told_apart)
        .filter_map(|mask| {
            let full = |s: usize| s >= told_apart || mask >> s & 1 == 1;
            case(limit, inputs, &sharing, full)
        })
        .collect()
}

/// The case in which the limit of some controllers is counted; `None` where one of them has none.
fn case(
    limit: f64,
    inputs: &[Input],
    sharing: &[Sharing],
    full: impl Fn(usize) -> bool,
) -> Option<Case> {
    let mut limit = limit;
    for (s, its) in sharing.iter().enumerate() {
        limit -= if full(s) { its.most } else { its.standing };
    }
    let push = |input: &Input| {
        let bench = input.session.bench;
        let at = bench.at.controller;
        if !bench.installation.charges_limited_battery(at) {
            return None;
        }
        match sharing.iter().position(|s| s.controller == at) {
            Some(s) => (!full(s)).then_some(f64::INFINITY),
            None => Some(most_of(input)),
        }
    };
    let pushes = inputs.iter().map(push).collect();
    limit.is_finite().then_some(Case { pushes, limit: Some(limit) })
}

fn most_of(input: &Input) -> f64 {
    input.session.bench.controller().charge_limit().map_or(f64::INFINITY, |a| a.amps())
}

/// Controllers with several inputs that charge the limited battery, some of whose inputs are planned.
fn sharing(inputs: &[Input]) -> Vec<Sharing> {
    let mut found: Vec<Sharing> = Vec::new();
    for input in inputs {
        let bench = input.session.bench;
        let (installation, controller) = (bench.installation, bench.at.controller);
        let several = bench.controller().n_inputs > 1;
        let known = found.iter().any(|s| s.controller == controller);
        if !several || known || !installation.charges_limited_battery(controller) {
            continue;
        }
        let planned = |at: InputRef| inputs.iter().any(|i| i.session.bench.at == at);
        let standing = installation
            .installed
            .iter()
            .filter(|w| w.at.controller == controller && !planned(w.at))
            .map(|w| pushed(installation, w.at, &w.array).amps())
            .sum();
        found.push(Sharing { controller, most: most_of(input), standing });
    }
    found
}
