//! How large everything is: the same in both halves of the drawing, so that the eye finds the change.

use super::fold::{fold_elements, fold_out, fold_strings};
use super::scene::{ElementBox, Mark, Panel, Scene, StringRow};
use crate::model::Installation;
use crate::report::drawing::letters::{LEADING, broken, pieces, width};
use crate::report::drawing::svg::{NARROW, WIDEST};

/// Where the minus bus stands.
pub(super) const MINUS_BUS: f64 = 14.0;
/// Between two elements; holds a plus and a minus.
pub(super) const GAP: f64 = 30.0;
/// From a block's bar to its panels.
pub(super) const STUB: f64 = 16.0;
/// A fuse with its leads, and its size above it.
pub(super) const FUSE: f64 = 42.0;
/// From the plus bus to the right edge with disconnect, controller and battery.
pub(super) const BALANCE: f64 = 180.0;
/// From the last element to the plus bus, without a fuse.
const TO_BUS: f64 = 26.0;

/// How a panel's name is set in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Setting {
    Level,
    Upwards,
}

/// Where disconnect, controller and battery stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Balance {
    Beside,
    Beneath,
}

/// Sizes in one drawing.
#[derive(Debug, Clone)]
pub(super) struct Measures<'a> {
    installation: &'a Installation,
    pub(super) setting: Setting,
    pub(super) balance: Balance,
    /// The longest line in a panel.
    line: f64,
    /// A panel.
    pub(super) panel: (f64, f64),
    /// Width of the column of fuses; 0 without any.
    pub(super) fuses: f64,
    /// Where the plus bus stands.
    pub(super) plus_bus: f64,
    /// Of the whole drawing.
    pub(super) width: f64,
}

/// A scene ready to be drawn: folded, and cut into lines.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    pub(super) rows: Vec<(StringRow, Vec<Vec<ElementBox>>)>,
    pub(super) out: Vec<Vec<ElementBox>>,
}

/// Fits scenes into a drawing: whole on a small phone if that can be, else as wide as a page.
pub(super) fn fit<'a>(
    installation: &'a Installation,
    scenes: &[&Scene],
    least: f64,
) -> (Measures<'a>, Vec<Fitted>) {
    let forms = [
        (Setting::Level, Balance::Beside),
        (Setting::Upwards, Balance::Beside),
        (Setting::Level, Balance::Beneath),
        (Setting::Upwards, Balance::Beneath),
        (Setting::Level, Balance::Beside),
    ];
    let mut found = None;
    for (i, (setting, balance)) in forms.into_iter().enumerate() {
        let (measures, fitted) = fit_form(installation, scenes, setting, balance, least);
        let narrow = measures.width <= NARROW;
        found = Some((measures, fitted));
        if narrow && i + 1 < forms.len() {
            break;
        }
    }
    found.expect("there are forms")
}

fn fit_form<'a>(
    installation: &'a Installation,
    scenes: &[&Scene],
    setting: Setting,
    balance: Balance,
    least: f64,
) -> (Measures<'a>, Vec<Fitted>) {
    let fused = scenes.iter().flat_map(|s| &s.strings).any(|s| s.fuse.is_some());
    let mut m = Measures {
        installation,
        setting,
        balance,
        line: 0.0,
        panel: (0.0, 0.0),
        fuses: if fused { FUSE } else { 0.0 },
        plus_bus: 0.0,
        width: 0.0,
    };
    let beside = if balance == Balance::Beside { BALANCE } else { 16.0 };
    let room = WIDEST - beside - m.to_bus() - MINUS_BUS - GAP;
    let unfolded = scenes.iter().flat_map(|s| s.strings.iter().flat_map(|s| &s.elements).cloned());
    let out = scenes.iter().flat_map(|s| fold_out(&s.out));
    m.line = m.longest_line(scenes);
    m.panel = m.largest_panel(unfolded.chain(out));
    let mut fitted: Vec<Fitted> = scenes.iter().map(|scene| m.fit_scene(scene, room)).collect();
    // Several drawn as one have a line more to say.
    let folded =
        fitted.iter().flat_map(|f| f.rows.iter().flat_map(|(row, _)| row.elements.clone()));
    let panel = m.largest_panel(folded);
    if panel.0 > m.panel.0 || panel.1 > m.panel.1 {
        m.panel = (m.panel.0.max(panel.0), m.panel.1.max(panel.1));
        fitted = scenes.iter().map(|scene| m.fit_scene(scene, room)).collect();
    }
    let lines = fitted.iter().flat_map(|f| f.rows.iter().flat_map(|(_, lines)| lines));
    let mut inner = lines.map(|line| m.line_width(line)).fold(0.0, f64::max);
    let heads = fitted.iter().flat_map(|f| &f.rows).map(|(row, _)| width(&heading(row)));
    inner = heads.fold(inner, |inner, head| inner.max(head - m.to_bus()));
    m.plus_bus = MINUS_BUS + GAP + inner + m.to_bus();
    let out = fitted.iter().flat_map(|f| &f.out).map(|line| GAP + m.line_width(line) + 10.0);
    m.width = out.fold(m.plus_bus + beside, f64::max).max(least).max(BALANCE + 60.0);
    (m, fitted)
}

