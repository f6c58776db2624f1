//! Every kind of a site, fitted once, and its curves at a condition.

use super::{Assumed, Condition, Curve, FitError, PanelModel, fit_label};
use crate::model::{Kind, KindIdx};

/// One fitted model per kind, in the order of the kinds.
#[derive(Debug, Clone)]
pub struct Catalog {
    models: Vec<PanelModel>,
}

/// One curve per kind.
#[derive(Debug, Clone)]
pub struct CurveSet {
    curves: Vec<Curve>,
}

impl Catalog {
    /// Fits every kind.
    ///
    /// # Errors
    /// The first kind whose label no curve passes through; `input` refuses such labels.
    pub fn fit(kinds: &[Kind]) -> Result<Self, (KindIdx, FitError)> {
        let models = kinds
            .iter()
            .enumerate()
            .map(|(k, kind)| {
                fit_label(&kind.label, &Assumed::for_kind(kind)).map_err(|e| (KindIdx(k), e))
            })
            .collect::<Result<_, _>>()?;
        Ok(Self { models })
    }

    /// The kinds of this one, and behind them those of another.
    #[must_use]
    pub fn followed_by(&self, other: &Self) -> Self {
        Self { models: [self.models.as_slice(), other.models.as_slice()].concat() }
    }

    /// Some of its kinds, in the order given.
    #[must_use]
    pub fn of(&self, kinds: impl Iterator<Item = KindIdx>) -> Self {
        Self { models: kinds.map(|k| self.models[k.0]).collect() }
    }

    /// The model of a kind.
    #[must_use]
    pub fn model(&self, kind: KindIdx) -> &PanelModel {
        &self.models[kind.0]
    }

    /// Curves of all kinds at one condition.
    #[must_use]
    pub fn curves(&self, condition: Condition) -> CurveSet {
        self.curves_at(|_| condition)
    }

    /// Curves of all kinds, each at its own condition.
    #[must_use]
    pub fn curves_at(&self, condition: impl Fn(KindIdx) -> Condition) -> CurveSet {
        let curves = self
            .models
            .iter()
            .enumerate()
            .map(|(k, model)| model.curve(condition(KindIdx(k))))
            .collect();
        CurveSet { curves }
    }
}

impl CurveSet {
    /// The curve of one panel of a kind.
    #[must_use]
    pub fn panel(&self, kind: KindIdx) -> &Curve {
        &self.curves[kind.0]
    }
}
