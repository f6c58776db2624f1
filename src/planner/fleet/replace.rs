//! What could stand in the place of a panel that broke.

use rayon::prelude::*;

use super::options::FleetFailure;
use crate::electrical::Catalog;
use crate::model::{
    ArrayWiring, Element, InputWiring, Installation, KindIdx, PanelString, StockItem,
};
use crate::plan::{BLOCK_SPREAD, DropIn, Evaluator, Outcome, PanelPlace, Replacements};

/// Tries every kind of the stock in the place of one installed panel; `None` if there is no panel at
/// that place.
///
/// Only the one panel changes: nothing else is rewired.
///
/// # Errors
/// [`FleetFailure`] if a label has no curve.
pub fn replacements(
    installation: &Installation,
    place: PanelPlace,
    stock: &[StockItem],
) -> Result<Option<Replacements>, FleetFailure> {
    let Some(kind) = kind_at(&installation.installed, place) else { return Ok(None) };
    let catalog = Catalog::fit(&installation.kinds).map_err(|(kind, error)| {
        let kind = installation.kind(kind).id.clone();
        FleetFailure::Label { customer: 0, kind, error }
    })?;
    let evaluator = Evaluator::new(installation, &catalog);
    let sound = evaluator.state(&installation.installed).passed();
    let without = with_panel(&installation.installed, place, None).map(|wiring| {
        let state = evaluator.state(&wiring);
        let breach = state.checks.iter().any(|c| c.at == place.at && c.outcome == Outcome::Breach);
        (state.passed(), !breach)
    });
    let mut ranked: Vec<DropIn> = stock
        .par_iter()
        .enumerate()
        .filter(|(_, item)| item.count > 0)
        .map(|(s, item)| substitute(installation, &catalog, place, s, item))
        .collect::<Result<_, _>>()?;
    ranked.sort_by(|a, b| {
        b.fits
            .cmp(&a.fits)
            .then(b.watts.0.total_cmp(&a.watts.0))
            .then(b.unclipped.0.total_cmp(&a.unclipped.0))
            .then(a.stock.cmp(&b.stock))
    });
    Ok(Some(Replacements {
        kind,
        sound,
        without: without.map(|(watts, _)| watts),
        without_fits: without.is_some_and(|(_, fits)| fits),
        ranked,
    }))
}

fn substitute(
    installation: &Installation,
    own: &Catalog,
    place: PanelPlace,
    stock: usize,
    item: &StockItem,
) -> Result<DropIn, FleetFailure> {
    let catalog = Catalog::fit(std::slice::from_ref(&item.kind))
        .map_err(|(_, error)| FleetFailure::Stock { stock, error })?;
    let catalog = own.followed_by(&catalog);
    let mut with = installation.clone();
    let kind = KindIdx(with.kinds.len());
    with.kinds.push(item.kind.clone());
    let wiring = with_panel(&with.installed, place, Some(kind))
        .expect("a panel in the place of another leaves no string empty");
    let evaluator = Evaluator::new(&with, &catalog);
    let state = evaluator.state(&wiring);
    let checks: Vec<_> = state.checks.iter().filter(|c| c.at == place.at).cloned().collect();
    let apart_percent = apart(&with, &wiring, place);
    let fits = apart_percent.is_none() && checks.iter().all(|c| c.outcome != Outcome::Breach);
    Ok(DropIn {
        stock,
        watts: state.passed(),
        unclipped: state.watts(),
        checks,
        apart_percent,
        fits,
    })
}

/// How far apart the panels of the block at a place are, where that is too far. \[%\]
fn apart(installation: &Installation, wiring: &[InputWiring], place: PanelPlace) -> Option<f64> {
    let array = &wiring.iter().find(|w| w.at == place.at)?.array;
    let element = &array.strings[place.string].elements()[place.element];
    let v_oc = || element.members().iter().map(|k| installation.kind(*k).label.v_oc.volts());
    let (low, high) = (v_oc().fold(f64::INFINITY, f64::min), v_oc().fold(0.0, f64::max));
    let apart = (high - low) / high;
    (apart > BLOCK_SPREAD * (1.0 + 1e-9)).then_some(100.0 * apart)
}

fn kind_at(wiring: &[InputWiring], place: PanelPlace) -> Option<KindIdx> {
    let array = &wiring.iter().find(|w| w.at == place.at)?.array;
    let element = array.strings.get(place.string)?.elements().get(place.element)?;
    element.members().get(place.member).copied()
}

/// The wiring with another panel at a place, or with none there; `None` if that leaves no string.
fn with_panel(
    wiring: &[InputWiring],
    place: PanelPlace,
    panel: Option<KindIdx>,
) -> Option<Vec<InputWiring>> {
    let mut changed = wiring.to_vec();
    let array = &mut changed.iter_mut().find(|w| w.at == place.at)?.array;
    let mut elements = array.strings[place.string].elements().to_vec();
    let mut members = elements[place.element].members().to_vec();
    members.remove(place.member);
    members.extend(panel);
    if members.is_empty() {
        elements.remove(place.element);
    } else {
        elements[place.element] = Element::block(members);
    }
    let mut strings = array.strings.clone();
    if elements.is_empty() {
        strings.remove(place.string);
    } else {
        strings[place.string] = PanelString::new(elements);
    }
    if strings.is_empty() {
        return None;
    }
    *array = ArrayWiring { strings };
    Some(changed)
}
