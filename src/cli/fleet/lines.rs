//! The lines of a journal: what the library found, as text and back.
//!
//! Figures stand as their bits, since a decimal that is read back may differ in its last one, and then
//! another course would be taken.

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::model::InputRef;
use crate::plan::{AloneFound, CheckRule, Found, OfferRecord, PickedFound, Unit};

/// One line.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub(super) struct Line {
    pub(super) site: String,
    pub(super) key: String,
    controller: usize,
    input: usize,
    question: Hex,
    found: FoundLine,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum FoundLine {
    Best { best: Option<PickedLine>, bound: Hex },
    Alone { met: Vec<PickedLine>, kinds: Vec<KindLine> },
}

#[derive(Debug, Clone, Serialize, Deserialize)]
struct PickedLine {
    picks: Vec<(usize, usize)>,
    value: Hex,
}

#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum KindLine {
    Brings(usize, Hex),
    TooLittle(Hex),
    Breaches(Option<(String, Hex, Hex, String)>),
}

/// Sixty-four bits, as sixteen digits.
#[derive(Debug, Clone, Copy)]
struct Hex(u64);

impl Serialize for Hex {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&format_args!("{:016x}", self.0))
    }
}

impl<'de> Deserialize<'de> for Hex {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        u64::from_str_radix(&text, 16).map(Self).map_err(de::Error::custom)
    }
}

impl From<f64> for Hex {
    fn from(x: f64) -> Self {
        Self(x.to_bits())
    }
}

impl Hex {
    fn figure(self) -> f64 {
        f64::from_bits(self.0)
    }
}

const RULES: [CheckRule; 11] = [
    CheckRule::ColdVoc,
    CheckRule::SystemVoltage,
    CheckRule::HotWindow,
    CheckRule::StartVoltage,
    CheckRule::InputCurrent,
    CheckRule::InputPower,
    CheckRule::StringPorts,
    CheckRule::IdleReverseCurrent,
    CheckRule::FaultReverseCurrent,
    CheckRule::StringFuse,
    CheckRule::ChargeLimit,
];

const UNITS: [Unit; 5] = [Unit::Volts, Unit::Amps, Unit::Watts, Unit::Percent, Unit::Strings];

impl Line {
    pub(super) fn of(site: &str, key: String, record: &OfferRecord) -> Self {
        let kind = |kind: &AloneFound| match kind {
            AloneFound::Brings(tag, value) => KindLine::Brings(*tag, (*value).into()),
            AloneFound::TooLittle(value) => KindLine::TooLittle((*value).into()),
            AloneFound::Breaches(miss) => {
                KindLine::Breaches(miss.map(|(rule, value, limit, unit)| {
                    (rule.name().into(), value.into(), limit.into(), unit.symbol().into())
                }))
            }
        };
        let found = match &record.found {
            Found::Best { best, bound } => {
                FoundLine::Best { best: best.as_ref().map(picked), bound: (*bound).into() }
            }
            Found::Alone { met, kinds } => FoundLine::Alone {
                met: met.iter().map(picked).collect(),
                kinds: kinds.iter().map(kind).collect(),
            },
        };
        Self {
            site: site.to_owned(),
            key,
            controller: record.at.controller,
            input: record.at.input,
            question: Hex(record.question),
            found,
        }
    }

    /// What it says of a customer; `None` if it names a limit that there is not.
    pub(super) fn record(self, customer: usize) -> Option<OfferRecord> {
        let picked =
            |line: PickedLine| PickedFound { picks: line.picks, value: line.value.figure() };
        let found = match self.found {
            FoundLine::Best { best, bound } => {
                Found::Best { best: best.map(picked), bound: bound.figure() }
            }
            FoundLine::Alone { met, kinds } => Found::Alone {
                met: met.into_iter().map(picked).collect(),
                kinds: kinds.into_iter().map(alone).collect::<Option<_>>()?,
            },
        };
        let at = InputRef { controller: self.controller, input: self.input };
        Some(OfferRecord { customer, at, question: self.question.0, found })
    }
}

fn picked(found: &PickedFound) -> PickedLine {
    PickedLine { picks: found.picks.clone(), value: found.value.into() }
}

fn alone(line: KindLine) -> Option<AloneFound> {
    Some(match line {
        KindLine::Brings(tag, value) => AloneFound::Brings(tag, value.figure()),
        KindLine::TooLittle(value) => AloneFound::TooLittle(value.figure()),
        KindLine::Breaches(None) => AloneFound::Breaches(None),
        KindLine::Breaches(Some((rule, value, limit, unit))) => {
            let rule = RULES.into_iter().find(|r| r.name() == rule)?;
            let unit = UNITS.into_iter().find(|u| u.symbol() == unit)?;
            AloneFound::Breaches(Some((rule, value.figure(), limit.figure(), unit)))
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn records() -> [OfferRecord; 3] {
        let picked = |value| PickedFound { picks: vec![(0, 1), (17, 2)], value };
        let at = InputRef { controller: 1, input: 2 };
        let record = |question, found| OfferRecord { customer: 3, at, question, found };
        let kinds = vec![
            AloneFound::Brings(1, 0.1 + 0.2),
            AloneFound::TooLittle(-1e-300),
            AloneFound::Breaches(None),
            AloneFound::Breaches(Some((CheckRule::ColdVoc, 161.25, 150.0, Unit::Volts))),
        ];
        [
            record(7, Found::Best { best: Some(picked(1.0 / 3.0)), bound: f64::NEG_INFINITY }),
            record(u64::MAX, Found::Best { best: None, bound: 0.0 }),
            record(0, Found::Alone { met: vec![picked(5.0)], kinds }),
        ]
    }

    #[test]
    fn what_is_read_back_is_the_same_to_the_last_bit() {
        for record in records() {
            let line = Line::of("a.yaml", "k".into(), &record);
            let text = serde_json::to_string(&line).expect("plain data serializes");
            let line: Line = serde_json::from_str(&text).expect("is a line");
            assert_eq!(line.record(3), Some(record), "{text}");
        }
    }

    #[test]
    fn every_rule_and_unit_can_be_read_back() {
        for rule in RULES {
            for unit in UNITS {
                let miss = KindLine::Breaches(Some((
                    rule.name().into(),
                    1.0.into(),
                    2.0.into(),
                    unit.symbol().into(),
                )));
                assert_eq!(alone(miss), Some(AloneFound::Breaches(Some((rule, 1.0, 2.0, unit)))));
            }
        }
        let odd = KindLine::Breaches(Some(("mood".into(), 1.0.into(), 2.0.into(), "V".into())));
        assert_eq!(alone(odd), None);
    }
}
