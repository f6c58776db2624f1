//! From the search's numbers back to panels and places.

use super::problem::{Problem, array_at, unchanged};
use super::state::{Move, State};
use super::{End, PanelMove, PanelPlace, PanelSource, PortKept};
use crate::model::{ArrayWiring, Element, InputRef, InputWiring, KindIdx, PanelString};

/// The plan laid out: its wiring, where each panel comes from, which ports stay.
pub(super) struct Layout {
    pub(super) inputs: Vec<InputWiring>,
    pub(super) panels: Vec<PanelMove>,
    pub(super) ports: Vec<PortKept>,
}

/// A planned string laid out, before it is known where it stands in its array.
struct LaidOut {
    elements: Vec<Vec<(KindIdx, PanelSource)>>,
    /// Strings of today whose ports it keeps.
    plus: Option<usize>,
    minus: Option<usize>,
    /// Its place in the planned array.
    idx: usize,
}

/// Lays every input of the plan out. `moves` are the search's answer to `problem`.
pub(super) fn lay_out(
    today: &[InputWiring],
    plan: &[InputWiring],
    problem: &Problem,
    moves: &[Move],
) -> Layout {
    let mut searched = searched_strings(today, problem, moves);
    let mut layout = Layout { inputs: Vec::new(), panels: Vec::new(), ports: Vec::new() };
    for input in plan {
        let at = input.at;
        let stays = |today_idx: usize, idx: usize| as_today(today, at, today_idx, idx);
        let mut strings: Vec<LaidOut> = if unchanged(today, plan, at) {
            (0..array_at(today, at).len()).map(|i| stays(i, i)).collect()
        } else {
            let settled = problem.settled.iter().filter(|s| s.at == at);
            let settled = settled.map(|s| stays(s.today, s.plan));
            let (here, others): (Vec<_>, Vec<_>) =
                searched.into_iter().partition(|(a, _)| *a == at);
            searched = others;
            settled.chain(here.into_iter().map(|(_, s)| s)).collect()
        };
        // What keeps a port stands where that port's string stands today, as far as can be.
        strings.sort_by_key(|s| (s.plus.or(s.minus).unwrap_or(usize::MAX), s.idx));
        let mut wired = Vec::with_capacity(strings.len());
        for (string, laid_out) in strings.into_iter().enumerate() {
            wired.push(layout.add(at, string, laid_out));
        }
        let array = ArrayWiring { strings: wired };
        layout.inputs.push(InputWiring { at, array });
    }
    layout
}

impl Layout {
    fn add(&mut self, at: InputRef, string: usize, laid_out: LaidOut) -> PanelString {
        for (end, today) in [(End::Plus, laid_out.plus), (End::Minus, laid_out.minus)] {
            if let Some(today) = today {
                self.ports.push(PortKept { at, end, today, plan: string });
            }
        }
        let mut elements = Vec::with_capacity(laid_out.elements.len());
        for (element, members) in laid_out.elements.into_iter().enumerate() {
            elements.push(Element::block(members.iter().map(|(kind, _)| *kind).collect()));
            for (member, (kind, from)) in members.into_iter().enumerate() {
                let to = PanelPlace { at, string, element, member };
                self.panels.push(PanelMove { kind, from, to });
            }
        }
        PanelString::new(elements)
    }
}

/// A string of today as it is.
fn as_today(today: &[InputWiring], at: InputRef, today_idx: usize, idx: usize) -> LaidOut {
    let string = &array_at(today, at)[today_idx];
    let elements = string.elements().iter().enumerate().map(|(element, e)| {
        let members = e.members().iter().enumerate();
        let place = |member| PanelPlace { at, string: today_idx, element, member };
        members.map(|(member, kind)| (*kind, PanelSource::Installed(place(member)))).collect()
    });
    LaidOut { elements: elements.collect(), plus: Some(today_idx), minus: Some(today_idx), idx }
}

