//! Sites whose panels are set on planes.

use sungraft::model::{
    ArrayWiring, DesignSun, Element, Installation, Kind, KindIdx, PanelPlane, PanelString, Placed,
    PlaneIdx, Spare,
};
use sungraft::sun::{Plane, SunPosition, under_full_sun};
use sungraft::units::Irradiance;

use crate::random::Random;

/// A plane by its tilt, azimuth and shade; irradiances are worked out by [`light`].
pub(crate) fn plane(id: &str, tilt_deg: f64, azimuth_deg: f64, shade: f64) -> PanelPlane {
    PanelPlane {
        id: id.to_owned(),
        tilt_deg,
        azimuth_deg,
        shade,
        room: None,
        at_design: Irradiance(0.0),
        at_square: Vec::new(),
    }
}

/// Works out what every plane has of the sun.
pub(crate) fn light(mut planes: Vec<PanelPlane>, design: DesignSun) -> Vec<PanelPlane> {
    let suns: Vec<SunPosition> = planes
        .iter()
        .map(|p| SunPosition { elevation_deg: 90.0 - p.tilt_deg, azimuth_deg: p.azimuth_deg })
        .collect();
    let at_design = match design {
        DesignSun::SquareOn(p) => suns[p.0],
        DesignSun::At { elevation_deg, azimuth_deg } => SunPosition { elevation_deg, azimuth_deg },
    };
    for (own, p) in planes.iter_mut().enumerate() {
        let stands = Plane { tilt_deg: p.tilt_deg, azimuth_deg: p.azimuth_deg, shade: p.shade };
        p.at_design = Irradiance(under_full_sun(stands, at_design));
        p.at_square = (0..suns.len())
            .map(|lit| if lit == own { 1000.0 } else { under_full_sun(stands, suns[lit]) })
            .map(Irradiance)
            .collect();
    }
    planes
}

/// Sets the panels of a site without planes on planes: what stands by `stands`, one answer for each
/// panel in order, and spares where `may_go` says.
pub(crate) fn on_planes(
    site: &Installation,
    planes: Vec<PanelPlane>,
    design: DesignSun,
    mut stands: impl FnMut() -> usize,
    mut may_go: impl FnMut() -> Vec<usize>,
) -> Installation {
    let n = planes.len();
    let planes = light(planes, design);
    let at = |k: KindIdx, p: usize| KindIdx(k.0 * n + p);
    let kinds = site.kinds.iter().flat_map(|kind| {
        planes.iter().enumerate().map(|(p, plane)| Kind {
            id: format!("{}@{}", kind.id, plane.id),
            placed: Some(Placed {
                label_id: kind.id.clone(),
                plane: PlaneIdx(p),
                sun: plane.at_design,
            }),
            ..kind.clone()
        })
    });
    let mut placed = site.clone();
    placed.kinds = kinds.collect();
    for wiring in &mut placed.installed {
        let mut element =
            |e: &Element| Element::block(e.members().iter().map(|k| at(*k, stands())).collect());
        let mut string =
            |s: &PanelString| PanelString::new(s.elements().iter().map(&mut element).collect());
        wiring.array =
            ArrayWiring { strings: wiring.array.strings.iter().map(&mut string).collect() };
    }
    for spare in &mut placed.spares {
        let places: Vec<KindIdx> = may_go().into_iter().map(|p| at(spare.kind, p)).collect();
        *spare = Spare { kind: places[0], places, ..spare.clone() };
    }
    placed.site.sun.planes = planes;
    placed.site.sun.design = Some(design);
    placed
}

/// Two planes that differ, with little room, and panels on either.
pub(crate) fn at_random(rng: &mut Random, site: &Installation) -> Installation {
    let mut one = |id: &str| {
        let (tilt, azimuth) = (rng.between(0.0, 90.0), rng.between(0.0, 360.0));
        let shade = if rng.chance(0.3) { rng.between(0.0, 0.6) } else { 0.0 };
        PanelPlane { room: Some(1 + rng.below(3)), ..plane(id, tilt, azimuth, shade) }
    };
    let planes = vec![one("a"), one("b")];
    let design = match rng.below(3) {
        0 => DesignSun::At {
            elevation_deg: rng.between(10.0, 90.0),
            azimuth_deg: rng.between(0.0, 360.0),
        },
        p => DesignSun::SquareOn(PlaneIdx(p - 1)),
    };
    let n: usize = site.installed.iter().map(|w| w.array.panels().count()).sum();
    let mut stands: Vec<usize> = (0..n).map(|_| rng.below(2)).collect();
    let mut may_go: Vec<Vec<usize>> = site
        .spares
        .iter()
        .map(|_| [vec![0], vec![1], vec![0, 1], vec![0, 1]][rng.below(4)].clone())
        .collect();
    on_planes(
        site,
        planes,
        design,
        || stands.pop().expect("one for each panel"),
        || may_go.pop().expect("one for each spare"),
    )
}
