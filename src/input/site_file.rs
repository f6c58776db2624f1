//! The whole document to an installation, section by section; each is read even if another fails.

use super::codes::{EMPTY_FILE, KEYS_CLASH, LIST_LENGTH, NO_PANELS, WRONG_SORT};
use super::controllers::read_controller;
use super::document::{Document, Node, Value};
use super::doubts;
use super::fields::Fields;
use super::findings::Findings;
use super::ids::Ids;
use super::installed::InstalledReader;
use super::keys::{CONTROLLER, FILE, KIND, SITE};
use super::kinds::read_kind;
use super::losses::read_losses;
use super::phases::read_phases;
use super::placed::{Wirings, check_shared, place_kinds};
use super::places::Places;
use super::planes::{MAX_PLANES, Planes, light_planes, read_design, read_plane};
use super::runs::read_runs;
use super::site::read_site_group;
use super::spare_controllers::{read_spare_controllers, spare_ids, warn_of_batteries};
use super::spares::read_spares;
use crate::model::{Installation, PanelPlane};

/// Most kinds of a site.
const MAX_KINDS: usize = 200;
/// Most controllers of a site.
const MAX_CONTROLLERS: usize = 100;

/// The installation that a document describes; `None` if a finding says why not.
pub(super) fn build_installation(
    document: &Document,
    findings: &mut Findings,
) -> Option<Installation> {
    let root = &document.root;
    if !matches!(root.value, Value::Map(_)) {
        report_other_file(root, findings);
        return None;
    }
    let file = Fields::open(root, &FILE, findings)?;
    let plane_nodes = optional_entries(&file, "planes", findings);
    let plane_ids = Ids::read(plane_nodes, "plane", MAX_PLANES, findings);
    let read_planes: Vec<_> =
        plane_nodes.iter().take(MAX_PLANES).map(|node| read_plane(node, findings)).collect();
    let planes = Planes { ids: &plane_ids, planes: &read_planes };

    let site_fields =
        file.group("site", findings).and_then(|node| Fields::open(node, &SITE, findings));
    let site = site_fields.as_ref().and_then(|f| read_site_group(f, planes, findings));
    let design = site_fields.as_ref().and_then(|f| read_design(f, planes, findings));

    let kind_nodes = entries(&file, "kinds", findings);
    let kind_ids = Ids::read(kind_nodes, "kind", MAX_KINDS, findings);
    let kinds: Vec<_> = kind_nodes
        .iter()
        .take(MAX_KINDS)
        .map(|node| read_kind(&Fields::open(node, &KIND, findings)?, findings))
        .collect();

    let controller_nodes = entries(&file, "controllers", findings);
    let controller_ids = Ids::read(controller_nodes, "controller", MAX_CONTROLLERS, findings);
    let controllers: Vec<_> = controller_nodes
        .iter()
        .take(MAX_CONTROLLERS)
        .map(|node| read_controller(&Fields::open(node, &CONTROLLER, findings)?, findings))
        .collect();

    let spare_nodes = optional_entries(&file, "spare_controllers", findings);
    let spare_ids = spare_ids(spare_nodes, &controller_ids, findings);
    let spare_sorts = read_spare_controllers(spare_nodes, findings);

    let block_max = site.as_ref().map(|s| s.block_max);
    let places = Places { ids: &controller_ids, controllers: &controllers, spare: &spare_ids };
    let mut reader = InstalledReader::new(&kind_ids, places, planes, block_max);
    for node in optional_entries(&file, "installed", findings) {
        reader.read_entry(node, findings);
    }
    let (arrays, kept) = reader.finish(findings);
    for (node, controller) in controller_nodes.iter().zip(&controllers) {
        doubts::power_limit(node, controller.as_ref(), &kinds, findings);
    }
    let (spares, resale) =
        read_spares(optional_entries(&file, "spares", findings), &kind_ids, planes, findings);
    let runs = read_runs(optional_entries(&file, "runs", findings), places, findings);

    let nodes = optional_entries(&file, "phases", findings);
    let phases = read_phases(nodes, &kind_ids, places, findings);
    if let (false, Some(at)) = (phases.is_empty() || planes.count() == 0, file.key_place("phases"))
    {
        let message = "`phases` are not planned where there are `planes`";
        let help = "leave `planes` out to plan the phases as if all panels stood alike, or `phases` to plan for the planes";
        findings.error(KEYS_CLASH, at, message, help);
    }

    // An empty list says that nothing is lost, a missing one that the usual stands.
    let losses = file
        .has("losses")
        .then(|| read_losses(optional_entries(&file, "losses", findings), findings));

    let mut lit: Vec<PanelPlane> = read_planes.iter().flatten().cloned().collect();
    let read = Wirings { arrays, spares, resale };
    if !lit.is_empty() {
        check_shared(&lit, &read, root.place, findings);
    }
    if findings.n_errors() > 0 {
        return None;
    }
    if let Some(design) = design {
        light_planes(&mut lit, design);
    }
    let labels = kinds.into_iter().collect::<Option<_>>()?;
    let (kinds, Wirings { arrays, spares, resale }) = place_kinds(labels, &lit, read);
    let offered = phases.iter().any(|p| !p.spares.is_empty());
    if spares.is_empty() && !offered && arrays.values().all(|array| array.strings.is_empty()) {
        let help =
            "write the wiring as it stands under `installed`, and panels to add under `spares`";
        findings.warning(NO_PANELS, root.place, "no panel is installed and none is spare", help);
    }
    let mut controllers: Vec<_> = controllers.into_iter().collect::<Option<_>>()?;
    let wired: usize = arrays.values().map(|array| array.panels().count()).sum();
    let n_panels = wired + spares.iter().map(|s| s.count).sum::<usize>();
    let spare_sorts = spare_sorts.into_iter().collect::<Option<Vec<_>>>()?;
    controllers.extend(spare_sorts.into_iter().flat_map(|sort| sort.units(n_panels)));
    let mut site = site?;
    site.sun.losses = losses;
    site.money.resale = resale;
    site.sun.planes = lit;
    site.sun.design = design;
    let installation = Installation {
        site,
        kinds,
        installed: InstalledReader::every_input(&controllers, arrays),
        controllers,
        kept,
        spares,
        runs,
        phases,
    };
    let limit = site_fields.and_then(|fields| fields.key_place("battery_charge_a"));
    warn_of_batteries(spare_nodes, limit, &installation, findings);
    Some(installation)
}

