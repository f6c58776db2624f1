//! Which states are the same but for places and strings that are alike.

use super::problem::Coming;
use super::state::State;

/// Equal for two states only if the same can still be kept in both, in the same ways.
///
/// What no later element of today could use is left out: room for kinds that are done with, ports of
/// inputs that are.
pub(super) fn key(state: &State) -> Box<[u16]> {
    let coming = &state.problem.coming[state.next];
    let n_strings = state.problem.plan.len();
    let mut strings: Vec<Vec<u16>> = Vec::with_capacity(n_strings);
    for s in 0..n_strings {
        let string = string_key(state, coming, s);
        if !string.is_empty() {
            strings.push(string);
        }
    }
    strings.sort_unstable();
    let mut key = vec![small(state.next)];
    for string in strings {
        key.push(small(string.len()));
        key.extend(string);
    }
    key.into_boxed_slice()
}

/// Empty if nothing more can be kept in this string.
fn string_key(state: &State, coming: &Coming, s: usize) -> Vec<u16> {
    let string = &state.problem.plan[s];
    let (mut chains, mut dead) = (Vec::new(), false);
    for place in string.start..string.end {
        if state.before[place].is_none() {
            let chain = chain_key(state, coming, place);
            dead |= chain.is_empty();
            if !chain.is_empty() {
                chains.push(chain);
            }
        }
    }
    if chains.is_empty() {
        return Vec::new();
    }
    chains.sort_unstable();
    // Ports matter by their input; and by whether a chain could reach from one to the other.
    let plus = state.plus[s].is_none() && coming.plus[s];
    let minus = state.minus[s].is_none() && coming.minus[s];
    let mut key = vec![2 * u16::from(plus) + u16::from(minus)];
    if plus || minus {
        let same = state.problem.plan.iter().position(|t| t.at == string.at);
        key.push(small(same.expect("the string itself is there")));
        key.push(u16::from(dead));
    }
    for chain in chains {
        key.push(small(chain.len()));
        key.extend(chain);
    }
    key
}

/// Empty if nothing more can be kept in or next to this chain.
fn chain_key(state: &State, coming: &Coming, head: usize) -> Vec<u16> {
    let string = state.string(head);
    // The ports it keeps, and the length so far; filled in below.
    let mut key = vec![0, 0];
    let (mut walls, mut live_until) = (0, 0);
    let (mut tail, mut next) = (head, Some(head));
    while let Some(place) = next {
        tail = place;
        next = state.after[place];
        let mark = match state.open.iter().find(|m| m.place == place) {
            Some(meeting) => 1 + u16::from(meeting.idle),
            None => 0,
        };
        let start = key.len();
        key.push(mark);
        for (kind, n) in state.room[place].iter().enumerate() {
            if coming.kind[kind] {
                key.extend(std::iter::repeat_n(small(kind), *n));
            }
        }
        let size = key.len() - start - 1;
        key[start] += small(3 * size);
        if mark > 0 || size > 0 {
            live_until = key.len();
        } else if start == 2 {
            // What is full and past is a wall, however long: before the live places …
            walls = 2;
            key.truncate(2);
        }
    }
    // … and after them.
    if live_until < key.len() {
        walls += 1;
    }
    if live_until == 0 {
        return Vec::new();
    }
    key.truncate(live_until);
    let ports = [(&state.plus, head), (&state.minus, tail)];
    let kept = ports.map(|(port, place)| u16::from(port[string] == Some(place)));
    key[0] = 2 * kept[0] + kept[1];
    key[1] = walls;
    key
}

fn small(n: usize) -> u16 {
    u16::try_from(n).expect("no site has as many panels")
}
