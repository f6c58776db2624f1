//! Inputs that share one output: a controller clips what all of them give together.

use super::limits::{above, clipped_check};
use super::{CheckRule, State};
use crate::model::Installation;
use crate::units::Watts;

/// Holds each output's limit against the sum of its inputs, where more than one of them is wired.
///
/// What is passed is told of each input in proportion to what it gives; the check stands once, with
/// the first of them.
pub(super) fn share_outputs(installation: &Installation, mut state: State) -> State {
    for (controller, its) in installation.controllers.iter().enumerate() {
        let Some(limit) = its.clip_limit() else { continue };
        let mine = |input: &&super::InputState| {
            input.at.controller == controller && !input.strings.is_empty()
        };
        let sharing: Vec<_> = state.inputs.iter().filter(mine).map(|i| i.at).collect();
        let [first, _, ..] = sharing[..] else { continue };
        let power: Watts = state.inputs.iter().filter(mine).map(|i| i.power).sum();
        for input in state.inputs.iter_mut().filter(|i| sharing.contains(&i.at)) {
            input.clipped = above(power.watts(), limit.watts())
                .then(|| input.power * (limit.watts() / power.watts()));
        }
        state.checks.retain(|c| {
            let shared = c.rule == CheckRule::ChargeLimit && c.at.controller == controller;
            !shared || c.at == first
        });
        for check in &mut state.checks {
            if check.rule == CheckRule::ChargeLimit && check.at == first {
                *check = clipped_check(first, power, limit);
            }
        }
    }
    state
}
