//! Configurations met so far.

use std::collections::HashMap;

use super::{Offer, Span};

/// All offers of all sites, each once.
pub(super) struct Pool {
    sites: Vec<Vec<Offer>>,
    /// Place of each tag.
    places: Vec<HashMap<usize, usize>>,
}

impl Pool {
    pub(super) fn new(n_sites: usize) -> Self {
        Self { sites: vec![Vec::new(); n_sites], places: vec![HashMap::new(); n_sites] }
    }

    pub(super) fn n_sites(&self) -> usize {
        self.sites.len()
    }

    /// Takes an offer in, unless it is known; its place.
    pub(super) fn add(&mut self, site: usize, offer: &Offer) -> usize {
        if let Some(&place) = self.places[site].get(&offer.tag) {
            return place;
        }
        let place = self.sites[site].len();
        self.sites[site].push(offer.clone());
        self.places[site].insert(offer.tag, place);
        place
    }

    pub(super) fn of(&self, site: usize, place: usize) -> &Offer {
        &self.sites[site][place]
    }

    /// All offers of a site, in the order in which they were met.
    pub(super) fn all(&self, site: usize) -> &[Offer] {
        &self.sites[site]
    }

    /// Places of a site's offers within limits, ascending, from a place on.
    pub(super) fn within(
        &self,
        site: usize,
        spans: &[Span],
        from: usize,
    ) -> impl Iterator<Item = usize> {
        let offers = &self.sites[site];
        (from..offers.len()).filter(move |place| {
            spans.iter().all(|span| {
                let used = use_of(&offers[*place], span.row);
                span.least - 1e-9 <= used && used <= span.most + 1e-9
            })
        })
    }
}

/// What an offer uses of a row.
pub(super) fn use_of(offer: &Offer, row: usize) -> f64 {
    offer.uses.iter().find(|(r, _)| *r == row).map_or(0.0, |(_, a)| *a)
}

/// Value of an offer at given prices.
pub(super) fn priced(offer: &Offer, prices: &[f64]) -> f64 {
    offer.value - offer.uses.iter().map(|&(r, a)| a * prices[r]).sum::<f64>()
}
