//! From hypotheses to guesses: those that no reading at hand tells apart stand together.

use super::Fault;
use super::search::{Suspect, same_family};
use super::trial::Trial;

/// Two hypotheses whose readings would differ by less than these squares cannot be told apart: they
/// would change places in more than one of four repetitions.
pub(super) const CANNOT_TELL: f64 = 1.0;
/// Guesses less likely than this share of all are not worth saying.
const LEAST_WEIGHT: f64 = 0.01;
/// Most guesses, and most others that stand beside one.
const MOST_GUESSES: usize = 5;
const MOST_ALIKE: usize = 6;

/// What may be wrong, likeliest first.
pub(super) struct Group {
    /// Index of the likeliest among the hypotheses.
    pub(super) leader: usize,
    /// Others that these readings cannot tell from it.
    pub(super) alike: Vec<usize>,
    /// Share of all that was weighed.
    pub(super) weight: f64,
}

/// Groups hypotheses that stand in order, the likeliest first.
pub(super) fn group(trial: &Trial<'_>, suspects: &[Suspect]) -> Vec<Group> {
    let weights = weights(suspects);
    let mut groups: Vec<Group> = Vec::new();
    for (k, suspect) in suspects.iter().enumerate() {
        // Nothing that comes later can weigh enough.
        let rest: f64 = weights[k..].iter().sum();
        if rest < 0.1 * LEAST_WEIGHT {
            break;
        }
        let home = groups.iter().position(|g| cannot_tell(trial, &suspects[g.leader], suspect));
        match home {
            Some(at) => {
                let group = &mut groups[at];
                group.weight += weights[k];
                if says_more(&suspects[group.leader], suspect) {
                    group.alike.push(k);
                }
            }
            None if weights[k] >= 0.1 * LEAST_WEIGHT || groups.is_empty() => {
                groups.push(Group { leader: k, alike: Vec::new(), weight: weights[k] });
            }
            None => {}
        }
    }
    groups.sort_by(|a, b| b.weight.total_cmp(&a.weight));
    groups.retain(|g| g.weight >= LEAST_WEIGHT);
    groups.truncate(MOST_GUESSES);
    for group in &mut groups {
        group.alike.truncate(MOST_ALIKE);
    }
    groups
}

/// Shares of all hypotheses; they add up to one.
fn weights(suspects: &[Suspect]) -> Vec<f64> {
    let best = suspects[0].score;
    let raw: Vec<f64> = suspects.iter().map(|s| (-0.5 * (s.score - best)).exp()).collect();
    let sum: f64 = raw.iter().sum();
    raw.iter().map(|w| w / sum).collect()
}

fn cannot_tell(trial: &Trial<'_>, a: &Suspect, b: &Suspect) -> bool {
    // A wrong reading can be read again, which tells it from everything.
    if a.world.doubted != b.world.doubted {
        return false;
    }
    trial.apart((&a.world, &a.tried), (&b.world, &b.tried)) < CANNOT_TELL
}

/// Is the second another explanation, and not the first with something added that shows nowhere?
fn says_more(leader: &Suspect, other: &Suspect) -> bool {
    let holds = |c: &Fault| other.faults.iter().any(|o| same_family(c, o));
    !leader.faults.is_empty() && !(leader.faults.iter().all(holds))
}
