//! What to do about each fault, with its danger (common practice, no source, in our own words).

use crate::plan::Fault;

/// What is dangerous about a fault on an input with so many strings; `None` where the general cautions
/// are enough.
pub(super) fn danger(fault: &Fault, n_strings: usize) -> Option<&'static str> {
    Some(match fault {
        Fault::StringReversed(_) => {
            "Danger: join that string to nothing. Beside others it is driven backwards with all their \
             current, and a fuse or plug that is opened then draws an arc that does not put itself out. \
             Is it joined already? Keep away from the combiner; cover the panels or wait for dark first."
        }
        Fault::PanelReversed(..) => {
            "Danger: keep that string off the others until the panel is turned: it drags them down and may \
             be driven backwards by them."
        }
        // A string that is alone has no others that could drive it.
        Fault::Missing(..) | Fault::OtherKind(..) | Fault::StringsSwapped(..) if n_strings < 2 => {
            return None;
        }
        Fault::Missing(..) | Fault::OtherKind(..) | Fault::StringsSwapped(..) => {
            "Keep unequal strings apart until it is mended: the others push current into the lower one, \
             also with the controller idle."
        }
        Fault::TooMany(..) | Fault::OnOther(..) | Fault::PanelsSwapped(..) => {
            "Open the disconnect before anything else: on a cold morning this may pass the controller's \
             maximum voltage or its current, and that destroys it."
        }
        Fault::Bypassed(..) | Fault::Weak(..) => {
            "A damaged or shaded panel gets hot where the others drive current through it: look for \
             burns, and do not touch its back."
        }
        Fault::StringOpen(_) | Fault::MemberOff(..) => {
            "An open joint that carries voltage arcs when it is closed or moved under load: open the \
             disconnect and prove zero amps first."
        }
        Fault::StringOff(_) => {
            "A blown fuse has a reason: find it before a new one goes in, with the disconnect open, and \
             never a larger one."
        }
        _ => return None,
    })
}
