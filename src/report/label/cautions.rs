//! What to be careful of with a meter on a panel (common practice, no source, in our own words).

use crate::report::numbers::{fixed, plain};
use crate::units::Amps;

/// Light at the edge of a cloud, against full sun: what the shorted panel may give for a moment.
/// (common practice, no source)
const CLOUD_EDGE: f64 = 1.25;

const BY_ITSELF: &str = "Measure one panel by itself: out of the array, nothing else on its leads. Never part a connector \
    under load: open the disconnect and prove zero amps with a clamp meter first.";
const SWITCH: &str = "Short the panel through a DC-rated switch or with the panel covered, never by touching bare ends: a DC \
    arc does not put itself out. Break the short the same way.";
const SOCKET: &str = "Put the red lead back into the volt socket before you measure volts: in the ampere socket the meter \
    is a short across the panel.";
const BREAKAGE: &str = "Leave cracked or wet panels alone. Above 60 V DC (35 V in the wet) a touch can kill. A load resistor gets \
    hot enough to burn.";
const ESTIMATE: &str = "This is an estimate, no maker's label: it says nothing of fuse, system voltage, listing or \
    insulation. Have the insulation tested before the panel goes on or near a building.";
const LAST_WORD: &str = "Local code and a licensed person have the last word.";

/// The cautions, the meter's range first. `i_sc` is the most that the panel may give at standard test conditions.
pub(super) fn cautions(i_sc: Option<Amps>, meter_range: Amps) -> Vec<String> {
    let mut texts = vec![range(i_sc, meter_range)];
    texts.extend([BY_ITSELF, SWITCH, SOCKET, BREAKAGE, ESTIMATE, LAST_WORD].map(str::to_owned));
    texts
}

/// May the panel's short-circuit current pass the meter?
fn range(i_sc: Option<Amps>, meter_range: Amps) -> String {
    let limit = plain(meter_range.amps(), 1);
    let Some(i_sc) = i_sc else {
        return format!(
            "The meter's current range and its fuse end at {limit} A (look it up: many end at 10 A). A large panel gives 9 to 18 A: \
             then use a DC clamp meter, or measure in weaker light. A blown fuse reads 0 A and looks like a dead panel."
        );
    };
    let most = i_sc * CLOUD_EDGE;
    if most > meter_range {
        format!(
            "This panel may give {} A in bright sun beside a cloud, more than the meter's {limit} A: use a DC clamp meter, \
             or measure in weaker light. Above its range the meter's fuse blows, and a meter without one burns.",
            fixed(most.amps(), 1)
        )
    } else {
        format!(
            "This panel may give {} A in bright sun beside a cloud; the meter's range is taken to end at {limit} A. \
             Look it up on the meter, its fuse too.",
            fixed(most.amps(), 1)
        )
    }
}
