//! What may be wrong, how likely it is beforehand, and what it does to an array.

use super::built::{BuiltElement, BuiltPanel, FULL, Tracking, World, sound_element};
use crate::model::{Element, KindIdx};

/// A string of an input: index of the input among the installed ones, index of the string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StringAt {
    /// Index of the input in [`Installation::installed`](crate::model::Installation).
    pub input: usize,
    /// Index of the string on it.
    pub string: usize,
}

/// One thing that may be wrong. Shares are in thousandths.
///
/// Which of several equal elements of a string it is no meter at the string's ends can tell, so an
/// element is named by what it is made of.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Fault {
    /// An element is left out of a string.
    Missing(StringAt, Element),
    /// A panel more than drawn is in series.
    TooMany(StringAt, KindIdx),
    /// A panel of an element has plus and minus exchanged.
    PanelReversed(StringAt, Element, KindIdx),
    /// So many sections of a panel are passed by.
    Bypassed(StringAt, Element, KindIdx, usize),
    /// A panel gives only this share of its current: shade, dirt, damage.
    Weak(StringAt, Element, KindIdx, u16),
    /// Every panel of a string gives only this share of its current.
    WeakString(StringAt, u16),
    /// A panel of another kind stands in place of one.
    OtherKind(StringAt, Element, KindIdx, KindIdx),
    /// A panel of a block is not connected.
    MemberOff(StringAt, Element, KindIdx),
    /// A joint or panel inside a string is open.
    StringOpen(StringAt),
    /// A string is in order but not joined to the others: its fuse, breaker or plug.
    StringOff(StringAt),
    /// A string has plus and minus exchanged.
    StringReversed(StringAt),
    /// Two strings are in each other's place.
    StringsSwapped(StringAt, StringAt),
    /// A panel of one string and one of another are in each other's place.
    PanelsSwapped(StringAt, KindIdx, StringAt, KindIdx),
    /// A string is joined to another input.
    OnOther(StringAt, usize),
    /// A tracker stays on another peak: its number from the lowest voltage, the best left out.
    OtherPeak(usize, usize),
    /// A controller takes less than the array could give.
    HeldBack(usize),
    /// A controller holds the array below its best point, where no peak is.
    Below(usize),
    /// The whole array has this share of the light that was read: dirt and haze, or the meter.
    Light(u16),
    /// The cells are so much warmer than was read, in tenths of a kelvin.
    Warmer(i16),
    /// A reading, by its number, is wrong by itself.
    Misread(usize),
}

impl Fault {
    /// How likely it is beforehand, each place by itself, where nothing being wrong is 1; for a fault with
    /// a figure that is fitted, less the room that the figure had.
    ///
    /// Ours, no source: wrong counts, plugs and fuses are common after rewiring, a panel that fails on
    /// that day is not; a full battery is the most common of all. `docs/verify.md` lists them.
    pub(super) fn prior(&self) -> f64 {
        match self {
            Self::HeldBack(_) => 0.05,
            Self::OtherPeak(..) | Self::Missing(..) | Self::StringOff(_) => 0.03,
            Self::StringOpen(_) | Self::MemberOff(..) | Self::StringReversed(_) => 0.02,
            Self::TooMany(..)
            | Self::PanelReversed(..)
            | Self::OtherKind(..)
            | Self::StringsSwapped(..)
            | Self::OnOther(..)
            | Self::Bypassed(..) => 0.01,
            Self::Weak(..) | Self::PanelsSwapped(..) | Self::Below(_) => 0.005,
            Self::WeakString(..) | Self::Light(_) | Self::Warmer(_) => 0.005,
            Self::Misread(_) => 0.0003,
        }
    }

