//! Planes in words: what full sun means where there are several, and which spare goes where.

use super::layout::GLUE;
use super::names::Names;
use super::numbers::plain;
use super::words::listed;
use crate::model::{ArrayWiring, DesignSun, KindIdx, PanelPlane};
use crate::plan::{Advice, SpareAnswer, State};

/// What full sun means: where the sun stands, and what each plane has of it; `None` without planes.
pub(super) fn full_sun(names: Names<'_>) -> Option<String> {
    let sun = &names.0.site.sun;
    let light = |plane: &PanelPlane| {
        format!("{}{GLUE}W/m² on {}", plain(plane.at_design.watts_per_m2(), 0), plane.id)
    };
    let each = listed(&sun.planes.iter().map(light).collect::<Vec<_>>());
    let stands = match sun.design? {
        DesignSun::SquareOn(plane) => format!("the sun square on {}", sun.planes[plane.0].id),
        DesignSun::At { elevation_deg, azimuth_deg } => format!(
            "the sun {}{GLUE}° high at {}{GLUE}° (180{GLUE}° is south), 1000{GLUE}W/m² on what faces it",
            plain(elevation_deg, 1),
            plain(azimuth_deg, 1)
        ),
    };
    Some(format!(
        "Full sun here is {stands}: {each}. Labels stay those at 1000{GLUE}W/m², so a plane in weaker \
         light lowers the share used. A panel is named with its plane, as `panel@plane`."
    ))
}

/// How many of a spare kind the best plan puts on each plane, in order; none without planes.
pub(super) fn put_up<'a>(
    names: Names<'a>,
    advice: &Advice,
    spare: &SpareAnswer,
) -> Vec<(&'a PanelPlane, usize)> {
    let installation = names.0;
    let Some(best) = advice.best.map(|b| &advice.plans[b].state) else { return Vec::new() };
    let count = |state: &State, kind: KindIdx| {
        let arrays = state.wiring();
        arrays.iter().flat_map(|w| ArrayWiring::panels(&w.array)).filter(|k| *k == kind).count()
    };
    let on = |kind: KindIdx| {
        let plane = installation.kind(kind).placed.as_ref()?.plane;
        let more = count(best, kind).saturating_sub(count(&advice.today, kind));
        (more > 0).then(|| (&installation.site.sun.planes[plane.0], more))
    };
    installation.same_label(spare.kind).into_iter().filter_map(on).collect()
}

/// `1 on south-face and 2 on west-face`; empty without planes, or where none is used.
pub(super) fn put_up_in_words(names: Names<'_>, advice: &Advice, spare: &SpareAnswer) -> String {
    let each = put_up(names, advice, spare);
    let each = each.iter().map(|(plane, n)| format!("{n}{GLUE}on {}", plane.id));
    listed(&each.collect::<Vec<_>>())
}
