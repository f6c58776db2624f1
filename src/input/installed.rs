//! The wiring as it stands: which strings are on which input.

use std::collections::BTreeMap;

use super::codes::{INPUT_TWICE, MORE_STRINGS_THAN_PORTS, NO_PLANE, STRING_LENGTHS, TOO_MANY};
use super::document::Node;
use super::fields::Fields;
use super::findings::Findings;
use super::ids::Ids;
use super::keys::INSTALLED;
use super::places::Places;
use super::planes::Planes;
use super::wiring::WiringReader;
use crate::diagnostic::Place;
use crate::model::{ArrayWiring, Controller, Element, InputRef, InputWiring, PanelString};

/// Most strings of a site.
const MAX_STRINGS: usize = 500;
/// Most panels that are wired.
const MAX_PANELS: usize = 5_000;

/// Reads the entries of `installed` one after the other.
pub(super) struct InstalledReader<'i> {
    places: Places<'i>,
    planes: Planes<'i>,
    wiring: WiringReader<'i>,
    arrays: BTreeMap<InputRef, ArrayWiring>,
    first_lines: BTreeMap<InputRef, usize>,
    kept: Vec<InputRef>,
    n_strings: usize,
    n_panels: usize,
    full: bool,
}

impl<'i> InstalledReader<'i> {
    pub(super) fn new(
        kind_ids: &'i Ids,
        places: Places<'i>,
        planes: Planes<'i>,
        block_max: Option<usize>,
    ) -> Self {
        Self {
            places,
            planes,
            wiring: WiringReader::new(kind_ids, planes, block_max),
            arrays: BTreeMap::new(),
            first_lines: BTreeMap::new(),
            kept: Vec::new(),
            n_strings: 0,
            n_panels: 0,
            full: false,
        }
    }

    /// One entry: a controller, an input, its strings.
    pub(super) fn read_entry(&mut self, node: &Node, findings: &mut Findings) {
        let Some(fields) = Fields::open(node, &INSTALLED, findings) else { return };
        let at = self.places.read(&fields, findings);
        let named = fields.text("plane", findings);
        let plane = named.as_ref().and_then(|name| self.planes.find(name, findings));
        let strings = match fields.list("strings", findings) {
            Some(nodes) if !self.full => self.wiring.read_strings(nodes, plane, findings),
            _ => Vec::new(),
        };
        if let Some(place) = self.wiring.homeless().filter(|_| named.is_none()) {
            let message = "these strings stand on no plane, though there are `planes`";
            let help = format!(
                "write `plane:` in this entry, or the plane behind a panel, as in `[a@roof, a@wall]`; the planes are {}",
                self.planes.named()
            );
            findings.error(NO_PLANE, place, message, help);
        }
        let keep = fields.switch("keep", findings).unwrap_or(false);
        self.count(&strings, &fields, findings);
        let Some((input, place)) = at else { return };
        self.warn_ports(input, strings.len(), place, findings);
        self.warn_lengths(input, &strings, place, findings);
        if let Some(line) = self.first_lines.get(&input) {
            let who = self.places.name_of(input);
            let message = format!("{who} has two entries (the first in line {line})");
            let help = "put all strings of one input into one entry";
            findings.error(INPUT_TWICE, place, message, help);
            return;
        }
        self.first_lines.insert(input, place.line);
        self.kept.extend(keep.then_some(input));
        self.arrays.insert(input, ArrayWiring { strings });
    }

    /// Reports what is known only at the end, and hands over the arrays and the inputs to be kept.
    pub(super) fn finish(
        mut self,
        findings: &mut Findings,
    ) -> (BTreeMap<InputRef, ArrayWiring>, Vec<InputRef>) {
        self.wiring.report_unknown_kinds(findings);
        self.kept.sort_unstable();
        (self.arrays, self.kept)
    }

    /// One wiring for every input of every controller, empty where nothing is connected.
    pub(super) fn every_input(
        controllers: &[Controller],
        mut arrays: BTreeMap<InputRef, ArrayWiring>,
    ) -> Vec<InputWiring> {
        let mut all = Vec::new();
        for (controller, its) in controllers.iter().enumerate() {
            for input in 1..=its.n_inputs {
                let at = InputRef { controller, input };
                all.push(InputWiring { at, array: arrays.remove(&at).unwrap_or_default() });
            }
        }
        all
    }

    /// More strings than ports is a finding of the limits, not a fault of the file.
    fn warn_ports(&self, at: InputRef, n_strings: usize, place: Place, findings: &mut Findings) {
        let Some(controller) = self.places.controller(at.controller) else { return };
        let ports = controller.string_ports;
        if n_strings > ports {
            let who = self.places.name_of(at);
            let message = format!(
                "{who} has more strings than ports ({n_strings} strings, `string_ports` is {ports})"
            );
            let help = "correct `string_ports` if there are more places; two strings behind one fuse are not protected by it";
            findings.warning(MORE_STRINGS_THAN_PORTS, place, message, help);
        }
    }

    /// Strings of one kind of panel are of one length; where they are not, a panel may be missing here.
    fn warn_lengths(
        &self,
        at: InputRef,
        strings: &[PanelString],
        place: Place,
        findings: &mut Findings,
    ) {
        let mut kinds = strings.iter().flat_map(PanelString::panels);
        let Some(kind) = kinds.next() else { return };
        let mut lengths: Vec<usize> = strings.iter().map(|s| s.panels().count()).collect();
        lengths.sort_unstable();
        lengths.dedup();
        let (Some(least), Some(most)) = (lengths.first(), lengths.last()) else { return };
        if least == most
            || kinds.any(|k| k != kind)
            || strings.iter().any(|s| s.elements().iter().any(Element::is_block))
        {
            return;
        }
        let who = self.places.name_of(at);
        let message = format!("{who} has strings of {least} and of {most} panels of one kind");
        let help = "is a panel missing in one of them, or there twice? Unlike strings of one kind hold each other down";
        findings.warning(STRING_LENGTHS, place, message, help);
    }

    fn count(&mut self, strings: &[PanelString], fields: &Fields, findings: &mut Findings) {
        self.n_strings += strings.len();
        self.n_panels += strings.iter().map(|s| s.panels().count()).sum::<usize>();
        let over =
            [(self.n_strings, MAX_STRINGS, "strings"), (self.n_panels, MAX_PANELS, "panels")];
        for (n, max, what) in over {
            if n > max && !self.full {
                self.full = true;
                let message =
                    format!("there are too many {what} ({n} up to here; at most {max} are read)");
                let help = "split the site into several files, one for each group of controllers";
                findings.error(TOO_MANY, fields.at, message, help);
            }
        }
    }
}
