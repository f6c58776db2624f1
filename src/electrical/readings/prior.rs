//! What is held of a panel before the meter speaks.

use super::spreads::{
    ALPHA, BETA, GAMMA_BELOW_BETA, IMP_PER_ISC, LABEL_COEFFICIENT_SD, Spread, VMP_PER_VOC, WEAR,
};
use crate::electrical::Assumed;
use crate::model::Kind;

/// Figures that open and shorted leads do not show, each with its spread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    /// Vmp as a share of Voc.
    pub vmp_per_voc: Spread,
    /// Imp as a share of Isc.
    pub imp_per_isc: Spread,
    /// Temperature coefficient of short-circuit current. \[%/°C\]
    pub alpha: Spread,
    /// Temperature coefficient of open-circuit voltage. \[%/°C\]
    pub beta: Spread,
    /// How much steeper power falls than open-circuit voltage. \[%/°C\]
    pub delta: Spread,
}

impl Prior {
    /// For a panel of which nothing is known but that it is crystalline silicon.
    #[must_use]
    pub fn of_silicon() -> Self {
        Self {
            vmp_per_voc: VMP_PER_VOC,
            imp_per_isc: IMP_PER_ISC,
            alpha: ALPHA,
            beta: BETA,
            delta: GAMMA_BELOW_BETA,
        }
    }

    /// For a panel whose label is known, after some years.
    ///
    /// The shape of its curve is the label's, less or more by wear; coefficients are the label's
    /// where it has them.
    #[must_use]
    pub fn of_worn(kind: &Kind) -> Self {
        let (label, known) = (&kind.label, Assumed::for_kind(kind));
        let worn = |middle: f64| Spread { middle, sd: WEAR * middle };
        let labelled = |middle: f64| Spread { middle, sd: LABEL_COEFFICIENT_SD };
        let silicon = Self::of_silicon();
        let (alpha, beta) = (known.i_sc_coefficient, known.v_oc_coefficient);
        let gamma = kind.p_mp_coefficient.map(|g| g.percent_per_c() - beta.percent_per_c());
        Self {
            vmp_per_voc: worn(label.v_mp.volts() / label.v_oc.volts()),
            imp_per_isc: worn(label.i_mp.amps() / label.i_sc.amps()),
            alpha: match kind.i_sc_coefficient {
                Some(_) => labelled(alpha.percent_per_c()),
                None => silicon.alpha,
            },
            beta: match kind.v_oc_coefficient {
                Some(_) => labelled(beta.percent_per_c()),
                None => silicon.beta,
            },
            delta: gamma.map_or(silicon.delta, labelled),
        }
    }
}
