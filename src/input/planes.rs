//! Planes that panels stand on, and where the sun stands when watts are compared.

use super::codes::{KEYS_CLASH, NO_EFFECT, TILT_ODD, UNKNOWN_PLANE};
use super::document::Node;
use super::fields::{Fields, Typed};
use super::findings::{Findings, quoted};
use super::ids::Ids;
use super::keys::{DESIGN_SUN, PLANE};
use crate::model::{DesignSun, PanelPlane, PlaneIdx};
use crate::sun::{Plane, SunPosition, under_full_sun};
use crate::units::Irradiance;

/// Most planes of a site: each is looked at in full sun by itself.
pub(super) const MAX_PLANES: usize = 6;
/// A steeper tilt in radians than this is none: a quarter turn. \[rad\]
const QUARTER_TURN: f64 = 1.571;

/// The planes that strings and spares can name.
#[derive(Clone, Copy)]
pub(super) struct Planes<'i> {
    pub(super) ids: &'i Ids,
    /// As read; `None` where one has a mistake of its own.
    pub(super) planes: &'i [Option<PanelPlane>],
}

impl Planes<'_> {
    /// How many there are.
    pub(super) fn count(&self) -> usize {
        self.planes.len()
    }

    /// The plane that a name means; reports one that is not there.
    pub(super) fn find(&self, name: &Typed<String>, findings: &mut Findings) -> Option<usize> {
        if self.count() == 0 {
            let message =
                format!("there is no plane {}: the file has no `planes`", quoted(&name.value));
            let help = "add `planes:` with one entry for each roof face, wall or rack, or leave the plane out";
            findings.error(UNKNOWN_PLANE, name.at, message, help);
            return None;
        }
        let found = self.ids.find(&name.value);
        if found.is_none() {
            self.ids.report_unknown(&name.value, name.at, 1, findings);
        }
        found
    }

    /// A sound plane.
    pub(super) fn get(&self, idx: usize) -> Option<&PanelPlane> {
        self.planes.get(idx)?.as_ref()
    }

    /// `east-roof and shed-wall`, for messages.
    pub(super) fn named(&self) -> String {
        let ids: Vec<&str> = self.planes.iter().flatten().map(|p| p.id.as_str()).collect();
        ids.join(", ")
    }
}

/// One plane, its irradiances still to be worked out; `None` if a finding says why not.
pub(super) fn read_plane(node: &Node, findings: &mut Findings) -> Option<PanelPlane> {
    let fields = Fields::open(node, &PLANE, findings)?;
    let id = fields.text("id", findings);
    let tilt = fields.number("tilt_deg", findings);
    let azimuth = fields.number("azimuth_deg", findings);
    let shade = fields.number("shade_percent", findings);
    let room = fields.count("room", findings).map(|n| n.value);
    if let Some(tilt) = tilt.as_ref().filter(|t| 0.0 < t.value && t.value < QUARTER_TURN) {
        let degrees = super::findings::rounded(tilt.value.to_degrees(), 1);
        let message = format!("{} is all but flat: `tilt_deg` is {}°", fields.who, tilt.as_typed);
        let help = format!("if the figure is in radians, write `{degrees}`");
        findings.warning(TILT_ODD, tilt.at, message, help);
    }
    Some(PanelPlane {
        id: id?.value,
        tilt_deg: tilt?.value,
        azimuth_deg: azimuth?.value,
        shade: shade.map_or(0.0, |s| s.value / 100.0),
        room,
        at_design: Irradiance(0.0),
        at_square: Vec::new(),
    })
}

/// Where the sun stands when watts are compared: as the `site` group says, or square on the first
/// plane; `None` without planes.
pub(super) fn read_design(
    site: &Fields,
    planes: Planes,
    findings: &mut Findings,
) -> Option<DesignSun> {
    let plane = site.text("design_plane", findings);
    let sun = site
        .group("design_sun", findings)
        .and_then(|node| Fields::open(node, &DESIGN_SUN, findings));
    if let (Some(plane), Some(_)) = (&plane, &sun) {
        let message = "`site` has both `design_plane` and `design_sun`";
        findings.error(KEYS_CLASH, plane.at, message, "keep the one that says what is meant");
        return None;
    }
    if planes.count() == 0 {
        let at = plane.as_ref().map(|p| p.at).or(sun.as_ref().map(|s| s.at));
        if let Some(at) = at {
            let message = "where the sun stands has no effect: the file has no `planes`";
            let help = "without planes all panels have full sun; add `planes`, or leave it out";
            findings.warning(NO_EFFECT, at, message, help);
        }
        return None;
    }
    if let Some(sun) = sun {
        let elevation = sun.number("elevation_deg", findings);
        let azimuth = sun.number("azimuth_deg", findings);
        return Some(DesignSun::At {
            elevation_deg: elevation?.value,
            azimuth_deg: azimuth?.value,
        });
    }
    match plane {
        Some(name) => planes.find(&name, findings).map(|p| DesignSun::SquareOn(PlaneIdx(p))),
        None => Some(DesignSun::SquareOn(PlaneIdx(0))),
    }
}

/// Works out what every plane has of the sun, at the design instant and while it stands square on each.
pub(super) fn light_planes(planes: &mut [PanelPlane], design: DesignSun) {
    let under =
        |p: &PanelPlane| Plane { tilt_deg: p.tilt_deg, azimuth_deg: p.azimuth_deg, shade: p.shade };
    let square_on = |p: &PanelPlane| SunPosition {
        elevation_deg: 90.0 - p.tilt_deg,
        azimuth_deg: p.azimuth_deg,
    };
    let suns: Vec<SunPosition> = planes.iter().map(square_on).collect();
    let at_design = match design {
        DesignSun::SquareOn(plane) => suns[plane.0],
        DesignSun::At { elevation_deg, azimuth_deg } => SunPosition { elevation_deg, azimuth_deg },
    };
    for (own, plane) in planes.iter_mut().enumerate() {
        let lit = under(plane);
        let light = |sun: SunPosition| Irradiance(under_full_sun(lit, sun));
        plane.at_design = light(at_design);
        // In full sun a plane is looked at without its shade, which is not always there.
        let square = |(p, sun): (usize, &SunPosition)| {
            if p == own { Irradiance(1000.0) } else { light(*sun) }
        };
        plane.at_square = suns.iter().enumerate().map(square).collect();
    }
}
