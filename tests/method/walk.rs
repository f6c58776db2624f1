//! A person who does exactly what the steps say ends at the plan, with no joint more than counted.

use std::collections::BTreeSet;

use sungraft::model::{InputRef, InputWiring};
use sungraft::plan::{End, Method, PanelPlace, Rejoined, Tag, Terminal, Work, tags};

use crate::dice::Dice;
use crate::{kinds, method, site};

type Net = BTreeSet<Terminal>;

/// Every net of a wiring by the terminals that meet there; `port` says which place of the combiner an
/// end of a string takes.
fn nets(
    wiring: &[InputWiring],
    tag: impl Fn(PanelPlace) -> Tag,
    port: impl Fn(InputRef, usize, End) -> usize,
) -> Vec<Net> {
    let mut all = Vec::new();
    for input in wiring {
        for (string, wired) in input.array.strings.iter().enumerate() {
            let n = wired.elements().len();
            for gap in 0..=n {
                let mut net = Net::new();
                let mut add = |element: usize, end: End| {
                    for member in 0..wired.elements()[element].members().len() {
                        let place = PanelPlace { at: input.at, string, element, member };
                        net.insert(Terminal::Panel(tag(place), end));
                    }
                };
                if gap > 0 {
                    add(gap - 1, End::Minus);
                }
                if gap < n {
                    add(gap, End::Plus);
                }
                if gap == 0 {
                    net.insert(Terminal::Port(
                        input.at,
                        port(input.at, string, End::Plus),
                        End::Plus,
                    ));
                }
                if gap == n {
                    net.insert(Terminal::Port(
                        input.at,
                        port(input.at, string, End::Minus),
                        End::Minus,
                    ));
                }
                all.push(net);
            }
        }
    }
    all
}

/// The roof: which terminals hang together.
struct Roof(Vec<Net>);

impl Roof {
    fn holding(&self, terminal: Terminal) -> Option<usize> {
        self.0.iter().position(|net| net.contains(&terminal))
    }

    /// Parts a net into the groups that a step names.
    fn part(&mut self, opening: &Rejoined) {
        let whole = self.holding(opening.groups[0][0]).expect("it is wired");
        let mut whole = self.0.swap_remove(whole);
        for group in &opening.groups {
            let group: Net = group.iter().copied().collect();
            assert!(group.is_subset(&whole), "{group:?} is not joined in {whole:?}");
            whole.retain(|t| !group.contains(t));
            self.0.push(group);
        }
        assert!(whole.is_empty(), "{whole:?} was forgotten");
    }

    /// Joins groups. What is joined in one group must hang together already, or be bare.
    fn join(&mut self, joining: &Rejoined) {
        let mut joined = Net::new();
        for group in &joining.groups {
            match self.holding(group[0]) {
                Some(net) => {
                    let net = self.0.swap_remove(net);
                    assert!(group.iter().all(|t| net.contains(t)), "{group:?} of {net:?}");
                    joined.extend(net);
                }
                None => {
                    assert_eq!(group.len(), 1, "{group:?} hangs on nothing yet");
                    joined.insert(group[0]);
                }
            }
        }
        self.0.push(joined);
    }
}

/// Does what the steps say. Joints parted and made, and the roof afterwards.
fn walk(today: &[InputWiring], method: &Method) -> (usize, usize, Roof) {
    let mut roof = Roof(nets(today, Tag::Installed, |_, string, _| string));
    let (mut opened, mut made) = (0, 0);
    for step in &method.steps {
        match &step.work {
            Work::TakeApart { openings, .. } => {
                for opening in openings {
                    roof.part(opening);
                    opened += opening.joints();
                }
            }
            Work::Join { joinings, .. } | Work::ConnectStrings { joinings, .. } => {
                for joining in joinings {
                    roof.join(joining);
                    made += joining.joints();
                }
            }
            _ => {}
        }
    }
    (opened, made, roof)
}

