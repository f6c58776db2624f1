//! Are the panels there, and may those of a block stand together?

use super::AuditedInput;
use super::error::{Audited, ensure};
use crate::model::{ArrayWiring, Element, Installation, KindIdx};

/// Label Voc of a block's panels differ by at most this part of the highest.
const BLOCK_VOLTAGE_SPREAD: f64 = 0.15;

/// Does the site have every kind that is wired? All that follows looks kinds up.
pub(super) fn audit_kinds(installation: &Installation, inputs: &[AuditedInput]) -> Audited {
    let n_kinds = installation.kinds.len();
    let unknown = inputs.iter().find(|i| i.array.panels().any(|k| k.0 >= n_kinds));
    ensure(unknown.is_none(), || {
        let name = unknown.map_or("", |input| &input.name);
        format!("a panel of no kind is wired to {name}")
    })
}

pub(super) fn audit_stock(installation: &Installation, inputs: &[AuditedInput]) -> Audited {
    for k in (0..installation.kinds.len()).map(KindIdx) {
        let count = |array: &ArrayWiring| array.panels().filter(|panel| *panel == k).count();
        let planned: usize = inputs.iter().map(|i| count(&i.array)).sum();
        let installed: usize = inputs.iter().map(|i| count(i.today)).sum();
        let spare = installation.n_spare(k);
        ensure(planned <= installed + spare, || {
            format!(
                "{planned} panels of {} are wired, but there are {installed} installed and {spare} \
                 spare",
                installation.kind(k).id
            )
        })?;
    }
    audit_put_up(installation, inputs)?;
    inputs.iter().try_for_each(|input| audit_blocks(installation, input))
}

/// Where there are planes: no more is put up of a label than is spare, nor on a plane than it has room.
fn audit_put_up(installation: &Installation, inputs: &[AuditedInput]) -> Audited {
    let planes = &installation.site.sun.planes;
    let mut put_up = vec![0; planes.len()];
    for spare in installation.spares.iter().filter(|s| !s.places.is_empty()) {
        let mut of_label = 0;
        for k in &spare.places {
            let count = |array: &ArrayWiring| array.panels().filter(|panel| panel == k).count();
            let planned: usize = inputs.iter().map(|i| count(&i.array)).sum();
            let installed: usize = inputs.iter().map(|i| count(i.today)).sum();
            let more = planned.saturating_sub(installed);
            of_label += more;
            let placed = installation.kind(*k).placed.as_ref();
            put_up[placed.expect("a place is on a plane").plane.0] += more;
        }
        ensure(of_label <= spare.count, || {
            let (id, spares) = (installation.kind(spare.kind).label_id(), spare.count);
            format!("{of_label} panels of {id} are put up, but {spares} are spare")
        })?;
    }
    planes.iter().zip(put_up).try_for_each(|(plane, n)| {
        ensure(plane.room.is_none_or(|room| n <= room), || {
            format!("{n} panels are put up on {}, where {:?} fit", plane.id, plane.room)
        })
    })
}

/// New blocks keep the site's rules; a block that stands today may stay as it is.
fn audit_blocks(installation: &Installation, input: &AuditedInput) -> Audited {
    let blocks = |array: &ArrayWiring| -> Vec<Element> {
        let elements = array.strings.iter().flat_map(|s| s.elements().to_vec());
        elements.filter(Element::is_block).collect()
    };
    let mut standing = blocks(input.today);
    for block in blocks(&input.array) {
        if let Some(same) = standing.iter().position(|b| *b == block) {
            standing.swap_remove(same);
            continue;
        }
        let (n, most) = (block.members().len(), installation.site.block_max);
        ensure(n <= most, || {
            format!("a block of {n} panels on {}, where {most} are allowed", input.name)
        })?;
        let v_oc = |k: &KindIdx| installation.kind(*k).label.v_oc.volts();
        let high = block.members().iter().map(v_oc).fold(0.0, f64::max);
        let low = block.members().iter().map(v_oc).fold(f64::INFINITY, f64::min);
        ensure(high - low <= BLOCK_VOLTAGE_SPREAD * high * (1.0 + 1e-9), || {
            format!(
                "a block on {} joins panels of {low} V and {high} V open, more than 15 % apart",
                input.name
            )
        })?;
    }
    Ok(())
}