/// The planned strings that were searched, with their inputs.
fn searched_strings(
    today: &[InputWiring],
    problem: &Problem,
    moves: &[Move],
) -> Vec<(InputRef, LaidOut)> {
    let mut state = State::new(problem);
    let (mut plus, mut minus) = (vec![None; problem.plan.len()], vec![None; problem.plan.len()]);
    let mut stock = Stock::new(today, problem);
    let mut panels: Vec<Vec<(usize, PanelSource)>> = vec![Vec::new(); problem.places.len()];
    for (e, made) in moves.iter().enumerate() {
        state.make(made);
        for &(kind, place) in &made.panels {
            panels[place].push((kind, stock.take(e, kind)));
        }
        let string = problem.elements[e].string;
        made.plus.iter().for_each(|p| plus[state.string(*p)] = Some(string));
        made.minus.iter().for_each(|p| minus[state.string(*p)] = Some(string));
    }
    stock.fill(problem, &state, &mut panels);
    let idx = |s: Option<usize>| s.map(|s| problem.today[s].idx);
    let strings = problem.plan.iter().enumerate().map(|(s, string)| {
        let elements = order(&state, s).into_iter().map(|place| {
            panels[place].sort_unstable();
            let panels = panels[place].iter();
            panels.map(|(kind, from)| (problem.kinds[*kind], *from)).collect()
        });
        let laid_out = LaidOut {
            elements: elements.collect(),
            plus: idx(plus[s]),
            minus: idx(minus[s]),
            idx: string.idx,
        };
        (string.at, laid_out)
    });
    strings.collect()
}

/// The places of a string from its plus end: chains end to end, those that keep a port at their ends.
fn order(state: &State, s: usize) -> Vec<usize> {
    let string = &state.problem.plan[s];
    let heads = (string.start..string.end).filter(|p| state.before[*p].is_none());
    let mut chains: Vec<Vec<usize>> = heads
        .map(|head| std::iter::successors(Some(head), |p| state.after[*p]).collect())
        .collect();
    chains.sort_by_key(|chain| {
        let (head, tail) = (chain[0], chain[chain.len() - 1]);
        let plus = state.plus[s] == Some(head);
        let minus = state.minus[s] == Some(tail);
        // What is new goes after what stays, unless the minus port keeps the last place.
        (!plus, minus, state.fresh(head))
    });
    chains.concat()
}

/// Panels of today that have no place in the plan yet.
struct Stock {
    /// Where they stand, by kind.
    left: Vec<Vec<(usize, PanelPlace)>>,
}

impl Stock {
    fn new(today: &[InputWiring], problem: &Problem) -> Self {
        let mut left = vec![Vec::new(); problem.kinds.len()];
        for (e, element) in problem.elements.iter().enumerate() {
            let string = &problem.today[element.string];
            let wired = &array_at(today, string.at)[string.idx].elements()[e - string.start];
            for (member, kind) in wired.members().iter().enumerate() {
                let place = PanelPlace {
                    at: string.at,
                    string: string.idx,
                    element: e - string.start,
                    member,
                };
                left[problem.local(*kind)].push((e, place));
            }
        }
        Self { left }
    }

    fn take(&mut self, element: usize, kind: usize) -> PanelSource {
        let left = &mut self.left[kind];
        let found = left.iter().position(|(e, _)| *e == element);
        let (_, place) = left.remove(found.expect("the search takes no panel twice"));
        PanelSource::Installed(place)
    }

    /// Fills the places where nothing is kept: panels of the same input first, then any, then spares.
    ///
    /// A panel of today is never a worse choice than a spare: it can only keep more.
    fn fill(mut self, problem: &Problem, state: &State, panels: &mut [Vec<(usize, PanelSource)>]) {
        let mut room = state.room.clone();
        for same_input in [true, false] {
            for (p, room) in room.iter_mut().enumerate() {
                let at = problem.plan[state.string(p)].at;
                for (kind, room) in room.iter_mut().enumerate() {
                    let left = &mut self.left[kind];
                    while *room > 0 {
                        let fits = |l: &(usize, PanelPlace)| !same_input || l.1.at == at;
                        let Some(found) = left.iter().position(fits) else {
                            break;
                        };
                        panels[p].push((kind, PanelSource::Installed(left.remove(found).1)));
                        *room -= 1;
                    }
                }
            }
        }
        for (p, room) in room.iter().enumerate() {
            for (kind, room) in room.iter().enumerate() {
                panels[p].extend(std::iter::repeat_n((kind, PanelSource::Spare), *room));
            }
        }
    }
}
