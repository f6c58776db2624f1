//! What many people will do with a spare panel, and what comes of it.

use super::Desk;
use super::columns::installed_array;
use crate::model::{ArrayWiring, Element, InputRef, InputWiring, KindIdx, PanelString};
use crate::plan::{CheckRule, ObviousWay, Outcome};
use crate::units::{Amps, Watts};

impl Desk<'_> {
    /// One panel straight in parallel, and at the end of the first string: what many people will do.
    pub(super) fn obvious_ways(&self, at: InputRef, kind: KindIdx) -> Vec<ObviousWay> {
        let bench = self.bench(at);
        let today = installed_array(&bench);
        let mut beside = today.clone();
        beside.strings.push(PanelString::new(vec![Element::single(kind)]));
        let longer = today.strings.first().map(|first| {
            let mut elements = first.elements().to_vec();
            elements.push(Element::single(kind));
            let mut array = today.clone();
            array.strings[0] = PanelString::new(elements);
            ("in_series", array)
        });
        let parallel = (!today.strings.is_empty()).then_some(("in_parallel", beside));
        parallel
            .into_iter()
            .chain(longer)
            .map(|(way, array)| self.obvious(way, today, InputWiring { at, array }))
            .collect()
    }

    fn obvious(&self, way: &'static str, today: &ArrayWiring, wiring: InputWiring) -> ObviousWay {
        let evaluator = &self.evaluator;
        let before = InputWiring { at: wiring.at, array: today.clone() };
        let (watts, today) = (evaluator.watts(&wiring), evaluator.watts(&before));
        let checks = evaluator.checks(&wiring);
        let reverse = checks
            .iter()
            .find(|c| c.rule == CheckRule::IdleReverseCurrent)
            .and_then(|c| c.value)
            .unwrap_or(0.0);
        ObviousWay {
            way,
            watts,
            change: Watts(watts.watts() - today.watts()),
            reverse: Amps(reverse.max(0.0)),
            breaches: checks.into_iter().filter(|c| c.outcome == Outcome::Breach).collect(),
        }
    }
}
