//! Many alike drawn as one: panels in a row, and strings one below the other.

use super::joints::Stands;
use super::scene::{ElementBox, Mark, Panel, StringRow};

/// From this many neighbours on one stands for all.
const FOLD_FROM: usize = 3;
/// Up to so many strings are all drawn, alike or not.
const ALL_STRINGS: usize = 4;

/// The same string with runs of alike elements as one each.
pub(super) fn fold_elements(row: &StringRow) -> StringRow {
    let mut elements = Vec::new();
    for run in row.elements.chunk_by(follows_alike) {
        if run.len() < FOLD_FROM {
            elements.extend_from_slice(run);
        } else {
            elements.push(as_one(run));
        }
    }
    StringRow { elements, ..row.clone() }
}

/// Is the right one like the left one, with nothing new between them but what is new in both?
fn follows_alike(left: &ElementBox, right: &ElementBox) -> bool {
    let alike = |(a, b): (&Panel, &Panel)| {
        let between = match a.mark {
            Mark::AsToday => Stands::Today,
            Mark::New => Stands::New,
            Mark::From(_) | Mark::Out => return false,
        };
        (a.kind, &a.mark, &a.fuse) == (b.kind, &b.mark, &b.fuse)
            && (a.plus, b.minus) == (between, between)
    };
    left.members.len() == right.members.len() && left.members.iter().zip(&right.members).all(alike)
}

/// Places count from the plus end, so that the lowest stands rightmost.
fn as_one(run: &[ElementBox]) -> ElementBox {
    let (left, right) = (&run[0], &run[run.len() - 1]);
    let member = |(l, r): (&Panel, &Panel)| Panel {
        place: r.place.clone(),
        last_place: Some(l.place.clone()),
        minus: l.minus,
        ..several(r)
    };
    let members = left.members.iter().zip(&right.members).map(member).collect();
    ElementBox { alike: run.len(), members }
}

/// A panel that stands for several: no single tape is named.
fn several(panel: &Panel) -> Panel {
    let tape = if panel.mark == Mark::New { "new".to_owned() } else { String::new() };
    Panel { tape, ..panel.clone() }
}

/// Strings one below the other, alike ones as one where there are many.
pub(super) fn fold_strings(rows: &[StringRow]) -> Vec<StringRow> {
    if rows.len() <= ALL_STRINGS {
        return rows.to_vec();
    }
    let mut folded = Vec::new();
    for run in rows.chunk_by(same_string) {
        if run.len() < FOLD_FROM {
            folded.extend_from_slice(run);
        } else {
            let mut row = StringRow { alike: run.len(), ..run[0].clone() };
            for member in row.elements.iter_mut().flat_map(|e| &mut e.members) {
                *member = several(member);
            }
            folded.push(row);
        }
    }
    folded
}

/// Would two strings be drawn the same but for their numbers?
fn same_string(a: &StringRow, b: &StringRow) -> bool {
    let panel = |p: &Panel| match p.mark {
        Mark::AsToday | Mark::New => {
            Some((p.kind, p.mark.clone(), p.fuse.clone(), p.minus, p.plus))
        }
        Mark::From(_) | Mark::Out => None,
    };
    let elements = |row: &StringRow| -> Option<Vec<Vec<_>>> {
        row.elements.iter().map(|e| e.members.iter().map(panel).collect()).collect()
    };
    let (of_a, of_b) = (elements(a), elements(b));
    of_a.is_some()
        && of_a == of_b
        && (&a.figures, &a.fuse) == (&b.figures, &b.fuse)
        && (a.minus_port, a.plus_port) == (b.minus_port, b.plus_port)
}

/// Panels that leave the array: where there are many, those of one kind as one.
pub(super) fn fold_out(out: &[Panel]) -> Vec<ElementBox> {
    const ALL: usize = 8;
    let single = |panel: &Panel| ElementBox { alike: 1, members: vec![panel.clone()] };
    if out.len() <= ALL {
        return out.iter().map(single).collect();
    }
    let mut kinds: Vec<_> = out.iter().map(|p| p.kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    let of_kind = |kind| {
        let panels: Vec<&Panel> = out.iter().filter(|p| p.kind == kind).collect();
        let last_place = (panels.len() > 1).then(|| panels[panels.len() - 1].place.clone());
        let one = Panel { last_place, ..panels[0].clone() };
        ElementBox { alike: panels.len(), members: vec![one] }
    };
    kinds.into_iter().map(of_kind).collect()
}
