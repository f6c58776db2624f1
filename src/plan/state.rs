//! What a wiring gives: operating point, strings, peaks, limits.

use super::Check;
use crate::model::{ArrayWiring, InputRef, InputWiring, PanelString};
use crate::units::{Amps, Volts, Watts};

/// One string while the array operates at full sun (STC).
#[derive(Debug, Clone, PartialEq)]
pub struct StringState {
    /// The string.
    pub wiring: PanelString,
    /// Current it carries at the operating voltage; negative if it is a load. \[A\]
    pub current: Amps,
    /// Power it gives there. \[W\]
    pub power: Watts,
    /// The most it could give by itself, anywhere. \[W\]
    pub own_maximum: Watts,
    /// Open-circuit voltage on the coldest morning. \[V\]
    pub cold_v_oc: Volts,
    /// Panels that are bypassed at the operating point (index of element in the string, from 0).
    pub bypassed: Vec<usize>,
}

/// A local maximum of power inside the window that is not the operating point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where. \[V\]
    pub v: Volts,
    /// How much. \[W\]
    pub power: Watts,
}

/// One input at STC.
#[derive(Debug, Clone, PartialEq)]
pub struct InputState {
    /// Which input.
    pub at: InputRef,
    /// Operating voltage. \[V\]
    pub v: Volts,
    /// Operating current. \[A\]
    pub i: Amps,
    /// Operating power, before the output clips. \[W\]
    pub power: Watts,
    /// What is left if the controller's output limit bites, else `None`; where several inputs share
    /// the output, this one's part of it. \[W\]
    pub clipped: Option<Watts>,
    /// Sum of the label watts of the panels wired. \[W\]
    pub label: Watts,
    /// The rule of thumb's answer for this input. \[W\]
    pub nameplate: Watts,
    /// String by string.
    pub strings: Vec<StringState>,
    /// Other peaks on which a tracker that only climbs may stay.
    pub other_peaks: Vec<Peak>,
}

/// A whole site at STC, with every limit checked.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Every input, in order; those with nothing wired are there too.
    pub inputs: Vec<InputState>,
    /// Every limit of every wired input.
    pub checks: Vec<Check>,
}

impl State {
    /// How its panels are wired.
    #[must_use]
    pub fn wiring(&self) -> Vec<InputWiring> {
        let strings = |input: &InputState| input.strings.iter().map(|s| s.wiring.clone()).collect();
        let wiring = |input: &InputState| InputWiring {
            at: input.at,
            array: ArrayWiring { strings: strings(input) },
        };
        self.inputs.iter().map(wiring).collect()
    }

    /// Operating power of the whole site before outputs clip. \[W\]
    #[must_use]
    pub fn watts(&self) -> Watts {
        self.inputs.iter().map(|i| i.power).sum()
    }

    /// What the controllers pass, if any of them clips. \[W\]
    #[must_use]
    pub fn clipped(&self) -> Option<Watts> {
        let any = self.inputs.iter().any(|i| i.clipped.is_some());
        any.then(|| self.inputs.iter().map(|i| i.clipped.unwrap_or(i.power)).sum())
    }

    /// What reaches the outputs at full sun: after clipping where an output clips. \[W\]
    #[must_use]
    pub fn passed(&self) -> Watts {
        self.clipped().unwrap_or_else(|| self.watts())
    }

    /// Label watts of the panels wired. \[W\]
    #[must_use]
    pub fn label(&self) -> Watts {
        self.inputs.iter().map(|i| i.label).sum()
    }

    /// The rule of thumb's answer. \[W\]
    #[must_use]
    pub fn nameplate(&self) -> Watts {
        self.inputs.iter().map(|i| i.nameplate).sum()
    }

    /// Operating watts over label watts; 0 with nothing wired.
    #[must_use]
    pub fn utilization(&self) -> f64 {
        let label = self.label().watts();
        if label > 0.0 { self.watts().watts() / label } else { 0.0 }
    }

    /// Is any limit breached?
    #[must_use]
    pub fn breaches(&self) -> bool {
        self.checks.iter().any(|c| c.outcome == super::Outcome::Breach)
    }
}