/// The entries of a list that must have at least one.
fn entries<'n>(file: &Fields<'n>, key: &'static str, findings: &mut Findings) -> &'n [Node] {
    match file.list(key, findings) {
        None => &[],
        Some([]) => {
            let at = file.key_place(key).unwrap_or(file.at);
            let help = "`sungraft starter` shows an entry with every key explained";
            findings.error(LIST_LENGTH, at, format!("`{key}` has no entries"), help);
            &[]
        }
        Some(nodes) => nodes,
    }
}

/// The entries of a list that may be missing, blank or empty.
fn optional_entries<'n>(
    file: &Fields<'n>,
    key: &'static str,
    findings: &mut Findings,
) -> &'n [Node] {
    file.list(key, findings).unwrap_or_default()
}

/// What is YAML but no site file.
fn report_other_file(root: &Node, findings: &mut Findings) {
    const BEGIN: &str =
        "a site file begins with `site:`; `sungraft starter` prints one to begin from";
    if root.value == Value::Nothing {
        return findings.error_in_file(
            EMPTY_FILE,
            "the file has nothing in it but comments",
            BEGIN,
        );
    }
    let message = format!("a site file is a group of keys (this is {})", root.value.sort());
    findings.error(WRONG_SORT, root.place, message, BEGIN);
}
