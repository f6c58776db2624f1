//! Which terminals come apart and which come together.

use std::collections::BTreeMap;

use crate::model::{ArrayWiring, InputRef, InputWiring};
use crate::plan::joints::{End, PanelPlace, PanelSource, Rewiring};

/// What is written on the tape on a panel before the work begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tag {
    /// It is wired today, at this place.
    Installed(PanelPlace),
    /// A spare, counted from 0 through the whole site.
    Spare(usize),
}

/// Where a conductor can be joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Terminal {
    /// An end of a panel.
    Panel(Tag, End),
    /// A place on a combiner, counted from 0; today's strings hold the first ones, in order.
    Port(InputRef, usize, End),
}

/// Terminals that meet, today or in the plan, in the groups that stay joined throughout.
///
/// Between n groups n − 1 joints are parted or made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rejoined {
    /// On which input.
    pub at: InputRef,
    /// In which string of the wiring it belongs to, today's or the plan's.
    pub string: usize,
    /// How many elements of that string stand before it.
    pub gap: usize,
    /// Two or more groups, each with one or more terminals.
    pub groups: Vec<Vec<Terminal>>,
}

impl Rejoined {
    /// Joints that are parted or made here.
    #[must_use]
    pub fn joints(&self) -> usize {
        self.groups.len() - 1
    }
}

/// A net: input, string, and how many elements stand before it.
type Net = (InputRef, usize, usize);

/// The net that a terminal is in in the other wiring, or the terminal itself if it is in none: it
/// stays with nothing.
type Elsewhere = Result<Net, Terminal>;

/// The tag of every panel of the plan, in the order of [`Rewiring::panels`].
#[must_use]
pub fn tags(rewiring: &Rewiring) -> Vec<Tag> {
    let mut spares = 0;
    let tag = |source| match source {
        PanelSource::Installed(place) => Tag::Installed(place),
        PanelSource::Spare => {
            spares += 1;
            Tag::Spare(spares - 1)
        }
    };
    rewiring.panels.iter().map(|panel| panel.from).map(tag).collect()
}

/// What comes apart: nets of today of which not everything stays together.
#[must_use]
pub fn openings(today: &[InputWiring], rewiring: &Rewiring) -> Vec<Rejoined> {
    let (today, planned) = both(today, rewiring);
    parted(&today, &planned)
}

/// What is joined: nets of the plan that are not whole today.
#[must_use]
pub fn joinings(today: &[InputWiring], rewiring: &Rewiring) -> Vec<Rejoined> {
    let (today, planned) = both(today, rewiring);
    parted(&planned, &today)
}

/// The net of every terminal, today and in the plan.
fn both(
    today: &[InputWiring],
    rewiring: &Rewiring,
) -> (BTreeMap<Terminal, Net>, BTreeMap<Terminal, Net>) {
    let mut old = BTreeMap::new();
    for input in today {
        for (place, _) in places(input) {
            add_panel(&mut old, Tag::Installed(place), place);
        }
        add_ports(&mut old, input.at, &input.array, |string, _| string);
    }
    let mut new = BTreeMap::new();
    for (panel, tag) in rewiring.panels.iter().zip(tags(rewiring)) {
        add_panel(&mut new, tag, panel.to);
    }
    for input in &rewiring.inputs {
        let ports = ports(rewiring, input);
        add_ports(&mut new, input.at, &input.array, |string, end| match end {
            End::Plus => ports[string].0,
            End::Minus => ports[string].1,
        });
    }
    (old, new)
}

/// Every panel of an input with its place.
pub(super) fn places(
    input: &InputWiring,
) -> impl Iterator<Item = (PanelPlace, crate::model::KindIdx)> + '_ {
    input.array.strings.iter().enumerate().flat_map(move |(string, wired)| {
        wired.elements().iter().enumerate().flat_map(move |(element, e)| {
            let place = move |member| PanelPlace { at: input.at, string, element, member };
            e.members().iter().enumerate().map(move |(member, kind)| (place(member), *kind))
        })
    })
}

fn add_panel(nets: &mut BTreeMap<Terminal, Net>, tag: Tag, place: PanelPlace) {
    nets.insert(Terminal::Panel(tag, End::Plus), (place.at, place.string, place.element));
    nets.insert(Terminal::Panel(tag, End::Minus), (place.at, place.string, place.element + 1));
}

fn add_ports(
    nets: &mut BTreeMap<Terminal, Net>,
    at: InputRef,
    array: &ArrayWiring,
    port: impl Fn(usize, End) -> usize,
) {
    for (string, wired) in array.strings.iter().enumerate() {
        nets.insert(Terminal::Port(at, port(string, End::Plus), End::Plus), (at, string, 0));
        let last = wired.elements().len();
        nets.insert(Terminal::Port(at, port(string, End::Minus), End::Minus), (at, string, last));
    }
}

/// Plus and minus port of every planned string of an input: what it keeps, else the first free one.
pub(super) fn ports(rewiring: &Rewiring, input: &InputWiring) -> Vec<(usize, usize)> {
    let of_end = |end: End| -> Vec<usize> {
        let here = || rewiring.ports.iter().filter(|p| p.at == input.at && p.end == end);
        let mut free = (0..).filter(|port| here().all(|kept| kept.today != *port));
        let mut next = || free.next().expect("there is always another number");
        (0..input.array.strings.len())
            .map(|string| {
                here().find(|kept| kept.plan == string).map_or_else(&mut next, |kept| kept.today)
            })
            .collect()
    };
    of_end(End::Plus).into_iter().zip(of_end(End::Minus)).collect()
}

/// Nets of `whole` whose terminals do not all stay together in `other`.
fn parted(whole: &BTreeMap<Terminal, Net>, other: &BTreeMap<Terminal, Net>) -> Vec<Rejoined> {
    let mut nets: BTreeMap<Net, BTreeMap<Elsewhere, Vec<Terminal>>> = BTreeMap::new();
    for (terminal, net) in whole {
        let elsewhere = other.get(terminal).copied().ok_or(*terminal);
        nets.entry(*net).or_default().entry(elsewhere).or_default().push(*terminal);
    }
    let rejoined = |((at, string, gap), groups): (Net, BTreeMap<_, Vec<Terminal>>)| {
        let mut groups: Vec<Vec<Terminal>> = groups.into_values().collect();
        groups.sort();
        Rejoined { at, string, gap, groups }
    };
    nets.into_iter().map(rejoined).filter(|net| net.groups.len() > 1).collect()
}
