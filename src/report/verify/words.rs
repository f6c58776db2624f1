//! What is likely wrong, and what to measure next, in the owner's words.

use crate::model::{Element, InputRef, KindIdx, Spot};
use crate::plan::{Fault, Judged, Next, StringAt, Verified};
use crate::report::layout::GLUE;
use crate::report::names::Names;
use crate::report::numbers::{fixed, plain};
use crate::report::words::counted;

/// Looks up how things are called.
#[derive(Clone, Copy)]
pub(super) struct Words<'a> {
    pub(super) names: Names<'a>,
    pub(super) verified: &'a Verified,
}

impl<'a> Words<'a> {
    fn at(self, input: usize) -> InputRef {
        self.names.0.installed[input].at
    }

    /// `string 2`, with its input where there are several.
    pub(super) fn string(self, at: StringAt) -> String {
        self.string_of(self.at(at.input), at.string)
    }

    fn string_of(self, at: InputRef, string: usize) -> String {
        let string = format!("string{GLUE}{}", string + 1);
        if self.names.has_several_inputs() {
            format!("{string} of {}", self.names.input(at))
        } else {
            string
        }
    }

    /// `the controller`, or which input where there are several.
    fn input(self, at: InputRef) -> String {
        if self.names.has_several_inputs() {
            self.names.input(at)
        } else {
            "the controller".to_owned()
        }
    }

