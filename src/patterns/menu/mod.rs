//! Candidate strings of one input as a compact list: for sites by the thousand.
//!
//! The same search space as [`free_patterns`](super::free_patterns) and
//! [`extended_patterns`](super::extended_patterns), and the same limits; but strings are numbers of
//! elements, nothing is kept of their curves, and where a look at a few figures settles whether a
//! limit is kept, no curve is drawn. Where there are more strings than allowed, the list is narrowed
//! step by step, and says so.

mod extend;
mod free;
mod misses;
mod parts;
mod scope;

pub use misses::{Miss, Misses};
pub use parts::Part;

use super::Bench;
use crate::model::PanelString;
use parts::Parts;

/// A string that could be built, by its elements.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dish {
    from: u32,
    len: u16,
    /// For which sort of installed string it stands, if for any.
    pub group: Option<u16>,
    /// Bus voltage at which it takes its fuse rating backwards, at STC and cold. \[V\]
    pub float_limit: [f64; 2],
    /// Largest short-circuit current of the whole array at which it stays safe in a fault. \[A\]
    pub most_array_i_sc: f64,
}

/// Candidate strings of one input.
#[derive(Debug, Clone)]
pub struct Menu {
    /// The elements that strings are made of.
    pub parts: Vec<Part>,
    codes: Vec<u16>,
    /// The strings.
    pub dishes: Vec<Dish>,
    /// How the list had to be narrowed, in words; empty where it is whole.
    pub searched: String,
    /// Nearest misses of each kind.
    pub misses: Misses,
}

/// What is listed.
#[derive(Debug, Clone, Copy)]
pub struct Order<'a> {
    /// Panels of each kind that new strings may have.
    pub free: &'a [usize],
    /// Panels of each kind that installed strings may be lengthened or widened by.
    pub added: &'a [usize],
    /// The sorts of installed strings that are kept together.
    pub groups: &'a [PanelString],
    /// Most new strings listed in any but the narrowest scope.
    pub most_new: usize,
    /// The same of extensions, of all groups together.
    pub most_extended: usize,
}

impl Menu {
    /// Lists what an order asks for.
    #[must_use]
    pub fn list(bench: &Bench, order: Order) -> Self {
        let mut parts = Parts::new(bench);
        let mut found = Found::default();
        let mut searched = free::list(&mut parts, order, &mut found);
        let extended = extend::list(&mut parts, order, &mut found);
        if !extended.is_empty() {
            searched =
                if searched.is_empty() { extended } else { format!("{searched}; {extended}") };
        }
        let Found { codes, dishes, misses } = found;
        Self { parts: parts.finish(), codes, dishes, searched, misses }
    }

    /// The elements of a string, by their places in `parts`.
    #[must_use]
    pub fn code(&self, dish: &Dish) -> &[u16] {
        &self.codes[dish.from as usize..dish.from as usize + dish.len as usize]
    }

    /// The string itself.
    #[must_use]
    pub fn string(&self, dish: &Dish) -> PanelString {
        let element = |at: &u16| self.parts[*at as usize].element.clone();
        PanelString::new(self.code(dish).iter().map(element).collect()).canonical()
    }

    /// Keeps the strings of which this holds, in order.
    pub fn retain(&mut self, mut keep: impl FnMut(usize, &Dish) -> bool) {
        let mut at = 0;
        let mut codes = Vec::new();
        let old = &self.codes;
        self.dishes.retain_mut(|dish| {
            let kept = keep(at, dish);
            at += 1;
            if kept {
                let from = dish.from as usize;
                dish.from = codes.len() as u32;
                codes.extend_from_slice(&old[from..from + dish.len as usize]);
            }
            kept
        });
        codes.shrink_to_fit();
        self.codes = codes;
        self.dishes.shrink_to_fit();
    }
}

/// What a listing has found so far.
#[derive(Default)]
struct Found {
    codes: Vec<u16>,
    dishes: Vec<Dish>,
    misses: Misses,
}

impl Found {
    /// Takes a string in, if it keeps the limits of one string alone.
    fn take(&mut self, parts: &mut Parts, code: &[u16], group: Option<u16>) {
        match parts.unfit(code) {
            Some(miss) => self.misses.note(parts, code, miss),
            None => {
                let (float_limit, most_array_i_sc) = parts.backwards(code);
                let from = self.codes.len() as u32;
                self.codes.extend_from_slice(code);
                let len = code.len() as u16;
                self.dishes.push(Dish { from, len, group, float_limit, most_array_i_sc });
            }
        }
    }
}
