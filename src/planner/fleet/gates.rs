//! Rules that depend on the whole array, for the columns of one question.

use std::cell::RefCell;
use std::collections::HashMap;

use super::ground::{Ground, Item};
use crate::electrical::{Curve, stc};
use crate::model::{Element, KindIdx};
use crate::patterns::series_current;
use crate::solve::Gate;

/// What a gate holds a column against.
#[derive(Debug, Clone, Copy)]
pub(super) struct Keys {
    pub float_limit: [f64; 2],
    pub most_array_i_sc: f64,
    pub i_sc: f64,
}

/// The bus of an idle controller must not float so high that a string takes more than its rating.
pub(super) struct FloatGate<'a> {
    pub ground: &'a Ground,
    pub items: &'a [Item],
    pub keys: &'a [Keys],
    /// 0 is full sun, 1 the coldest morning.
    pub condition: usize,
    curves: RefCell<HashMap<Element, Curve>>,
}

impl<'a> FloatGate<'a> {
    pub(super) fn new(
        ground: &'a Ground,
        items: &'a [Item],
        keys: &'a [Keys],
        condition: usize,
    ) -> Self {
        Self { ground, items, keys, condition, curves: RefCell::default() }
    }

    fn current(&self, elements: &[Element], v: f64) -> f64 {
        let condition = if self.condition == 0 { stc() } else { self.ground.cold };
        let mut curves = self.curves.borrow_mut();
        let panel = |k: &KindIdx| self.ground.catalog.model(*k).curve(condition);
        for element in elements {
            if !curves.contains_key(element) {
                let parts: Vec<Curve> = element.members().iter().map(panel).collect();
                let curve = Curve::in_parallel(&parts.iter().collect::<Vec<_>>());
                let curve = if element.is_block() { curve } else { parts[0].clone() };
                curves.insert(element.clone(), curve);
            }
        }
        let all: Vec<&Curve> = elements.iter().map(|e| &curves[e]).collect();
        series_current(&all, v)
    }
}

impl Gate for FloatGate<'_> {
    fn name(&self) -> &'static str {
        "idle_reverse_current"
    }
    fn key(&self, column: usize) -> f64 {
        self.keys[column].float_limit[self.condition]
    }
    fn load(&self, column: usize, key: f64) -> f64 {
        match self.items[column] {
            Item::Base => {
                let strings = &self.ground.today.strings;
                strings.iter().map(|s| self.current(s.elements(), key)).sum()
            }
            Item::Dish(d) => {
                let menu = &self.ground.menu;
                self.current(menu.string(&menu.dishes[d as usize]).elements(), key)
            }
        }
    }
    fn cap(&self, _key: f64) -> f64 {
        0.0
    }
}

/// The array must not feed more into a fault than its most delicate string stands.
pub(super) struct FaultGate<'a> {
    pub keys: &'a [Keys],
}

impl Gate for FaultGate<'_> {
    fn name(&self) -> &'static str {
        "fault_reverse_current"
    }
    fn key(&self, column: usize) -> f64 {
        self.keys[column].most_array_i_sc
    }
    fn load(&self, column: usize, _key: f64) -> f64 {
        self.keys[column].i_sc
    }
    fn cap(&self, key: f64) -> f64 {
        key
    }
}
