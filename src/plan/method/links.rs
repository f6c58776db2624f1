//! Which connections a rewiring makes and opens, as a person with connectors in hand counts them.
//!
//! Where two elements meet, or an element and a port, there is one *link*; what joins the members of a
//! block is its pair of branch connectors, not a link. A link is kept if any terminal on one side
//! was connected to any on the other before.

use crate::model::{Element, InputRef, InputWiring, Installation, KindIdx};
use crate::plan::{End, PanelPlace, PanelSource, Rewiring};

/// A net of today: input, string, and how many elements stand before it.
type Net = (InputRef, usize, usize);

/// Links of one input.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Links {
    /// Between a string's end and the combiner, made.
    pub(super) home_made: usize,
    /// The same, opened.
    pub(super) home_opened: usize,
    /// Between elements of a string, made.
    pub(super) series_made: usize,
    /// The same, opened.
    pub(super) series_opened: usize,
    /// Of `series_made` those between panels of different kinds.
    pub(super) mixed_made: usize,
}

/// A block of the plan whose panels do not stand side by side today.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NewBlock {
    pub(super) string: usize,
    pub(super) element: usize,
    pub(super) ways: usize,
}

/// What of today becomes of an input's panels.
pub(super) struct Rewired<'a> {
    pub(super) at: InputRef,
    pub(super) installation: &'a Installation,
    pub(super) rewiring: &'a Rewiring,
}

impl Rewired<'_> {
    fn strings(wiring: &[InputWiring], at: InputRef) -> &[crate::model::PanelString] {
        wiring.iter().find(|w| w.at == at).map_or(&[], |w| &w.array.strings)
    }

    fn source(&self, string: usize, element: usize, member: usize) -> Option<PanelPlace> {
        let to = PanelPlace { at: self.at, string, element, member };
        let panel = self.rewiring.panels.iter().find(|p| p.to == to)?;
        match panel.from {
            PanelSource::Installed(from) => Some(from),
            PanelSource::Spare => None,
        }
    }

    /// Today's nets on one side of a planned element.
    fn side(&self, string: usize, element: usize, n_members: usize, end: End) -> Vec<Net> {
        let behind = usize::from(end == End::Minus);
        let from = (0..n_members).filter_map(|m| self.source(string, element, m));
        from.map(|f| (f.at, f.string, f.element + behind)).collect()
    }

    /// Today's net of a planned port, if the port keeps it.
    fn port(&self, string: usize, end: End) -> Vec<Net> {
        let kept = self.rewiring.ports.iter();
        let kept = kept.filter(|p| p.at == self.at && p.plan == string && p.end == end);
        let today = Self::strings(&self.installation.installed, self.at);
        kept.map(|p| match end {
            End::Plus => (p.at, p.today, 0),
            End::Minus => (p.at, p.today, today[p.today].elements().len()),
        })
        .collect()
    }

    /// Are two elements of the same labels, be it on different planes?
    fn alike(&self, a: &Element, b: &Element) -> bool {
        let (a, b) = (a.members(), b.members());
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| self.installation.alike(*a, *b))
    }

    pub(super) fn links(&self) -> Links {
        let mut links = Links::default();
        let (mut home_kept, mut series_kept) = (0, 0);
        for (s, string) in Self::strings(&self.rewiring.inputs, self.at).iter().enumerate() {
            let elements = string.elements();
            let n = elements.len();
            for net in 0..=n {
                let left = match net {
                    0 => self.port(s, End::Plus),
                    _ => self.side(s, net - 1, elements[net - 1].members().len(), End::Minus),
                };
                let right = match net {
                    _ if net == n => self.port(s, End::Minus),
                    _ => self.side(s, net, elements[net].members().len(), End::Plus),
                };
                let kept = left.iter().any(|l| right.contains(l));
                match (net == 0 || net == n, kept) {
                    (true, true) => home_kept += 1,
                    (true, false) => links.home_made += 1,
                    (false, true) => series_kept += 1,
                    (false, false) => {
                        links.series_made += 1;
                        let alike = self.alike(&elements[net - 1], &elements[net]);
                        links.mixed_made += usize::from(!alike);
                    }
                }
            }
        }
        let today = Self::strings(&self.installation.installed, self.at);
        let series: usize = today.iter().map(|s| s.elements().len() - 1).sum();
        links.home_opened = (2 * today.len()).saturating_sub(home_kept);
        links.series_opened = series.saturating_sub(series_kept);
        links
    }

    /// Blocks that need branch connectors, and how many ways those of today's broken blocks have.
    pub(super) fn blocks(&self) -> (Vec<NewBlock>, Vec<usize>) {
        let mut new = Vec::new();
        let mut kept: Vec<(InputRef, usize, usize)> = Vec::new();
        for (s, string) in Self::strings(&self.rewiring.inputs, self.at).iter().enumerate() {
            for (e, element) in string.elements().iter().enumerate().filter(|(_, e)| e.is_block()) {
                let ways = element.members().len();
                let from: Option<Vec<PanelPlace>> =
                    (0..ways).map(|m| self.source(s, e, m)).collect();
                let block = |f: &PanelPlace| (f.at, f.string, f.element);
                let together = from.and_then(|from| {
                    let first = block(&from[0]);
                    from.iter().all(|f| block(f) == first).then_some(first)
                });
                match together {
                    Some(block) if !kept.contains(&block) => kept.push(block),
                    _ => new.push(NewBlock { string: s, element: e, ways }),
                }
            }
        }
        let today = Self::strings(&self.installation.installed, self.at).iter().enumerate();
        let blocks = today.flat_map(|(s, string)| {
            let blocks = string.elements().iter().enumerate().filter(|(_, e)| e.is_block());
            blocks.map(move |(e, element)| ((self.at, s, e), element.members().len()))
        });
        let freed = blocks.filter(|(block, _)| !kept.contains(block)).map(|(_, ways)| ways);
        (new, freed.collect())
    }

    /// Panels of this input that the plan leaves out.
    pub(super) fn left_out(&self) -> Vec<KindIdx> {
        let used = |place: PanelPlace| {
            self.rewiring.panels.iter().any(|p| p.from == PanelSource::Installed(place))
        };
        let at = self.at;
        let places = Self::strings(&self.installation.installed, at).iter().enumerate().flat_map(
            |(string, s)| {
                s.elements().iter().enumerate().flat_map(move |(element, e)| {
                    e.members().iter().enumerate().map(move |(member, kind)| {
                        (PanelPlace { at, string, element, member }, *kind)
                    })
                })
            },
        );
        places.filter(|(place, _)| !used(*place)).map(|(_, kind)| kind).collect()
    }
}
