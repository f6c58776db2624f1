//! Lists of strings kept for inputs that are alike.

use std::cell::RefCell;
use std::rc::Rc;

use super::enumerate::{PatternSet, free_patterns};
use super::{Arithmetic, Bench, Stock};
use crate::model::Controller;

/// Lists kept, the latest: they are large.
const KEPT: usize = 4;

/// What was listed for one installation: inputs alike, and levels with the same stock, ask again.
#[derive(Default)]
pub struct Shelf {
    lists: RefCell<Vec<(Key, Rc<PatternSet>)>>,
}

/// What a list depends on, labels, planes and site being the same; room on planes is in the stock.
#[derive(Clone, PartialEq)]
struct Key {
    controller: Controller,
    stock: Stock,
    arithmetic: Arithmetic,
}

impl Shelf {
    /// [`free_patterns`], listed once.
    pub(super) fn free(
        &self,
        bench: &Bench,
        stock: &Stock,
        arithmetic: Arithmetic,
    ) -> Rc<PatternSet> {
        let key =
            Key { controller: of_one_string(bench.controller()), stock: stock.clone(), arithmetic };
        if let Some((_, set)) = self.lists.borrow().iter().find(|(known, _)| *known == key) {
            return Rc::clone(set);
        }
        let set = Rc::new(free_patterns(bench, stock, arithmetic));
        let mut lists = self.lists.borrow_mut();
        if lists.len() == KEPT {
            lists.remove(0);
        }
        lists.push((key, Rc::clone(&set)));
        set
    }
}

/// A controller as one string sees it: its name and what adds up over an array left out.
fn of_one_string(controller: &Controller) -> Controller {
    Controller {
        id: String::new(),
        n_inputs: 1,
        string_ports: 1,
        max_pv_current: None,
        max_pv_power: None,
        spare: None,
        ..controller.clone()
    }
}
