//! The rule of thumb, with every figure on the way.

use super::losses::{Loss, losses};
use crate::electrical::{NameplateString, label_watts, nameplate_string};
use crate::model::{ArrayWiring, Element, Kind, PanelString};
use crate::units::{Amps, Volts, Watts};

/// Panels of a block may differ so much in open voltage, as a share of the higher: the same as in
/// plans.
pub const BLOCK_SPREAD: f64 = 0.15;

/// An element of a string: a panel, or a block.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementSum {
    /// Which panels.
    pub element: Element,
    /// Vmp; of a block the lowest. \[V\]
    pub v: Volts,
    /// Imp; of a block the sum. \[A\]
    pub i: Amps,
}

/// A string: volts add, and the lowest current sets the pace.
#[derive(Debug, Clone, PartialEq)]
pub struct StringSum {
    /// From the plus end, as wired.
    pub elements: Vec<ElementSum>,
    /// Sum of volts. \[V\]
    pub v: Volts,
    /// Lowest amps. \[A\]
    pub i: Amps,
}

/// Where the lowest string's voltage lies to what the input can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BusPlace {
    /// Within it.
    Inside,
    /// Above: the input holds the bus at its top.
    Above,
    /// Below: by the rule of thumb nothing flows.
    Below,
}

/// An input: amps add, and the lowest voltage holds the bus.
#[derive(Debug, Clone, PartialEq)]
pub struct ArraySum {
    /// In port order.
    pub strings: Vec<StringSum>,
    /// The lowest string's voltage. \[V\]
    pub lowest: Volts,
    /// Where that lies.
    pub place: BusPlace,
    /// What the input can hold, low and high. \[V\]
    pub hold: (Volts, Volts),
    /// Voltage of the bus as the input holds it. \[V\]
    pub bus: Volts,
    /// Sum of the strings' amps; zero where nothing flows. \[A\]
    pub i: Amps,
    /// Volts times amps. \[W\]
    pub watts: Watts,
    /// What the labels promise. \[W\]
    pub label: Watts,
    /// Where the difference goes; adds up to it.
    pub losses: Vec<Loss>,
}

impl ArraySum {
    /// Watts by the rule over label watts.
    #[must_use]
    pub fn utilization(&self) -> f64 {
        self.watts.watts() / self.label.watts()
    }

    /// Label watts less watts by the rule. \[W\]
    #[must_use]
    pub fn lost(&self) -> Watts {
        self.label - self.watts
    }

    /// What a string gives at the bus by the rule. \[W\]
    #[must_use]
    pub fn string_watts(&self, string: usize) -> Watts {
        match self.place {
            BusPlace::Below => Watts(0.0),
            BusPlace::Inside | BusPlace::Above => self.bus * self.strings[string].i,
        }
    }
}

/// Works an array out by the rule of thumb, between the voltages that its input can hold; `None` if
/// there are no strings.
#[must_use]
pub fn work_out(array: &ArrayWiring, kinds: &[Kind], hold: (Volts, Volts)) -> Option<ArraySum> {
    let strings: Vec<StringSum> = array.strings.iter().map(|s| work_out_string(s, kinds)).collect();
    let lowest = strings.iter().map(|s| s.v).reduce(Volts::min)?;
    let (lo, hi) = hold;
    let place = if lowest < lo {
        BusPlace::Below
    } else if lowest > hi {
        BusPlace::Above
    } else {
        BusPlace::Inside
    };
    let bus = lowest.min(hi);
    let i = match place {
        BusPlace::Below => Amps(0.0),
        BusPlace::Inside | BusPlace::Above => strings.iter().map(|s| s.i).sum(),
    };
    let mut sum = ArraySum {
        strings,
        lowest,
        place,
        hold,
        bus,
        i,
        watts: bus * i,
        label: label_watts(array, kinds),
        losses: Vec::new(),
    };
    sum.losses = losses(&sum, kinds);
    Some(sum)
}

fn work_out_string(string: &PanelString, kinds: &[Kind]) -> StringSum {
    let element = |e: &Element| {
        let NameplateString { v, i } = nameplate_string(&PanelString::new(vec![e.clone()]), kinds);
        ElementSum { element: e.clone(), v, i }
    };
    let NameplateString { v, i } = nameplate_string(string, kinds);
    StringSum { elements: string.elements().iter().map(element).collect(), v, i }
}

/// Blocks whose open voltages lie further apart than [`BLOCK_SPREAD`], each once: with nothing drawn
/// the higher panels push current backwards through the lower ones.
pub(super) fn unlike_blocks(array: &ArrayWiring, kinds: &[Kind]) -> Vec<Element> {
    let unlike = |element: &&Element| {
        let volts = element.members().iter().map(|k| kinds[k.0].label.v_oc.volts());
        let (low, high) = volts.fold((f64::INFINITY, 0.0_f64), |(l, h), v| (l.min(v), h.max(v)));
        low < high * (1.0 - BLOCK_SPREAD)
    };
    let mut found: Vec<Element> =
        array.strings.iter().flat_map(PanelString::elements).filter(unlike).cloned().collect();
    found.sort();
    found.dedup();
    found
}
