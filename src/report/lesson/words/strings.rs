//! Why a string gives another figure by the curve than by the rule.

use super::{a, ca, cv, cw, v, w};
use crate::report::layout::GLUE;
use crate::units::{Amps, Volts, Watts};

/// What a string does at the bus, by the curves and by the rule.
#[derive(Debug, Clone, Copy)]
pub(in crate::report::lesson) struct Beside {
    pub(in crate::report::lesson) string: usize,
    pub(in crate::report::lesson) bus: Volts,
    pub(in crate::report::lesson) amps: Amps,
    pub(in crate::report::lesson) watts: Watts,
    pub(in crate::report::lesson) rule_watts: Watts,
    pub(in crate::report::lesson) rule_amps: Amps,
    pub(in crate::report::lesson) own_volts: Volts,
}

impl Beside {
    fn ends(self) -> String {
        format!("{}, where the rule has {}", cw(self.watts), w(self.rule_watts))
    }

    fn begins(self) -> String {
        format!("String{GLUE}{}", self.string + 1)
    }
}

pub(in crate::report::lesson) fn same(b: Beside) -> String {
    format!(
        "{}: the curve says the same, {} at {}: {}.",
        b.begins(),
        ca(b.amps),
        cv(b.bus),
        b.ends()
    )
}

pub(in crate::report::lesson) fn pushed_back(b: Beside) -> String {
    format!(
        "{} is a load: {} is more than it has even with nothing connected, so the others push {} \
         backwards through it: {}.",
        b.begins(),
        cv(b.bus),
        ca(Amps(-b.amps.amps())),
        b.ends()
    )
}

pub(in crate::report::lesson) fn bypassed(b: Beside, ids: &str) -> String {
    format!(
        "{}: {ids} cannot carry what the others push, so the bypass diodes in its back carry the amps past \
         it. The string loses that panel's volts (and about half a volt for each diode) but goes on with \
         {}: {}.",
        b.begins(),
        ca(b.amps),
        b.ends()
    )
}

pub(in crate::report::lesson) fn stretched(b: Beside) -> String {
    format!(
        "{}: its weakest panel gives up some volts to pass more amps than its Imp, so the string carries \
         {} at {} instead of {}: {}.",
        b.begins(),
        ca(b.amps),
        cv(b.bus),
        a(b.rule_amps),
        b.ends()
    )
}

pub(in crate::report::lesson) fn above_own(b: Beside) -> String {
    format!(
        "{} works at {}, above its own {}: a curve does not end there but falls, so it still carries {} \
         of its {}: {}.",
        b.begins(),
        cv(b.bus),
        v(b.own_volts),
        ca(b.amps),
        a(b.rule_amps),
        b.ends()
    )
}

pub(in crate::report::lesson) fn below_own(b: Beside) -> String {
    format!(
        "{} is held at {}, below its own {}: there a curve carries a little more than Imp, {} instead of \
         {}: {}.",
        b.begins(),
        cv(b.bus),
        v(b.own_volts),
        ca(b.amps),
        a(b.rule_amps),
        b.ends()
    )
}

pub(in crate::report::lesson) fn otherwise(b: Beside) -> String {
    format!("{} carries {} at {}: {}.", b.begins(), ca(b.amps), cv(b.bus), b.ends())
}
