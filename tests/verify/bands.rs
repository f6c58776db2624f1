//! Sound arrays pass: how often every reading lies in its band, and nothing is found wrong.

use sungraft::model::Spot;
use sungraft::plan::Place;
use sungraft::planner;

use crate::random::Random;
use crate::sites::{Sort, site};
use crate::world::{Real, Taken};

/// Simulated arrays: of every sort of site the same number.
const ARRAYS: usize = 240;

#[test]
fn sound_arrays_lie_in_their_bands_and_nothing_is_found_wrong() {
    let mut rng = Random::seeded(77);
    let (mut all_inside, mut nothing_wrong) = (0, 0);
    // Open volts, short-circuit amps, volts at work, amps at work: inside, of all.
    let mut inside = [(0, 0); 4];
    for k in 0..ARRAYS {
        let sort = [Sort::Any, Sort::Mixed, Sort::TwoInputs, Sort::Blocks][k % 4];
        let site = site(&mut rng, sort);
        let real = Real::sound(&mut rng, &site);
        let readings = real.read(&mut rng, &site, Taken::All).expect("a sound array is read");
        let found = planner::verify(&site, &readings).expect("labels have curves");
        all_inside += usize::from(found.n_outside() == 0);
        nothing_wrong += usize::from(found.guesses[0].faults.is_empty());
        for r in found.readings() {
            let of = match r.spot {
                Spot::StringVoc(_) | Spot::OpenVolts => 0,
                Spot::StringIsc(_) => 1,
                Spot::WorkVolts => 2,
                Spot::StringAmps(_) | Spot::WorkAmps => 3,
            };
            inside[of].0 += usize::from(r.place == Place::Inside);
            inside[of].1 += 1;
        }
    }
    let at_least = |(n, of): (usize, usize), percent: usize| n * 100 >= of * percent;
    assert!(
        at_least((nothing_wrong, ARRAYS), 95),
        "{nothing_wrong} of {ARRAYS}; all inside {all_inside}"
    );
    assert!(inside.into_iter().all(|of| at_least(of, 95)), "{inside:?}");
    assert!(at_least((all_inside, ARRAYS), 94), "{all_inside} of {ARRAYS}; {inside:?}");
}
