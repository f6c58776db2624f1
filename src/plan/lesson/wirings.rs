//! Every wiring of a handful of panels.

use crate::model::{ArrayWiring, Element, KindIdx, PanelString};

/// Every array that can be made of some or all of these panels, each once: strings of singles and of
/// blocks of up to `block_max`, at most `ports` of them. A block that would be a string by itself is
/// left out, since its panels are strings in parallel anyway.
pub(super) fn all_wirings(counts: &[usize], block_max: usize, ports: usize) -> Vec<ArrayWiring> {
    let most: usize = counts.iter().sum();
    let elements: Vec<Made<Element>> = choose(
        &(0..counts.len()).map(|k| single(k, counts.len())).collect::<Vec<_>>(),
        counts,
        block_max,
    )
    .into_iter()
    .map(|made| Made { what: Element::block(made.what), uses: made.uses })
    .collect();
    let strings: Vec<Made<PanelString>> = choose(&elements, counts, most)
        .into_iter()
        .filter(|made| made.what.len() > 1 || !made.what[0].is_block())
        .map(|made| Made { what: PanelString::new(made.what), uses: made.uses })
        .collect();
    choose(&strings, counts, ports)
        .into_iter()
        .map(|made| ArrayWiring { strings: made.what })
        .collect()
}

/// Something made of panels, and how many of each kind it takes.
#[derive(Debug, Clone)]
struct Made<T> {
    what: T,
    uses: Vec<usize>,
}

fn single(kind: usize, n_kinds: usize) -> Made<KindIdx> {
    let mut uses = vec![0; n_kinds];
    uses[kind] = 1;
    Made { what: KindIdx(kind), uses }
}

/// Every choice of one to `most` things, with repetition and without order, that takes no more panels
/// than there are.
fn choose<T: Clone>(of: &[Made<T>], counts: &[usize], most: usize) -> Vec<Made<Vec<T>>> {
    let mut found = Vec::new();
    let mut open = vec![(0, Made { what: Vec::new(), uses: vec![0; counts.len()] })];
    while let Some((from, so_far)) = open.pop() {
        if so_far.what.len() == most {
            continue;
        }
        for (idx, next) in of.iter().enumerate().skip(from) {
            let uses: Vec<usize> = so_far.uses.iter().zip(&next.uses).map(|(a, b)| a + b).collect();
            if uses.iter().zip(counts).any(|(used, there)| used > there) {
                continue;
            }
            let mut what = so_far.what.clone();
            what.push(next.what.clone());
            let made = Made { what, uses };
            found.push(made.clone());
            open.push((idx, made));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counted for this project by an independent program: wirings of any of 1, 2, 3 distinct panels,
    /// with blocks of any size.
    #[test]
    fn the_wirings_of_few_panels_are_as_many_as_counted_elsewhere() {
        for (n, count) in [(1, 1), (2, 4), (3, 17), (4, 88)] {
            assert_eq!(all_wirings(&vec![1; n], n, n).len(), count, "{n} panels");
        }
    }

    /// The same source: all panels used, two of one kind and one of another.
    #[test]
    fn equal_panels_are_not_told_apart() {
        let all = all_wirings(&[2, 1], 3, 3);
        assert_eq!(all.iter().filter(|a| a.panels().count() == 3).count(), 6);
    }
}
