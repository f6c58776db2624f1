//! The keys of a row of stock: those of a kind, and how many there are at which price.

use crate::input::keys::{Holds, KIND, Key, Range, Section, Unit};

/// Most panels of one kind: more is a slip, or a factory.
const MOST_PANELS: usize = 100_000;

const ID: Key = Key {
    name: "id",
    holds: Holds::Text,
    if_missing: Some(
        "write a short name of your own, such as `creek-90`; delete the row if it is no panel",
    ),
};
const COUNT: Key = Key {
    name: "count",
    holds: Holds::Count(0, MOST_PANELS),
    if_missing: Some("write how many there are; 0 if none are left"),
};
const PRICE: Key = Key {
    name: "price",
    holds: Holds::Number(Unit::None, Range { lo: 0.0, hi: 1e9, open: false }),
    if_missing: None,
};

const N_KIND_KEYS: usize = KIND.keys.len();

const KEYS: [Key; N_KIND_KEYS + 2] = {
    let mut keys = [COUNT; N_KIND_KEYS + 2];
    let mut k = 0;
    while k < N_KIND_KEYS {
        keys[k] = KIND.keys[k];
        k += 1;
    }
    // The id of a kind stands first.
    keys[0] = ID;
    keys[N_KIND_KEYS + 1] = PRICE;
    keys
};

/// A row of stock.
pub(super) const STOCK: Section = Section { noun: "kind", keys: &KEYS };

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_has_every_key_of_a_kind_once() {
        let names: Vec<&str> = STOCK.keys.iter().map(|k| k.name).collect();
        for key in KIND.keys {
            assert_eq!(names.iter().filter(|n| **n == key.name).count(), 1, "{}", key.name);
        }
        assert_eq!(KIND.keys[0].name, "id");
        assert!(names.ends_with(&["count", "price"]));
    }

    #[test]
    fn the_page_lists_the_columns_that_a_kind_does_not_have() {
        let page = include_str!("../../../docs/input.md");
        let (_, part) = page.split_once("\n## A stock file\n").expect("it has a part of its own");
        let part = part.split("\n## ").next().expect("the part itself");
        assert!(part.contains("| `count` | 0 to 100000 | yes |"), "{part}");
        assert!(part.contains("| `price` | from 0 to 1000000000 | no |"), "{part}");
    }
}
