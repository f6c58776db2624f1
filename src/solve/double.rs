//! A broken search in the place of the true one: for tests of what stands behind it.

use std::cell::RefCell;

use super::branch::Outcome;
use super::problem::Problem;

type Damage = Box<dyn FnMut(&Problem, &mut Outcome)>;

thread_local! {
    static DAMAGE: RefCell<Option<Damage>> = const { RefCell::new(None) };
}

/// Does work in which every answer of [`maximise`](super::maximise) on this thread is damaged first.
pub(crate) fn with_broken_search<T>(
    damage: impl FnMut(&Problem, &mut Outcome) + 'static,
    work: impl FnOnce() -> T,
) -> T {
    DAMAGE.set(Some(Box::new(damage)));
    let done = work();
    DAMAGE.set(None);
    done
}

/// An answer as the broken search gives it; the true one where none is broken.
pub(super) fn damaged(problem: &Problem, mut outcome: Outcome) -> Outcome {
    // Taken out meanwhile, so that damage may search by itself.
    if let Some(mut damage) = DAMAGE.take() {
        damage(problem, &mut outcome);
        DAMAGE.set(Some(damage));
    }
    outcome
}
