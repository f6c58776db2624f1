//! How a plan is carried out: which joints to part and to make, in which order, what to buy and
//! what to measure.
//!
//! The order is that of the trade (common practice, no source; see `docs/carrying-out.md`): the array
//! is isolated before it is touched, the battery stays where it is, every string is proven alone before
//! it is put beside others. Each state on the way is judged by the same limits as a plan.

mod cables;
mod float;
mod links;
mod nets;
mod order;
mod part;
mod parts;
mod sequence;
mod sheet;
mod step;

use super::{Evaluator, fewest_joints, spare_controllers_used, with_controllers};
use crate::model::{InputWiring, Installation};

pub use cables::{ARRAY_DROP, BATTERY_DROP, Cable, CableLoss, CableSize, NeededBy, cables};
pub use nets::{Rejoined, Tag, Terminal, joinings, openings, tags};
pub use part::{Item, Part, PartPlace, Unsure};
pub use parts::parts;
pub(super) use sheet::test_sheet as sheet_for;
pub use sheet::{InputSheet, Measured, Reading, SHEET_TEMPERATURES, StringSheet, TestSheet};
pub use step::{Method, StateFound, Step, Work};

impl Method {
    /// The way from today's wiring to a planned one, the whole site.
    ///
    /// `measured` is the sun and the cell temperature at which the test sheet is to be right.
    #[must_use]
    pub fn new(
        evaluator: &Evaluator,
        installation: &Installation,
        planned: &[InputWiring],
        measured: Option<Measured>,
    ) -> Self {
        let today = &installation.installed;
        let mut rewiring = fewest_joints(today, planned);
        let new = spare_controllers_used(installation, planned).len();
        rewiring.joints = with_controllers(rewiring.joints, new);
        let steps = sequence::steps(evaluator, installation, today, &rewiring);
        let tests = sheet::test_sheet(evaluator, installation, &rewiring.inputs, measured);
        Self { rewiring, steps, tests }
    }
}
