//! Finds what explains the readings best: single faults, then pairs where none alone will do.

use super::Fault;
use super::built::{FULL, World};
use super::candidates::Family;
use super::trial::{Trial, Tried};

/// A single fault that leaves more than these many standard deviations of its squares unexplained does
/// not explain the readings: pairs are tried.
const POOR_FIT: f64 = 2.0;
/// Most single faults to which a second is added.
const FIRST_OF_PAIR: usize = 14;
/// Most pairs whose shares are refined.
const REFINED: usize = 12;
/// Up to so many families every one is tried as the second of a pair.
const SMALL_SITE: usize = 200;
/// Families of more than these are thinned in pairs.
const FEW: usize = 4;
/// Shares are refined by halving the step between those tried so often.
const HALVINGS: usize = 6;

/// A hypothesis, held against the readings.
#[derive(Debug, Clone)]
pub(super) struct Suspect {
    /// None is a sound array.
    pub(super) faults: Vec<Fault>,
    pub(super) world: World,
    pub(super) tried: Tried,
    /// Squares and what the faults were worth beforehand: smaller is likelier.
    pub(super) score: f64,
}

/// All hypotheses, the likeliest first.
pub(super) fn search(trial: &Trial<'_>, families: &[Family]) -> Vec<Suspect> {
    let sound = World::sound(trial.installation);
    let singles: Vec<Suspect> =
        families.iter().filter_map(|f| best_of(trial, &[], &sound, f)).collect();
    let mut all: Vec<Suspect> =
        std::iter::once(suspect(trial, Vec::new(), sound.clone())).chain(singles).collect();
    sort(&mut all);
    let n = trial.n_readings() as f64;
    let enough = n + POOR_FIT * (2.0 * n).sqrt();
    if all[0].tried.squares > enough {
        let firsts: Vec<Suspect> =
            all.iter().filter(|s| !s.faults.is_empty()).take(FIRST_OF_PAIR).cloned().collect();
        let seconds = worth_a_second_look(families, &all);
        let mut pairs = Vec::new();
        for (k, first) in firsts.iter().enumerate() {
            for family in &seconds {
                let Some(second) = family.first() else { continue };
                // Each pair once, and nothing twice.
                let again = firsts[..=k].iter().any(|f| same_family(&f.faults[0], second));
                if !again {
                    let few = few_of(family);
                    pairs.extend(coarse_best_of(trial, &first.faults, &first.world, &few));
                }
            }
        }
        sort(&mut pairs);
        for pair in pairs.iter_mut().take(REFINED) {
            refine(trial, pair, 1);
            refine(trial, pair, 0);
        }
        all.extend(pairs);
        sort(&mut all);
    }
    all
}

/// The families that may be the second of a pair: all on a small site; on a large one those that explain
/// something by themselves already.
fn worth_a_second_look<'f>(families: &'f [Family], singles: &[Suspect]) -> Vec<&'f Family> {
    let sound = singles.iter().find(|s| s.faults.is_empty());
    let sound = sound.map_or(f64::INFINITY, |s| s.tried.squares);
    let explains = |family: &&Family| {
        let own =
            singles.iter().find(|s| s.faults.len() == 1 && same_family(&s.faults[0], &family[0]));
        own.is_some_and(|s| s.tried.squares < sound - 1.0)
    };
    if families.len() <= SMALL_SITE {
        families.iter().collect()
    } else {
        families.iter().filter(explains).collect()
    }
}

/// Are two faults the same but for a share?
pub(super) fn same_family(a: &Fault, b: &Fault) -> bool {
    a == b || a.with_share(FULL).is_some_and(|a| b.with_share(FULL) == Some(a))
}

fn sort(suspects: &mut [Suspect]) {
    suspects.sort_by(|a, b| a.score.total_cmp(&b.score));
}

fn suspect(trial: &Trial<'_>, faults: Vec<Fault>, world: World) -> Suspect {
    let tried = trial.hold(&world);
    let prior: f64 = faults.iter().map(|c| c.prior().ln()).sum();
    let score = tried.squares + tried.width - 2.0 * prior;
    Suspect { score, faults, world, tried }
}

/// A family, or where it is large every third of it.
fn few_of(family: &[Fault]) -> Vec<Fault> {
    let step = if family.len() > FEW { 3 } else { 1 };
    family.iter().skip(step / 2).step_by(step).cloned().collect()
}

/// The best of a family, with its share refined.
fn best_of(
    trial: &Trial<'_>,
    before: &[Fault],
    world: &World,
    family: &[Fault],
) -> Option<Suspect> {
    let mut best = coarse_best_of(trial, before, world, family)?;
    let last = best.faults.len() - 1;
    refine(trial, &mut best, last);
    Some(best)
}

/// The best of a family, befallen on top of what is there already.
fn coarse_best_of(
    trial: &Trial<'_>,
    before: &[Fault],
    world: &World,
    family: &[Fault],
) -> Option<Suspect> {
    let of = |fault: &Fault| {
        let world = fault.befall(world)?;
        Some(suspect(trial, before.iter().chain([fault]).cloned().collect(), world))
    };
    let tried = family.iter().filter_map(of);
    tried.reduce(|a, b| if b.score < a.score { b } else { a })
}

/// Moves the share of one fault to where it fits best, if it has one.
fn refine(trial: &Trial<'_>, found: &mut Suspect, fault: usize) {
    let Some(mut share) = found.faults[fault].share() else { return };
    let mut step: u16 = if found.faults.len() > 1 { 150 } else { 50 };
    for _ in 0..HALVINGS {
        for moved in [share.saturating_sub(step), share + step] {
            if moved == 0 || (share < FULL) != (moved < FULL) {
                continue;
            }
            let mut faults = found.faults.clone();
            let Some(other) = faults[fault].with_share(moved) else { return };
            faults[fault] = other;
            let world = faults
                .iter()
                .try_fold(World::sound(trial.installation), |world, fault| fault.befall(&world));
            let Some(world) = world else { continue };
            let other = suspect(trial, faults, world);
            if other.score < found.score {
                (*found, share) = (other, moved);
                break;
            }
        }
        step /= 2;
    }
}
