//! What to measure next: the reading that tells two explanations apart best.

use super::Fault;
use super::built::World;
use super::trial::Trial;
use crate::model::{InputRef, Spot};

/// Readings must differ by so many standard deviations to be worth a walk.
const ENOUGH: f64 = 3.0;

/// One standard deviation of a further reading: as a share, and the least that it may be. \[V\] or \[A\]
#[derive(Clone, Copy)]
struct Meter {
    share: f64,
    least: f64,
}

/// The meter, and the warmth or the light by then. (common practice, no source)
const VOLTS: Meter = Meter { share: 0.015, least: 0.3 };
const AMPS: Meter = Meter { share: 0.03, least: 0.1 };

/// A reading that tells two explanations apart, and what each of them would show.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// One that was not taken: where, what the first and the second would show. \[V or A\]
    Spot(InputRef, Spot, f64, f64),
    /// Open-circuit volts of each panel of a string by itself: the odd one under the first and the second.
    PanelVolts(InputRef, usize, f64, f64),
    /// Short-circuit amps of each panel of a string by itself: the odd one under both.
    PanelAmps(InputRef, usize, f64, f64),
    /// The panels of a string, to be counted: how many under both.
    Count(InputRef, usize, usize, usize),
    /// Polarity of each panel of a string.
    Polarity(InputRef, usize),
    /// Every joint of a string.
    Joints(InputRef, usize),
    /// The labels of a string's panels.
    Labels(InputRef, usize),
    /// Follow a string's leads to where they end.
    Leads(InputRef, usize),
    /// The same reading once more, by its number.
    Again(usize),
    /// Another instrument: whether the light was read rightly.
    Light,
    /// What the battery and the controller's display say: does it want all it can get?
    Display(InputRef),
}

/// The reading that tells two worlds apart best; `None` if nothing that a meter or an eye finds does.
pub(super) fn next(
    trial: &Trial<'_>,
    (a, of_a): (&World, &[Fault]),
    (b, of_b): (&World, &[Fault]),
) -> Option<Next> {
    if let Some(doubted) = a.doubted.iter().chain(&b.doubted).next()
        && a.doubted != b.doubted
    {
        return Some(Next::Again(*doubted));
    }
    let installation = trial.installation;
    let at = |input: usize| installation.installed[input].at;
    let mut spots = Vec::new();
    for (input, wired) in installation.installed.iter().enumerate() {
        if wired.array.strings.is_empty() {
            continue;
        }
        let each = (0..wired.array.strings.len())
            .flat_map(|s| [Spot::StringVoc(s), Spot::StringIsc(s), Spot::StringAmps(s)]);
        let all = each.chain([Spot::OpenVolts, Spot::WorkVolts, Spot::WorkAmps]);
        spots.extend(all.filter(|spot| !trial.is_read(input, *spot)).map(|spot| (input, spot)));
    }
    let best = spots
        .into_iter()
        .map(|(input, spot)| {
            let (x, y) = (trial.would_read(a, input, spot), trial.would_read(b, input, spot));
            let unit = if spot.is_volts() { VOLTS } else { AMPS };
            (separation(x, y, unit), Next::Spot(at(input), spot, x, y))
        })
        .max_by(|x, y| x.0.total_cmp(&y.0));
    if let Some((by, next)) = best
        && by >= ENOUGH
    {
        return Some(next);
    }
    for (input, strings) in a.strings.iter().enumerate() {
        for (string, built) in strings.iter().enumerate() {
            let other = &b.strings[input][string];
            if built.chain != other.chain {
                return Some(in_string(trial, a, b, (input, string)));
            }
            if built.on != other.on {
                return Some(Next::Leads(at(input), string));
            }
        }
    }
    let differs = |f: fn(&Fault) -> bool| of_a.iter().chain(of_b).any(f);
    if a.tracking != b.tracking {
        let input = (0..a.tracking.len()).find(|i| a.tracking[*i] != b.tracking[*i])?;
        return Some(Next::Display(at(input)));
    }
    differs(|c| matches!(c, Fault::Light(_) | Fault::Warmer(_))).then_some(Next::Light)
}

/// What of the panels of a string shows which of two worlds it is.
fn in_string(trial: &Trial<'_>, a: &World, b: &World, (input, string): (usize, usize)) -> Next {
    let at = trial.installation.installed[input].at;
    let (x, y) = (trial.panels(a, input, string), trial.panels(b, input, string));
    if x.len() != y.len() {
        return Next::Count(at, string, x.len(), y.len());
    }
    let worst = |pick: fn(&(f64, f64)) -> f64, unit: Meter| {
        let pairs = x.iter().map(pick).zip(y.iter().map(pick));
        pairs
            .map(|(p, q)| (separation(p, q, unit), p, q))
            .max_by(|p, q| p.0.total_cmp(&q.0))
            .unwrap_or((0.0, 0.0, 0.0))
    };
    let volts = worst(|p| p.0, VOLTS);
    let amps = worst(|p| p.1, AMPS);
    if volts.0.max(amps.0) >= ENOUGH {
        return if volts.0 >= amps.0 {
            Next::PanelVolts(at, string, volts.1, volts.2)
        } else {
            Next::PanelAmps(at, string, amps.1, amps.2)
        };
    }
    let open = |w: &World| w.strings[input][string].chain.open;
    if open(a) != open(b) {
        return Next::Joints(at, string);
    }
    let turned = |w: &World| {
        let chain = &w.strings[input][string].chain;
        let n = chain.elements.iter().flatten().filter(|p| p.reversed).count();
        (n, chain.reversed)
    };
    if turned(a) != turned(b) { Next::Polarity(at, string) } else { Next::Labels(at, string) }
}

/// By how many standard deviations two figures differ.
fn separation(x: f64, y: f64, meter: Meter) -> f64 {
    (x - y).abs() / (meter.share * x.abs().max(y.abs())).max(meter.least)
}