    /// The world with this gone wrong too; `None` where it cannot have.
    pub(super) fn befall(&self, world: &World) -> Option<World> {
        let mut world = world.clone();
        match self {
            Self::Missing(at, element) => {
                let elements = elements(&mut world, *at);
                if elements.len() < 2 {
                    return None;
                }
                let found = position(elements, element)?;
                elements.remove(found);
            }
            Self::TooMany(at, kind) => {
                elements(&mut world, *at).push(vec![BuiltPanel::sound(*kind)])
            }
            Self::PanelReversed(at, element, kind) => {
                panel(&mut world, *at, element, *kind)?.reversed = true;
            }
            Self::Bypassed(at, element, kind, n) => {
                panel(&mut world, *at, element, *kind)?.sections_out = *n;
            }
            Self::Weak(at, element, kind, share) => {
                panel(&mut world, *at, element, *kind)?.light = *share;
            }
            Self::WeakString(at, share) => {
                for panel in elements(&mut world, *at).iter_mut().flatten() {
                    panel.light = dimmed(panel.light, *share);
                }
            }
            Self::OtherKind(at, element, was, is) => {
                panel(&mut world, *at, element, *was)?.kind = *is;
            }
            Self::MemberOff(at, element, kind) => {
                let elements = elements(&mut world, *at);
                let found = position(elements, element)?;
                let member = elements[found].iter().position(|p| p.kind == *kind)?;
                elements[found].remove(member);
            }
            Self::StringOpen(at) => world.strings[at.input][at.string].chain.open = true,
            Self::StringOff(at) => world.strings[at.input][at.string].on.take().map(drop)?,
            Self::StringReversed(at) => world.strings[at.input][at.string].chain.reversed = true,
            Self::StringsSwapped(a, b) => {
                let chain = world.strings[a.input][a.string].chain.clone();
                world.strings[a.input][a.string].chain =
                    std::mem::replace(&mut world.strings[b.input][b.string].chain, chain);
            }
            Self::PanelsSwapped(a, of_a, b, of_b) => {
                let single = |kind: &KindIdx| Element::single(*kind);
                panel(&mut world, *a, &single(of_a), *of_a)?.kind = *of_b;
                panel(&mut world, *b, &single(of_b), *of_b)?.kind = *of_a;
            }
            Self::OnOther(at, input) => world.strings[at.input][at.string].on = Some(*input),
            Self::OtherPeak(input, n) => world.tracking[*input] = Tracking::OtherPeak(*n),
            Self::HeldBack(input) => world.tracking[*input] = Tracking::Held,
            Self::Below(input) => world.tracking[*input] = Tracking::Below,
            Self::Light(share) => world.sun = dimmed(world.sun, *share),
            Self::Warmer(tenths) => world.warmer += tenths,
            Self::Misread(reading) => world.doubted.push(*reading),
        }
        Some(world)
    }

    /// The same with another share, where it has one.
    pub(super) fn with_share(&self, share: u16) -> Option<Self> {
        Some(match self {
            Self::Weak(at, element, kind, _) => Self::Weak(*at, element.clone(), *kind, share),
            Self::WeakString(at, _) => Self::WeakString(*at, share),
            Self::Light(_) => Self::Light(share),
            _ => return None,
        })
    }

    /// Its share, where it has one, in thousandths.
    #[must_use]
    pub fn share(&self) -> Option<u16> {
        match self {
            Self::Weak(.., share) | Self::WeakString(_, share) | Self::Light(share) => Some(*share),
            _ => None,
        }
    }
}

fn dimmed(light: u16, share: u16) -> u16 {
    let product = u32::from(light) * u32::from(share) / u32::from(FULL);
    u16::try_from(product).unwrap_or(u16::MAX)
}

fn elements(world: &mut World, at: StringAt) -> &mut Vec<BuiltElement> {
    &mut world.strings[at.input][at.string].chain.elements
}

/// The first element in order that is made of these panels.
fn position(elements: &[BuiltElement], element: &Element) -> Option<usize> {
    let wanted = sound_element(element);
    elements.iter().position(|e| *e == wanted)
}

fn panel<'w>(
    world: &'w mut World,
    at: StringAt,
    element: &Element,
    kind: KindIdx,
) -> Option<&'w mut BuiltPanel> {
    let elements = elements(world, at);
    let found = position(elements, element)?;
    elements[found].iter_mut().find(|p| p.kind == kind)
}
