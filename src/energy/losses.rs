//! What is lost between the sun on the panels and the battery.

use crate::model::{Controller, Loss, SunData};

/// Share of the array's power that a controller passes on where the file does not say it.
///
/// Common practice for good trackers at half load, no source.
pub const USUAL_EFFICIENCY: f64 = 0.97;

/// What is taken off where the file has no list of its own: name and share.
///
/// - dirt: 3 to 4 % of a year's energy over the world (K. Ilse et al., Joule 3(10), 2019,
///   doi:10.1016/j.joule.2019.08.019, from memory, check your copy);
/// - reflection of slanting light beyond that of light from the front: about 3 % of a year (N. Martin
///   and J.M. Ruiz, Solar Energy Materials and Solar Cells 70(1), 2001,
///   doi:10.1016/S0927-0248(00)00408-6, from memory, check your copy);
/// - wires and connectors: 2 %, to which cables are commonly sized (common practice, no source).
const USUAL: [(&str, f64); 3] = [("dirt", 0.03), ("slanting light", 0.03), ("wires", 0.02)];

/// The usual list.
#[must_use]
pub fn usual_losses() -> Vec<Loss> {
    USUAL.into_iter().map(|(id, share)| Loss { id: id.to_owned(), share }).collect()
}

/// The list that counts for a site: its own, or the usual one.
#[must_use]
pub fn losses_of(sun: &SunData) -> Vec<Loss> {
    sun.losses.clone().unwrap_or_else(usual_losses)
}

/// Share of power that is left after all of a list, one after the other.
#[must_use]
pub fn kept_share(losses: &[Loss]) -> f64 {
    losses.iter().map(|loss| 1.0 - loss.share).product()
}

/// Share of the array's power that comes out of a controller below its output limit.
pub(super) fn efficiency(controller: &Controller) -> f64 {
    controller.efficiency.unwrap_or(USUAL_EFFICIENCY)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn losses_take_from_what_the_others_left() {
        let losses = [0.1, 0.5].map(|share| Loss { id: String::new(), share });
        assert!((kept_share(&losses) - 0.45).abs() < 1e-12);
        assert_eq!(kept_share(&[]), 1.0);
    }

    #[test]
    fn an_empty_list_means_no_loss_and_a_missing_one_the_usual() {
        let none = SunData { losses: Some(Vec::new()), ..SunData::default() };
        assert_eq!(kept_share(&losses_of(&none)), 1.0);
        assert_eq!(losses_of(&SunData::default()), usual_losses());
    }
}