    fn kind(self, kind: KindIdx) -> &'a str {
        self.names.kind(kind)
    }

    /// `a panel shed-160 in string 2`, or in a block of it.
    fn panel(self, at: StringAt, element: &Element, kind: KindIdx) -> String {
        let kind = self.kind(kind);
        let string = self.string(at);
        if element.is_block() {
            format!("a {kind} in a block {} of {string}", self.names.element(element))
        } else {
            format!("a {kind} of {string}")
        }
    }

    /// What a spot is called, with its string or input.
    pub(super) fn spot(self, at: InputRef, spot: Spot) -> String {
        let what = what(spot);
        match spot.string() {
            Some(s) => format!("{what} of {}", self.string_of(at, s)),
            None if self.names.has_several_inputs() => {
                format!("{what} of {}", self.names.input(at))
            }
            None => what.to_owned(),
        }
    }

    fn reading(self, number: usize) -> Option<&'a Judged> {
        self.verified.readings().nth(number)
    }

    /// Everything that is wrong together, as one clause.
    pub(super) fn faults(self, faults: &[Fault]) -> String {
        if faults.is_empty() {
            return "nothing is wrong".to_owned();
        }
        // Clauses have commas of their own.
        faults.iter().map(|f| self.fault(f)).collect::<Vec<_>>().join("; and ")
    }

    /// One fault as a clause.
    pub(super) fn fault(self, fault: &Fault) -> String {
        let percent = |share: u16| format!("{}{GLUE}%", fixed(f64::from(share) / 10.0, 0));
        match fault {
            Fault::Missing(at, element) if element.is_block() => {
                format!(
                    "a block {} is missing from {}",
                    self.names.element(element),
                    self.string(*at)
                )
            }
            Fault::Missing(at, element) => {
                let kind = self.kind(element.members()[0]);
                format!("a {kind} is missing from {}, or all of it is shorted", self.string(*at))
            }
            Fault::TooMany(at, kind) => {
                format!("{} has a {} too many", self.string(*at), self.kind(*kind))
            }
            Fault::PanelReversed(at, element, kind) => {
                format!("{} is wired the wrong way round", self.panel(*at, element, *kind))
            }
            Fault::Bypassed(at, element, kind, n) => format!(
                "{} of {} no volts: a bypass diode is shorted",
                counted(*n, "section", "sections"),
                self.panel(*at, element, *kind) + if *n == 1 { " gives" } else { " give" }
            ),
            Fault::Weak(at, element, kind, share) => format!(
                "{} gives only {} of its current: shade, dirt or damage",
                self.panel(*at, element, *kind),
                percent(*share)
            ),
            Fault::WeakString(at, share) => format!(
                "all of {} gives only {} of its current: shade or dirt",
                self.string(*at),
                percent(*share)
            ),
            Fault::OtherKind(at, element, was, is) => format!(
                "a {} stands in place of {}",
                self.kind(*is),
                self.panel(*at, element, *was)
            ),
            Fault::MemberOff(at, element, kind) => {
                format!("{} is not connected", self.panel(*at, element, *kind))
            }
            Fault::StringOpen(at) => format!(
                "{} is open: a joint is apart, or a panel inside it is broken",
                self.string(*at)
            ),
            Fault::StringOff(at) => format!(
                "{} is in order by itself but not joined to the others: fuse, breaker or plug",
                self.string(*at)
            ),
            Fault::StringReversed(at) => {
                format!("plus and minus of {} are exchanged", self.string(*at))
            }
            Fault::StringsSwapped(a, b) => {
                format!("{} and {} are in each other's place", self.string(*a), self.string(*b))
            }
            Fault::PanelsSwapped(a, of_a, b, of_b) => format!(
                "a {} of {} and a {} of {} are in each other's place",
                self.kind(*of_a),
                self.string(*a),
                self.kind(*of_b),
                self.string(*b)
            ),
            Fault::OnOther(at, input) => {
                format!("{} is joined to {}", self.string(*at), self.names.input(self.at(*input)))
            }
            Fault::OtherPeak(input, _) => {
                format!("{} works on a lower peak", self.input(self.at(*input)))
            }
            Fault::HeldBack(input) => format!(
                "{} takes less than the array could give: the battery is full, or an output limit holds it",
                self.input(self.at(*input))
            ),
            Fault::Below(input) => format!(
                "{} holds the array below its best voltage: it is still searching, or something pulls it down",
                self.input(self.at(*input))
            ),
            Fault::Light(share) if *share < 1000 => format!(
                "the whole array works with {} of the light that was read: dirt or haze on all of it, or the light was read too high",
                percent(*share)
            ),
            Fault::Light(share) => {
                format!("the light was {} of what was read: it was read too low", percent(*share))
            }
            Fault::Warmer(tenths) => {
                let k = plain(f64::from(tenths.unsigned_abs()) / 10.0, 0);
                let than = if *tenths > 0 { "warmer" } else { "colder" };
                format!("the cells were some {k}{GLUE}°C {than} than was read")
            }
            Fault::Misread(number) => match self.reading(*number) {
                Some(r) => format!("the {} was misread", self.spot(r.at, r.spot)),
                None => "a reading is wrong".to_owned(),
            },
        }
    }

    /// What to measure or look at, and which figure means which of two explanations.
    pub(super) fn next(self, next: &Next, first: &str, second: &str) -> String {
        let figure = |x: f64, volts: bool| {
            if volts {
                format!("{}{GLUE}V", fixed(x, 1))
            } else {
                format!("{}{GLUE}A", fixed(x, 2))
            }
        };
        let if_so = |x: String, y: String| format!("{x} means {first}; {y} means {second}");
        match next {
            Next::Spot(at, spot, x, y) => {
                let volts = spot.is_volts();
                let shows = if_so(figure(*x, volts), figure(*y, volts));
                format!("the {}: {shows}", self.spot(*at, *spot))
            }
            Next::PanelVolts(at, s, x, y) => format!(
                "the open voltage of each panel of {} by itself; of the odd one {}",
                self.string_of(*at, *s),
                if_so(figure(*x, true), figure(*y, true))
            ),
            Next::PanelAmps(at, s, x, y) => format!(
                "the short-circuit current of each panel of {} by itself; of the odd one {}",
                self.string_of(*at, *s),
                if_so(figure(*x, false), figure(*y, false))
            ),
            Next::Count(at, s, x, y) => format!(
                "count the panels of {}: {}",
                self.string_of(*at, *s),
                if_so(x.to_string(), y.to_string())
            ),
            Next::Polarity(at, s) => format!(
                "the polarity of each panel of {} by itself, and which lead goes where",
                self.string_of(*at, *s)
            ),
            Next::Joints(at, s) => {
                format!("each joint of {}, with the string isolated", self.string_of(*at, *s))
            }
            Next::Labels(at, s) => {
                format!("read the labels of the panels of {}", self.string_of(*at, *s))
            }
            Next::Leads(at, s) => format!(
                "follow the leads of {} to where they end, and look at its fuse or breaker",
                self.string_of(*at, *s)
            ),
            Next::Again(number) => match self.reading(*number) {
                Some(r) => format!("read the {} once more", self.spot(r.at, r.spot)),
                None => "take the reading once more".to_owned(),
            },
            Next::Light => "the light and the back's temperature once more, with other instruments; look whether the panels are clean".to_owned(),
            Next::Display(at) => format!(
                "the display of {} and the battery: does it want all it can get? With a load on or a battery half full, read volts and amps again",
                self.input(*at)
            ),
        }
    }
}

/// What a meter reads at a spot.
pub(super) fn what(spot: Spot) -> &'static str {
    match spot {
        Spot::StringVoc(_) => "open voltage",
        Spot::StringIsc(_) => "short-circuit current",
        Spot::StringAmps(_) => "current at work",
        Spot::OpenVolts => "voltage at the open disconnect",
        Spot::WorkVolts => "volts at work",
        Spot::WorkAmps => "amps at work",
    }
}
