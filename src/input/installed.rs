//! The wiring as it stands: which strings are on which input.

use std::collections::BTreeMap;

use super::codes::{INPUT_TWICE, MORE_STRINGS_THAN_PORTS, NO_SUCH_INPUT, TOO_MANY};
use super::document::Node;
use super::fields::{Fields, read_name};
use super::findings::{Findings, quoted};
use super::ids::Ids;
use super::keys::INSTALLED;
use super::wiring::WiringReader;
use crate::diagnostic::Place;
use crate::model::{ArrayWiring, Controller, InputRef, InputWiring, PanelString};

/// Most strings of a site.
const MAX_STRINGS: usize = 500;
/// Most panels that are wired.
const MAX_PANELS: usize = 5_000;

/// Reads the entries of `installed` one after the other.
pub(super) struct InstalledReader<'i> {
    controller_ids: &'i Ids,
    /// `None` where a controller has a mistake of its own.
    controllers: &'i [Option<Controller>],
    wiring: WiringReader<'i>,
    arrays: BTreeMap<InputRef, ArrayWiring>,
    first_lines: BTreeMap<InputRef, usize>,
    n_strings: usize,
    n_panels: usize,
    full: bool,
}

impl<'i> InstalledReader<'i> {
    pub(super) fn new(
        kind_ids: &'i Ids,
        controller_ids: &'i Ids,
        controllers: &'i [Option<Controller>],
        block_max: Option<usize>,
    ) -> Self {
        Self {
            controller_ids,
            controllers,
            wiring: WiringReader::new(kind_ids, block_max),
            arrays: BTreeMap::new(),
            first_lines: BTreeMap::new(),
            n_strings: 0,
            n_panels: 0,
            full: false,
        }
    }

    /// One entry: a controller, an input, its strings.
    pub(super) fn read_entry(&mut self, node: &Node, findings: &mut Findings) {
        let Some(fields) = Fields::open(node, &INSTALLED, findings) else { return };
        let at = self.read_place(&fields, findings);
        let strings = match fields.list("strings", findings) {
            Some(nodes) if !self.full => self.wiring.read_strings(nodes, findings),
            _ => Vec::new(),
        };
        self.count(&strings, &fields, findings);
        let Some((input, place)) = at else { return };
        self.warn_ports(input, strings.len(), place, findings);
        if let Some(line) = self.first_lines.get(&input) {
            let who = self.name_of(input);
            let message = format!("{who} has two entries (the first in line {line})");
            let help = "put all strings of one input into one entry";
            findings.error(INPUT_TWICE, place, message, help);
            return;
        }
        self.first_lines.insert(input, place.line);
        self.arrays.insert(input, ArrayWiring { strings });
    }

    /// Reports what is known only at the end, and hands over the arrays.
    pub(super) fn finish(self, findings: &mut Findings) -> BTreeMap<InputRef, ArrayWiring> {
        self.wiring.report_unknown_kinds(findings);
        self.arrays
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

    /// Which input an entry means, and where the entry says so.
    fn read_place(&self, fields: &Fields, findings: &mut Findings) -> Option<(InputRef, Place)> {
        let input = fields.count("input", findings);
        let node = &fields.take("controller", findings)?.node;
        let name = read_name(node, "`controller`", findings)?;
        let Some(idx) = self.controller_ids.find(&name.value) else {
            self.controller_ids.report_unknown(&name.value, name.at, 1, findings);
            return None;
        };
        let controller = self.controllers.get(idx)?.as_ref()?;
        let id = quoted(&controller.id);
        let n_inputs = controller.n_inputs;
        let Some(input) = input else {
            // A faulty number is reported already; a missing one is clear only if there is one input.
            if !fields.has("input") && n_inputs > 1 {
                let help =
                    format!("write which of the {n_inputs} inputs of {id} it is, as in `input: 1`");
                fields.report_missing("input", &help, findings);
                return None;
            }
            let one = InputRef { controller: idx, input: 1 };
            return (!fields.has("input")).then_some((one, name.at));
        };
        if input.value > n_inputs {
            let are = if n_inputs == 1 { "is 1".to_owned() } else { format!("are {n_inputs}") };
            let message = format!("controller {id} has no input {} (there {are})", input.value);
            let help =
                "inputs count from 1; correct the number here, or `inputs` of the controller";
            findings.error(NO_SUCH_INPUT, input.at, message, help);
            return None;
        }
        Some((InputRef { controller: idx, input: input.value }, input.at))
    }

    fn name_of(&self, at: InputRef) -> String {
        let controller = self.controllers.get(at.controller).and_then(Option::as_ref);
        let id = controller.map_or(String::new(), |c| format!(" of {}", quoted(&c.id)));
        format!("input {}{id}", at.input)
    }

    /// More strings than ports is a finding of the limits, not a fault of the file.
    fn warn_ports(&self, at: InputRef, n_strings: usize, place: Place, findings: &mut Findings) {
        let Some(Some(controller)) = self.controllers.get(at.controller) else { return };
        let ports = controller.string_ports;
        if n_strings > ports {
            let who = self.name_of(at);
            let message = format!(
                "{who} has more strings than ports ({n_strings} strings, `string_ports` is {ports})"
            );
            let help = "correct `string_ports` if there are more places; two strings behind one fuse are not protected by it";
            findings.warning(MORE_STRINGS_THAN_PORTS, place, message, help);
        }
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
