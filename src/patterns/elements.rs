//! Elements that a string may be made of.

use super::BLOCK_VOLTAGE_SPREAD;
use crate::model::{Element, Kind, KindIdx};

/// May these panels stand in one block?
pub(super) fn may_share_block(members: &[KindIdx], kinds: &[Kind]) -> bool {
    let v_oc = || members.iter().map(|k| kinds[k.0].label.v_oc.volts());
    let (low, high) = (v_oc().fold(f64::INFINITY, f64::min), v_oc().fold(0.0, f64::max));
    high - low <= BLOCK_VOLTAGE_SPREAD * high * (1.0 + 1e-9)
}

/// Every single and every block of up to `block_max` panels from a stock, in ascending order.
pub(super) fn possible_elements(kinds: &[Kind], stock: &[usize], block_max: usize) -> Vec<Element> {
    let mut found = Vec::new();
    grow(&mut Vec::new(), 0, kinds, stock, block_max, &mut found);
    found.sort_by_key(|e: &Element| (e.members().len(), e.clone()));
    found
}

fn grow(
    members: &mut Vec<KindIdx>,
    from: usize,
    kinds: &[Kind],
    stock: &[usize],
    block_max: usize,
    found: &mut Vec<Element>,
) {
    for k in from..kinds.len() {
        let used = members.iter().filter(|m| m.0 == k).count();
        if used == stock[k] {
            continue;
        }
        members.push(KindIdx(k));
        if may_share_block(members, kinds) {
            found.push(Element::block(members.clone()));
            if members.len() < block_max {
                grow(members, k, kinds, stock, block_max, found);
            }
        }
        members.pop();
    }
}