impl Measures<'_> {
    /// From the last element to the plus bus.
    pub(super) fn to_bus(&self) -> f64 {
        TO_BUS + self.fuses
    }

    /// The name of a panel's kind.
    pub(super) fn id(&self, panel: &Panel) -> &str {
        &self.installation.kind(panel.kind).id
    }

    /// What stands in a panel, line by line.
    pub(super) fn inscription(&self, panel: &Panel, alike: usize) -> Vec<String> {
        let kind = self.installation.kind(panel.kind);
        let (lines, of_plane) = match self.setting {
            Setting::Level => (3, 2),
            Setting::Upwards => (2, 1),
        };
        let times = (alike > 1).then(|| format!("{alike}\u{a0}×"));
        // The plane begins a line of its own, so that it is not what is cut off.
        let plane = self.plane(panel).map_or_else(Vec::new, |plane| {
            let mut lines = broken(plane, self.line, of_plane);
            lines[0].insert(0, '@');
            lines
        });
        let label = broken(kind.label_id(), self.line, lines);
        times.into_iter().chain(label).chain(plane).collect()
    }

    /// The id of a panel's plane; `None` without planes.
    fn plane(&self, panel: &Panel) -> Option<&str> {
        let own = self.installation.kind(panel.kind).placed.as_ref()?.plane;
        Some(&self.installation.site.sun.planes[own.0].id)
    }

    /// Names set level are broken where they can be, so that panels stay narrow.
    fn longest_line(&self, scenes: &[&Scene]) -> f64 {
        if self.setting == Setting::Upwards {
            return 88.0;
        }
        let elements = scenes.iter().flat_map(|s| &s.strings).flat_map(|s| &s.elements);
        let panels = elements.flat_map(|e| &e.members).chain(scenes.iter().flat_map(|s| &s.out));
        let widest = |text: &str| pieces(text).map(width).fold(0.0, f64::max);
        let of_panel = |p: &Panel| {
            let label = widest(self.installation.kind(p.kind).label_id());
            self.plane(p).map_or(label, |plane| label.max(widest(plane)))
        };
        panels.map(of_panel).fold(0.0, f64::max).clamp(30.0, 76.0)
    }

    /// A panel that holds the inscription of each of these.
    fn largest_panel(&self, elements: impl Iterator<Item = ElementBox>) -> (f64, f64) {
        let (mut across, mut along) = (0.0_f64, 0.0_f64);
        for element in elements {
            for panel in &element.members {
                let lines = self.inscription(panel, element.alike);
                along = lines.iter().map(|l| width(l)).fold(along, f64::max);
                across = across.max(LEADING * lines.len() as f64);
            }
        }
        match self.setting {
            Setting::Level => {
                let w = (along + 10.0).max(40.0);
                (w, (across + 10.0).max(w * 1.3).max(60.0))
            }
            Setting::Upwards => ((across + 10.0).max(32.0), (along + 12.0).max(60.0)),
        }
    }

    fn fit_scene(&self, scene: &Scene, room: f64) -> Fitted {
        let rows = fold_strings(&scene.strings).into_iter().map(|row| {
            let fits = self.line_width(&row.elements) <= room;
            let row = if fits { row } else { fold_elements(&row) };
            let lines = self.wrapped(&row.elements, room);
            (row, lines)
        });
        let out = self.wrapped(&fold_out(&scene.out), WIDEST - GAP - 10.0);
        Fitted { rows: rows.collect(), out }
    }

    fn wrapped(&self, elements: &[ElementBox], room: f64) -> Vec<Vec<ElementBox>> {
        let mut lines: Vec<Vec<ElementBox>> = Vec::new();
        for element in elements {
            match lines.last_mut() {
                Some(line) if self.line_width(line) + GAP + self.element_width(element) <= room => {
                    line.push(element.clone());
                }
                _ => lines.push(vec![element.clone()]),
            }
        }
        lines
    }

    /// From the first to the last terminal.
    pub(super) fn line_width(&self, line: &[ElementBox]) -> f64 {
        let gaps = GAP * line.len().saturating_sub(1) as f64;
        line.iter().map(|e| self.element_width(e)).sum::<f64>() + gaps
    }

    /// Of an element with what stands above it.
    pub(super) fn element_width(&self, element: &ElementBox) -> f64 {
        let labels = element.members.iter().flat_map(labels).map(|l| width(&l));
        labels.fold(self.box_width(element), |w, label| w.max(label + 6.0 - GAP))
    }

    /// Of an element from terminal to terminal.
    pub(super) fn box_width(&self, element: &ElementBox) -> f64 {
        if element.members.len() == 1 {
            return self.panel.0;
        }
        self.panel.0 + STUB + self.right_stub(element)
    }

    /// From a block's panels to its right bar.
    pub(super) fn right_stub(&self, element: &ElementBox) -> f64 {
        let fused = element.members.iter().any(|p| p.fuse.is_some());
        if fused { STUB + FUSE } else { STUB }
    }
}

/// What stands above a panel, line by line.
pub(super) fn labels(panel: &Panel) -> Vec<String> {
    let place = match &panel.last_place {
        Some(last) => format!("{}–{last}", panel.place),
        None => panel.place.clone(),
    };
    match &panel.mark {
        Mark::AsToday => vec![place],
        Mark::New => vec![place, panel.tape.clone()],
        Mark::From(from) => vec![place, format!("from {from}")],
        Mark::Out => match &panel.last_place {
            Some(_) => vec!["out".into()],
            None => vec![format!("was {place}")],
        },
    }
}

/// What stands above a string.
pub(super) fn heading(row: &StringRow) -> String {
    match row.alike {
        1 => format!("string {}: {}", row.first + 1, row.figures),
        n => format!("strings {}–{}, {n} alike: {}", row.first + 1, row.first + n, row.figures),
    }
}
