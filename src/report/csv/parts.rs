//! Rows of what to buy, and of cables.

use super::Rows;
use super::row::{Row, cell};
use crate::plan::{Cable, CableSize, Part};
use crate::report::figures::{amps, figure, volts, watts};
use crate::report::parts as words;

impl Rows<'_> {
    pub(super) fn parts(&mut self, parts: &[Part]) {
        for part in parts {
            let mut text = vec![words::for_what(self.names, part), words::why(self.names, part)];
            text.extend(words::unsure(self.names, part));
            let row = Row {
                name: cell(&words::plain_text(&words::what(part))),
                verdict: part.item.name(),
                offered: Some(part.at_most),
                used: Some(part.at_least),
                controller: cell(self.names.controller(part.place.at)),
                input: Some(part.place.at.input),
                string: part.place.string.map(|s| s + 1),
                volts: part.volts.and_then(volts),
                amps: part.amps.and_then(amps),
                text: cell(&words::plain_text(&text.join("; "))),
                ..self.row("part")
            };
            self.rows.push(row);
        }
    }

    pub(super) fn cables(&mut self, wiring_of: &'static str, cables: &[Cable]) {
        for cable in cables {
            let size = cable
                .cross_section()
                .map_or_else(String::new, |size| format!(" of {}", size.name()));
            let row = Row {
                wiring_of,
                name: cable.run.part.name().into(),
                verdict: match cable.size {
                    CableSize::NoneServes => "none_serves",
                    _ if cable.is_too_small() => "too_small",
                    _ => "serves",
                },
                watts: cable.loss.and_then(|l| watts(l.watts)),
                volts: cable.loss.and_then(|l| volts(l.drop)),
                amps: cable.loss.and_then(|l| amps(l.current)),
                controller: cell(self.names.controller(cable.run.at)),
                input: Some(cable.run.at.input),
                value: figure(cable.need.amps(), 3),
                limit: cable.carries.and_then(|a| figure(a.allowed.amps(), 3)),
                unit: "A",
                text: words::plain_text(&format!("{}{size}", words::length(cable))),
                ..self.row("cable")
            };
            self.rows.push(row);
        }
    }
}
