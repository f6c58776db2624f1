//! Panels to build strings from, and what kinds share.

use crate::model::{KindIdx, PanelLimit};

/// Panels of each kind that may be built in, and limits on kinds together.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// Still there, by kind.
    left: Vec<usize>,
    /// Kinds, and how many more of them together.
    limits: Vec<PanelLimit>,
}

impl Stock {
    /// So many panels of each kind.
    #[must_use]
    pub fn new(panels: Vec<usize>, limits: Vec<PanelLimit>) -> Self {
        Self { left: panels, limits }
    }

    /// Panels of each kind that are still there.
    #[must_use]
    pub fn left(&self) -> &[usize] {
        &self.left
    }

    /// Takes panels out; nothing is taken where not all are there.
    pub(super) fn take(&mut self, members: &[KindIdx]) -> Option<()> {
        let of = |kinds: &[KindIdx]| members.iter().filter(|m| kinds.contains(m)).count();
        let enough = members.iter().all(|k| self.left[k.0] >= of(&[*k]))
            && self.limits.iter().all(|limit| limit.most >= of(&limit.kinds));
        enough.then(|| {
            for k in members {
                self.left[k.0] -= 1;
                self.limits_on(*k).for_each(|most| *most -= 1);
            }
        })
    }

    /// Puts panels back.
    pub(super) fn put_back(&mut self, members: &[KindIdx]) {
        for k in members {
            self.left[k.0] += 1;
            self.limits_on(*k).for_each(|most| *most += 1);
        }
    }

    fn limits_on(&mut self, kind: KindIdx) -> impl Iterator<Item = &mut usize> {
        self.limits.iter_mut().filter(move |l| l.kinds.contains(&kind)).map(|l| &mut l.most)
    }
}

impl From<&[usize]> for Stock {
    /// Panels whose kinds share nothing.
    fn from(panels: &[usize]) -> Self {
        Self::new(panels.to_vec(), Vec::new())
    }
}
