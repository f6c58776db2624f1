//! Random wirings, the same on every machine.

use sungraft::model::{ArrayWiring, Element, InputRef, InputWiring, KindIdx, PanelString};

/// Linear congruential generator, so that the cases are the same on every machine.
///
/// Multiplier and increment: D.E. Knuth, MMIX (from memory, check your edition).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn below(&mut self, n: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("31 bits fit") % n
    }

    /// Up to `n_panels` panels in up to three strings on one or two inputs, blocks included.
    pub(crate) fn wiring(
        &mut self,
        n_panels: usize,
        n_kinds: usize,
        n_inputs: usize,
    ) -> Vec<InputWiring> {
        let mut strings: Vec<(usize, Vec<Vec<KindIdx>>)> = Vec::new();
        for _ in 0..n_panels {
            let kind = KindIdx(self.below(n_kinds));
            let fresh = strings.len() < 3 && (strings.is_empty() || self.below(3) == 0);
            if fresh {
                strings.push((self.below(n_inputs), vec![vec![kind]]));
                continue;
            }
            let string = self.below(strings.len());
            let elements = &mut strings[string].1;
            let element = self.below(elements.len());
            if self.below(3) == 0 && elements[element].len() < 3 {
                elements[element].push(kind);
            } else {
                elements.insert(element, vec![kind]);
            }
        }
        (0..n_inputs)
            .map(|i| {
                let here = strings.iter().filter(|(at, _)| *at == i);
                let strings = here.map(|(_, elements)| {
                    PanelString::new(elements.iter().cloned().map(Element::block).collect())
                });
                InputWiring { at: at(i), array: ArrayWiring { strings: strings.collect() } }
            })
            .collect()
    }
}

pub(crate) fn at(i: usize) -> InputRef {
    InputRef { controller: i, input: 1 }
}
