//! Which panels are there to be wired, and what kinds share.

use super::{Installation, KindIdx};

/// Spare panels of one label. A label stands here at most once.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    /// Which kind; the first of `places` where there are several.
    pub kind: KindIdx,
    /// How many.
    pub count: usize,
    /// What one costs, in any currency.
    pub price: Option<f64>,
    /// The kinds that such a panel can become, one for each plane that it may be put on; there it
    /// takes room. Empty where the file has no planes, or the panel stands on its plane already.
    pub places: Vec<KindIdx>,
}

/// At most so many panels of these kinds can be wired together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PanelLimit {
    /// The kinds, ascending.
    pub kinds: Vec<KindIdx>,
    /// Panels of all of them, those that stand included.
    pub most: usize,
}

impl Spare {
    /// The kinds that one of them can be.
    #[must_use]
    pub fn kinds(&self) -> &[KindIdx] {
        if self.places.is_empty() { std::slice::from_ref(&self.kind) } else { &self.places }
    }
}

impl Installation {
    /// How many spare panels can be of a kind: of those that are still to be put up, no more than
    /// there is room for on its plane.
    #[must_use]
    pub fn n_spare(&self, kind: KindIdx) -> usize {
        let stands = self.spares.iter().filter(|s| s.places.is_empty() && s.kind == kind);
        stands.map(|s| s.count).sum::<usize>() + self.n_put_up(kind)
    }

    /// Kinds with the same label, this one included: one for each plane.
    #[must_use]
    pub fn same_label(&self, kind: KindIdx) -> Vec<KindIdx> {
        let label = self.kind(kind).label_id();
        let all = (0..self.kinds.len()).map(KindIdx);
        all.filter(|k| self.kind(*k).label_id() == label).collect()
    }

    /// Kinds by label, in their order: one kind in each, or one for each plane.
    #[must_use]
    pub fn labels(&self) -> Vec<Vec<KindIdx>> {
        let all = (0..self.kinds.len()).map(KindIdx);
        all.map(|k| (k, self.same_label(k)))
            .filter(|(k, kinds)| kinds[0] == *k)
            .map(|(_, kinds)| kinds)
            .collect()
    }

    /// Have two kinds the same label?
    #[must_use]
    pub fn alike(&self, a: KindIdx, b: KindIdx) -> bool {
        a == b || self.kind(a).label_id() == self.kind(b).label_id()
    }

    /// The same with another number of the spares of a kind's label.
    #[must_use]
    pub fn with_spares(&self, kind: KindIdx, count: usize) -> Self {
        let mut changed = self.clone();
        let label = self.same_label(kind);
        // Those that are still to be put up, where some stand on a plane already.
        let mut own = changed.spares.iter_mut().filter(|s| label.contains(&s.kind));
        if let Some(spare) = own.by_ref().max_by_key(|s| s.places.len()) {
            spare.count = count;
        }
        changed
    }

    /// Panels of each kind that stand on their planes: these, and the spares that need no place.
    fn standing(&self, installed: &[usize]) -> Vec<usize> {
        let mut standing = installed.to_vec();
        for spare in self.spares.iter().filter(|s| s.places.is_empty()) {
            standing[spare.kind.0] += spare.count;
        }
        standing
    }

    /// How many panels can be put up as this kind.
    fn n_put_up(&self, kind: KindIdx) -> usize {
        let own = self.spares.iter().filter(|s| s.places.contains(&kind));
        own.map(|s| s.count.min(self.room_for(kind))).sum()
    }

    /// What kinds share: spares that may go on one of several planes, and the room on a plane.
    ///
    /// `installed` are the panels of each kind wired today, where they may be rewired; a panel stays
    /// on its plane. Of any set of kinds no more can be wired than stand there and can be put up. Empty
    /// where no plane is given.
    #[must_use]
    pub fn panel_limits(&self, installed: &[usize]) -> Vec<PanelLimit> {
        let standing = self.standing(installed);
        let mut limits = Vec::new();
        for spare in self.spares.iter().filter(|s| s.places.len() > 1) {
            self.limit_together(&spare.places, spare.count, &standing, &mut limits);
        }
        for (p, plane) in self.site.sun.planes.iter().enumerate() {
            let Some(room) = plane.room else { continue };
            let put_up = self.spares.iter().flat_map(|s| &s.places).copied();
            let here: Vec<KindIdx> = put_up.filter(|k| self.plane_of(*k) == Some(p)).collect();
            self.limit_together(&here, room, &standing, &mut limits);
        }
        limits
    }

    /// `Σ max(0, wired − standing) ≤ most` over some kinds, as limits that are linear in what is
    /// wired: one for each set of the kinds that stand, since any of them may be left out.
    fn limit_together(
        &self,
        kinds: &[KindIdx],
        most: usize,
        standing: &[usize],
        limits: &mut Vec<PanelLimit>,
    ) {
        let (held, fresh): (Vec<KindIdx>, Vec<KindIdx>) =
            kinds.iter().partition(|k| standing[k.0] > 0);
        for set in 0..1_usize << held.len() {
            let chosen = held.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1).map(|(_, k)| k);
            let mut kinds: Vec<KindIdx> = fresh.iter().chain(chosen).copied().collect();
            kinds.sort_unstable();
            let put_up: usize = kinds.iter().map(|k| self.n_put_up(*k)).sum();
            let own: usize = kinds.iter().map(|k| standing[k.0]).sum();
            // What cannot bind needs no row.
            if put_up > most {
                limits.push(PanelLimit { kinds, most: own + most });
            }
        }
    }

    fn plane_of(&self, kind: KindIdx) -> Option<usize> {
        self.kind(kind).placed.as_ref().map(|placed| placed.plane.0)
    }

    fn room_for(&self, kind: KindIdx) -> usize {
        let plane = self.plane_of(kind).and_then(|p| self.site.sun.planes[p].room);
        plane.unwrap_or(usize::MAX)
    }
}
