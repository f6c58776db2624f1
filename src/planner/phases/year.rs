//! Energy as what is sought: the year of each phase's site, and how the search sees it.
//!
//! As for a single answer the search works with typical hours, each wiring that it meets is reckoned
//! hour by hour, and ceilings bound them all. All phases are measured by one season, so that their
//! values add up.

use std::cell::RefCell;
use std::rc::Rc;

use super::ground::Ground;
use super::judge::Judge;
use super::orders::on_site;
use crate::energy::{EnergyModel, Grain, Slopes, Span};
use crate::model::{ArrayWiring, InputRef, InputWiring};
use crate::planner::by_year::Line;
use crate::planner::columns::Candidates;
use crate::planner::level::Session;
use crate::planner::season::Season;
use crate::planner::strings_known::StringsKnown;
use crate::planner::terms::Question;
use crate::units::KilowattHours;

/// Wirings of one phase that are judged to close one bound.
const JUDGED: usize = 60;

/// A phase's year.
pub(super) struct Year<'b> {
    model: EnergyModel<'b>,
    /// Measures values and charges of every phase.
    basis: &'b Season,
    shelf: Rc<Shelf>,
    lens: Option<Lens>,
}

/// What is known of strings, by the controllers in use and the slopes of a line: phases have most
/// strings in common.
#[derive(Default)]
pub(super) struct Shelf(RefCell<Vec<OfLine>>);

/// Controllers in use, slopes, and what is known.
type OfLine = (Vec<usize>, Slopes, Rc<StringsKnown>);

impl Shelf {
    fn known(&self, in_use: &[usize], slopes: &Slopes) -> Rc<StringsKnown> {
        let mut all = self.0.borrow_mut();
        let found = all.iter().find(|(c, s, _)| c == in_use && s == slopes);
        if let Some((_, _, known)) = found {
            return Rc::clone(known);
        }
        let known = Rc::new(StringsKnown::default());
        all.push((in_use.to_vec(), slopes.clone(), Rc::clone(&known)));
        known
    }
}

/// What strings bring along one straight line through a year.
pub(super) struct Lens {
    slopes: Slopes,
    pub season: Season,
    pub known: Rc<StringsKnown>,
    /// For each input its candidates, rated so.
    candidates: Vec<Rc<Candidates>>,
}

impl<'b> Year<'b> {
    pub(super) fn new(model: EnergyModel<'b>, basis: &'b Season, shelf: Rc<Shelf>) -> Self {
        Self { model, basis, shelf, lens: None }
    }

    /// Value of what comes out of the controllers in a year, the whole site wired so.
    pub(super) fn value(&self, wiring: &[InputWiring]) -> f64 {
        self.basis.value(self.energy(wiring))
    }

    /// The same as energy.
    pub(super) fn energy(&self, wiring: &[InputWiring]) -> KilowattHours {
        self.model.year(wiring).out()
    }

    /// A question about watts asked about the year.
    pub(super) fn question(&self, question: Question<'b>) -> Question<'b> {
        Question { season: Some(self.basis), ..question }
    }
}

impl Lens {
    /// The inputs of a ground seen so.
    pub(super) fn sessions<'s>(&'s self, ground: &'s Ground<'_>) -> Vec<Session<'s>> {
        let inputs = ground.inputs.iter().zip(&self.candidates);
        let session = |(unit, candidates): (&'s super::unit::Unit<'_, '_>, &Rc<Candidates>)| {
            let Session { bench, question, .. } = unit.session;
            let question = Question { season: Some(&self.season), ..*question };
            Session { bench, question, candidates: Rc::clone(candidates) }
        };
        inputs.map(session).collect()
    }
}

