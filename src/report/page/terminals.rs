//! Joints in words: which end of which panel is parted from, or joined to, which.

use crate::model::InputRef;
use crate::plan::{End, Method, PanelPlace, Rejoined, Tag, Terminal, tags};
use crate::report::names::Names;
use crate::report::words::listed;

/// What names terminals.
#[derive(Clone, Copy)]
pub(super) struct Words<'a> {
    pub(super) names: Names<'a>,
    pub(super) method: &'a Method,
}

impl Words<'_> {
    /// A planned string by the tapes on its panels, from plus to minus: `1.1, (1.2 beside new 1)`.
    pub(super) fn row(self, at: InputRef, string: usize) -> String {
        let rewiring = &self.method.rewiring;
        let mut elements: Vec<Vec<String>> = Vec::new();
        for (panel, tag) in rewiring.panels.iter().zip(tags(rewiring)) {
            if panel.to.at == at && panel.to.string == string {
                elements.resize_with(elements.len().max(panel.to.element + 1), Vec::new);
                elements[panel.to.element].push(self.panel(tag));
            }
        }
        let element = |members: &Vec<String>| match &members[..] {
            [one] => one.clone(),
            many => format!("({})", many.join(" beside ")),
        };
        elements.iter().map(element).collect::<Vec<_>>().join(", ")
    }

    /// The panel that stands at a place of the plan, by its tape.
    pub(super) fn at(self, place: PanelPlace) -> String {
        let rewiring = &self.method.rewiring;
        let here = rewiring.panels.iter().zip(tags(rewiring)).find(|(panel, _)| panel.to == place);
        here.map_or_else(String::new, |(_, tag)| self.panel(tag))
    }

    /// `1.2`, or a spare with its kind: `new 1 (creek-90)`.
    fn panel(self, tag: Tag) -> String {
        let name = self.names.tag(tag);
        match tag {
            Tag::Installed(_) => name,
            Tag::Spare(n) => {
                let rewiring = &self.method.rewiring;
                let spare =
                    rewiring.panels.iter().zip(tags(rewiring)).find(|(_, t)| *t == Tag::Spare(n));
                let kind = spare.map(|(panel, _)| self.names.kind(panel.kind)).unwrap_or_default();
                format!("{name} ({kind})")
            }
        }
    }

    fn terminal(self, terminal: Terminal) -> String {
        match terminal {
            Terminal::Panel(tag, end) => format!("{} of {}", sign(end), self.names.tag(tag)),
            Terminal::Port(_, port, end) => {
                format!("place {} ({}) of the combiner", port + 1, sign(end))
            }
        }
    }

    fn group(self, group: &[Terminal]) -> String {
        listed(&group.iter().map(|t| self.terminal(*t)).collect::<Vec<_>>())
    }
}

fn sign(end: End) -> &'static str {
    match end {
        End::Plus => "+",
        End::Minus => "−",
    }
}

/// One sentence for each joint that is parted.
pub(super) fn parted(words: Words<'_>, net: &Rejoined) -> Vec<String> {
    let (stays, others) = heart(net);
    others.iter().map(|g| format!("Part {} from {}.", words.group(g), words.group(stays))).collect()
}

/// One sentence for each joint that is made.
pub(super) fn joined(words: Words<'_>, net: &Rejoined) -> Vec<String> {
    let (stays, others) = heart(net);
    others.iter().map(|g| format!("Join {} to {}.", words.group(g), words.group(stays))).collect()
}

/// The group that the others are parted from or joined to: a combiner's place if there is one, else the
/// largest.
fn heart(net: &Rejoined) -> (&[Terminal], Vec<&[Terminal]>) {
    let has_port = |g: &[Terminal]| g.iter().any(|t| matches!(t, Terminal::Port(..)));
    let rank = |g: &Vec<Terminal>| (has_port(g), g.len());
    let heart = (0..net.groups.len())
        .max_by_key(|i| (rank(&net.groups[*i]), std::cmp::Reverse(*i)))
        .expect("two or more groups");
    let others = net.groups.iter().enumerate().filter(|(i, _)| *i != heart);
    (&net.groups[heart], others.map(|(_, g)| g.as_slice()).collect())
}
