//! Verdicts at both ends of what a label leaves open, over a whole site.

use crate::model::KindIdx;
use crate::plan::Certainty;
use crate::planner::Desk;
use crate::planner::certainty::certain;
use crate::planner::certificate::refitted;
use crate::planner::change::Refit;
use crate::planner::gain::Gain;
use crate::planner::worth::freest;

use super::plan::arrays_today;
use super::verdicts::Verdicts;
use super::{benches, seen_from, sessions};

impl Verdicts<'_> {
    /// The verdict at both ends of what a label's tolerance and the panel's age leave open.
    pub(super) fn certainty(&self, kind: KindIdx) -> Option<Certainty> {
        let (low, high) = self.desk.installation.kind(kind).power_band()?;
        let (at_low, at_high) = (self.at_end(kind, low), self.at_end(kind, high));
        Some(certain((low, high), (at_low, at_high), self.desk.season))
    }

    /// What the kind's spares add with its currents scaled; `None` if they are not worth it.
    fn at_end(&self, kind: KindIdx, factor: f64) -> Option<Gain> {
        let inputs = &self.planned.inputs;
        let refit = Refit::Currents(factor);
        let changed = refit.apply(self.desk.installation, inputs[0], kind)?;
        let catalog = refitted(refit, &changed, self.desk.catalog)?;
        let desk = Desk::new(&changed, &catalog, self.desk.options);
        let desk = desk.over(self.desk.season);
        let touch = freest(&desk.options.touch);
        let seen = seen_from(&changed, inputs, touch);
        let benches = benches(&desk, &seen, inputs);
        let sessions = sessions(&benches, desk.question(touch));
        let known = [arrays_today(&desk, inputs)];
        let mut search = self.search(&desk, &sessions);
        let with = self.share(&desk, &mut search, &self.stock, &known)?;
        let more = self.put_up(&with.arrays, kind);
        let stock = self.with_spares(kind, 0);
        let without = self.share(&desk, &mut search, &stock, &known);
        let nothing = (0.0, 0.0);
        let less = without.map_or(nothing, |w| (w.watts, w.sought));
        let gain = Gain { watts: with.watts - less.0, sought: with.sought - less.1 };
        (more > 0 && gain.sought >= self.charge(kind) * more as f64).then_some(gain)
    }
}