impl Ground<'_> {
    /// How strings are compared, if energy is sought.
    pub(super) fn lens(&self) -> Option<&Lens> {
        self.year.as_ref()?.lens.as_ref()
    }

    /// Looks at the year along the line from today's wiring to the best one that was met; tells
    /// whether that is another line than before.
    pub(super) fn look_along(&mut self) -> bool {
        let best = self.stands.iter().max_by(|a, b| a.charged.total_cmp(&b.charged));
        let there = best.map_or_else(Vec::new, |stand| stand.wiring.clone());
        let site = &self.lot.site;
        let Some(year) = &mut self.year else { return false };
        let slopes = year.model.slopes(&site.installed, &on_site(site, &there));
        if year.lens.as_ref().is_some_and(|lens| lens.slopes == slopes) {
            return false;
        }
        let catalog = self.inputs[0].session.bench.catalog;
        let hours = (Span::Year, Grain::Coarse);
        let season =
            Season::new(&year.model, site, catalog, hours, &slopes).measured_by(year.basis);
        let known = year.shelf.known(&self.lot.in_use, &slopes);
        let rated = |unit: &super::unit::Unit<'_, '_>| {
            let Session { bench, question, candidates } = unit.session;
            let mut candidates = Candidates::clone(candidates);
            candidates.rate(bench, &Question { season: Some(&season), ..*question }, &known);
            Rc::new(candidates)
        };
        let candidates = self.inputs.iter().map(rated).collect();
        year.lens = Some(Lens { slopes, season, known, candidates });
        true
    }

    /// The line that touches at a wiring, as ceilings of all strings, and the value that it has
    /// besides; `None` where watts are sought.
    pub(super) fn ceilings_at(&self, wiring: &[InputWiring]) -> Option<(Lens, f64)> {
        let year = self.year.as_ref()?;
        let site = &self.lot.site;
        let sites = (self.with_nothing(), on_site(site, wiring));
        let catalog = self.inputs[0].session.bench.catalog;
        let array = |at| wiring.iter().find(|w| w.at == at).map(|w| &w.array);
        let benches = self.inputs.iter().map(|unit| unit.session.bench);
        let planned = benches.filter_map(|bench| Some((bench, array(bench.at)?)));
        let line =
            Line::at((&year.model, Span::Year), (site, catalog), (&sites.0, &sites.1), planned);
        let besides = year.basis.value(line.season.energy(line.besides));
        let season = line.season.measured_by(year.basis);
        let slopes = year.model.slopes(&sites.1, &sites.1);
        let known = year.shelf.known(&self.lot.in_use, &slopes);
        let rated = |unit: &super::unit::Unit<'_, '_>| {
            let mut candidates = Candidates::clone(&unit.session.candidates);
            candidates.take_ceilings(unit.session.bench, (&season, line.factor), &known);
            Rc::new(candidates)
        };
        let candidates = self.inputs.iter().map(rated).collect();
        Some((Lens { slopes, season, known, candidates }, besides))
    }

    /// Says what wirings of a single input are worth, less what a line has besides.
    pub(super) fn judge(&self, besides: f64) -> Option<Judge<'_>> {
        let year = self.year.as_ref()?;
        let [unit] = &self.inputs[..] else { return None };
        let Session { bench, question, .. } = unit.session;
        let question = year.question(*question);
        let worth = move |array: &ArrayWiring, counts: &[usize]| {
            let wiring = [InputWiring { at: bench.at, array: array.clone() }];
            let value = year.value(&on_site(&self.lot.site, &wiring));
            value - question.charge_of(bench, counts) - besides
        };
        Some(Judge { worth: Box::new(worth), left: JUDGED })
    }

    /// Value that no wiring passes, since no panel brings more than by itself; `None` where watts are
    /// sought.
    pub(super) fn most_by_labels(&self) -> Option<f64> {
        let year = self.year.as_ref()?;
        let site = &self.lot.site;
        let bench = self.inputs[0].session.bench;
        let (hours, free) = ((Span::Year, Grain::Fine), year.model.without_limits());
        let season = Season::new(&year.model, site, bench.catalog, hours, &free);
        let season = season.measured_by(year.basis);
        let question = Question { season: Some(&season), ..self.inputs[0].session.question };
        let each = |(k, n): (usize, &usize)| {
            let net = question.own_value(bench, k) - question.charge(bench, k);
            *n as f64 * net.max(0.0)
        };
        let panels: f64 = self.stock().iter().enumerate().map(each).sum();
        Some(year.value(&self.with_nothing()) + panels)
    }

    /// The site with nothing on the inputs that may be rewired.
    fn with_nothing(&self) -> Vec<InputWiring> {
        let bare = |at: &InputRef| InputWiring { at: *at, array: ArrayWiring::default() };
        let nothing: Vec<InputWiring> = self.lot.inputs.iter().map(bare).collect();
        on_site(&self.lot.site, &nothing)
    }
}