/// The planned nets by the tags on the panels, ports told apart by what stays and what is free.
fn planned(method: &Method) -> BTreeSet<Net> {
    let rewiring = &method.rewiring;
    let tagged: Vec<(PanelPlace, Tag)> =
        rewiring.panels.iter().map(|p| p.to).zip(tags(rewiring)).collect();
    let tag = |place| tagged.iter().find(|(p, _)| *p == place).expect("every panel has one").1;
    // Ports are compared by what hangs on them, not by number.
    nets(&rewiring.inputs, tag, |_, string, _| string).into_iter().map(without_ports).collect()
}

fn without_ports(net: Net) -> Net {
    net.into_iter().filter(|t| matches!(t, Terminal::Panel(..))).collect()
}

#[test]
fn whoever_does_what_the_steps_say_ends_at_the_plan_with_as_many_joints_as_were_counted() {
    let mut dice = Dice(23);
    let (mut moved, mut several) = (0, 0);
    for case in 0..400 {
        let n_inputs = 1 + dice.below(2);
        let (n_today, n_plan) = (dice.below(9), dice.below(9));
        let today = dice.wiring(n_today, 3, n_inputs);
        let plan = dice.wiring(n_plan, 3, n_inputs);
        let site = site(kinds(), today.clone());
        let method = method(&site, &plan, None);
        let (opened, made, roof) = walk(&today, &method);
        let joints = method.rewiring.joints;
        assert_eq!((opened, made), (joints.opened, joints.made), "case {case}: {method:#?}");
        // Every planned net hangs together, and on one place of the combiner where it should.
        let used: BTreeSet<Net> = roof
            .0
            .into_iter()
            .filter(|net| {
                let ports = net.iter().filter(|t| matches!(t, Terminal::Port(..))).count();
                assert!(ports <= 2, "case {case}: {net:?}");
                true
            })
            .map(without_ports)
            .collect();
        for net in planned(&method) {
            assert!(used.contains(&net), "case {case}: {net:?} is not in {used:?}");
        }
        moved += usize::from(opened + made > 0);
        several += usize::from(n_inputs > 1);
    }
    assert!(moved > 350 && several > 100, "{moved} {several}");
}

#[test]
fn the_array_is_isolated_before_it_is_touched_and_proven_before_it_is_joined() {
    let mut dice = Dice(29);
    for _ in 0..100 {
        let today = dice.wiring(6, 3, 2);
        let plan = dice.wiring(6, 3, 2);
        let site = site(kinds(), today.clone());
        let method = method(&site, &plan, None);
        let at = |wanted: fn(&Work) -> bool, input: InputRef| {
            method.steps.iter().position(|s| s.at == Some(input) && wanted(&s.work))
        };
        for input in today.iter().map(|i| i.at) {
            let open = at(|w| matches!(w, Work::OpenDisconnect), input);
            let part = at(|w| matches!(w, Work::TakeApart { .. }), input);
            let join = at(|w| matches!(w, Work::Join { .. }), input);
            let prove = at(|w| matches!(w, Work::ProveStrings { .. }), input);
            let connect = at(|w| matches!(w, Work::ConnectStrings { .. }), input);
            let close = at(|w| matches!(w, Work::CloseDisconnect { .. }), input);
            if part.is_some() {
                assert!(open.is_some() && open < part, "{:#?}", method.steps);
            }
            if let (Some(part), Some(join)) = (part, join) {
                assert!(part < join);
            }
            if join.is_some() {
                assert!(join < prove && prove < connect && connect < close);
            }
            let connects = connect.is_some();
            assert_eq!((connects, connects), (prove.is_some(), close.is_some()));
        }
    }
}

#[test]
fn nothing_to_rewire_takes_no_step() {
    let today = Dice(31).wiring(7, 3, 2);
    let site = site(kinds(), today.clone());
    assert_eq!(method(&site, &today, None).steps, []);
}
