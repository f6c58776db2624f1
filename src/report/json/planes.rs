//! Planes, where the sun stands when watts are compared, and which spare goes on which plane.

use serde::Serialize;

use super::state::ElementJson;
use crate::model::{DesignSun, Element, KindIdx, PanelString};
use crate::plan::{Advice, SpareAnswer};
use crate::report::figures::{Figure, figure};
use crate::report::names::Names;
use crate::report::planes::put_up;

#[derive(Serialize)]
pub(super) struct PlaneJson<'a> {
    id: &'a str,
    tilt_deg: Figure,
    azimuth_deg: Figure,
    shade_percent: Figure,
    room: Option<usize>,
    /// At the design instant, its shade taken off.
    design_w_m2: Figure,
}

/// Every plane; none where the file has none.
pub(super) fn planes(names: Names<'_>) -> Vec<PlaneJson<'_>> {
    let planes = names.0.site.sun.planes.iter();
    let json = planes.map(|plane| PlaneJson {
        id: &plane.id,
        tilt_deg: figure(plane.tilt_deg, 2),
        azimuth_deg: figure(plane.azimuth_deg, 2),
        shade_percent: figure(100.0 * plane.shade, 2),
        room: plane.room,
        design_w_m2: figure(plane.at_design.watts_per_m2(), 1),
    });
    json.collect()
}

/// Where the sun stands when watts are compared.
#[derive(Serialize)]
pub(super) struct DesignJson<'a> {
    /// The plane that it stands square on, where it was given so.
    plane: Option<&'a str>,
    elevation_deg: Figure,
    azimuth_deg: Figure,
}

impl<'a> DesignJson<'a> {
    /// `None` without planes.
    pub(super) fn of(names: Names<'a>) -> Option<Self> {
        let sun = &names.0.site.sun;
        let (plane, elevation_deg, azimuth_deg) = match sun.design? {
            DesignSun::SquareOn(idx) => {
                let plane = &sun.planes[idx.0];
                (Some(plane.id.as_str()), 90.0 - plane.tilt_deg, plane.azimuth_deg)
            }
            DesignSun::At { elevation_deg, azimuth_deg } => (None, elevation_deg, azimuth_deg),
        };
        Some(Self {
            plane,
            elevation_deg: figure(elevation_deg, 2),
            azimuth_deg: figure(azimuth_deg, 2),
        })
    }
}

/// The plane of each panel, in the shape of the strings themselves; none without planes.
pub(super) fn planes_of<'a, 's>(
    names: Names<'a>,
    strings: impl Iterator<Item = &'s PanelString>,
) -> Vec<Vec<ElementJson<'a>>> {
    if names.0.site.sun.planes.is_empty() {
        return Vec::new();
    }
    let of = |k: &KindIdx| names.plane(*k).unwrap_or_default();
    let element = |e: &Element| match e.members() {
        [one] => ElementJson::Single(of(one)),
        many => ElementJson::Block(many.iter().map(of).collect()),
    };
    strings.map(|s| s.elements().iter().map(element).collect()).collect()
}

/// How many of a spare kind go on a plane.
#[derive(Serialize)]
pub(super) struct PutUpJson<'a> {
    plane: &'a str,
    used: usize,
}

/// Plane by plane; none without planes.
pub(super) fn put_up_json<'a>(
    names: Names<'a>,
    advice: &Advice,
    spare: &SpareAnswer,
) -> Vec<PutUpJson<'a>> {
    let each = put_up(names, advice, spare);
    each.into_iter().map(|(plane, used)| PutUpJson { plane: &plane.id, used }).collect()
}
