//! Plans as the planner makes them, with what they are audited by.

use std::fs;
use std::path::Path;
use std::rc::Rc;

use sungraft::electrical::Catalog;
use sungraft::input::read_site;
use sungraft::model::{InputWiring, Installation, KindIdx, SunData};
use sungraft::plan::{
    AuditError, AuditTerms, Bound, Evaluator, Plan, Touch, audit_with, beyond_outputs,
    fewest_joints, spare_controllers_used, with_controllers,
};
use sungraft::planner::{Options, plan_only};
use sungraft::units::Watts;

use crate::random::Random;
use crate::sites::{charge, random_site};

const N_RANDOM: u64 = 50;
const SCENARIOS: [&str; 13] = [
    "apiary-block",
    "boat-house",
    "cheese-loft",
    "cider-barn",
    "ferry-kiosk",
    "hilltop-clipping",
    "kiln-shelf",
    "mill-two-roofs",
    "pasture-pwm",
    "ridge-cabin",
    "school-garden",
    "seed-shed",
    "terrace-long-run",
];

/// A plan and what it is audited by.
#[derive(Clone)]
pub(crate) struct Honest {
    pub(crate) name: String,
    pub(crate) site: Installation,
    /// Fitted once: no way to damage a site changes what curves are fitted to.
    catalog: Rc<Catalog>,
    pub(crate) plan: Plan,
    pub(crate) terms: AuditTerms,
}

impl Honest {
    pub(crate) fn audit(&self) -> Result<(), AuditError> {
        audit_with(&self.site, &self.catalog, &self.plan, &self.site.installed, &self.terms)
    }

    /// The same with its plan changed.
    pub(crate) fn with(&self, change: impl FnOnce(&mut Plan)) -> Option<Self> {
        let mut changed = self.clone();
        change(&mut changed.plan);
        Some(changed)
    }

    /// Another wiring, every figure of which is true: as a planner would tell it that believes its
    /// optimiser.
    pub(crate) fn rewired(&self, wiring: &[InputWiring]) -> Self {
        let site = &self.site;
        let evaluator = Evaluator::new(site, &self.catalog);
        let (state, today) = (evaluator.state(wiring), evaluator.state(&site.installed));
        let n_used = spare_controllers_used(site, wiring).len();
        let beyond: Watts = beyond_outputs(site, wiring).into_iter().map(|(_, w)| w).sum();
        let panels = wiring.iter().flat_map(|w| w.array.panels());
        let charges: f64 = panels.map(|k| charge(site.kind(k))).sum();
        let entries = n_used as f64 * self.terms.charge_controller.watts();
        let watts = state.watts();
        let plan = Plan {
            touch: self.plan.touch,
            added: watts - today.watts(),
            charged: watts - Watts(charges + entries) - beyond,
            bound: Bound { watts, gap: 0.0, proven: true },
            joints: with_controllers(fewest_joints(&site.installed, wiring).joints, n_used),
            state,
            energy: None,
        };
        Self { plan, ..self.clone() }
    }

    /// The same wiring on a changed site.
    pub(crate) fn on(&self, change: impl FnOnce(&mut Installation)) -> Self {
        let mut moved = self.clone();
        change(&mut moved.site);
        let wiring = self.plan.state.wiring();
        moved.rewired(&wiring)
    }
}

/// Panels of a kind in a wiring.
pub(crate) fn count(wiring: &[InputWiring], kind: KindIdx) -> usize {
    wiring.iter().flat_map(|w| w.array.panels()).filter(|k| *k == kind).count()
}

/// Plans of all touch levels on every site, with a number for each.
pub(crate) fn each_honest(mut check: impl FnMut(&Honest, u64)) {
    let mut seed = 0;
    for k in 0..N_RANDOM {
        let site = random_site(&mut Random::seeded(90_000 + k), 2 + k as usize % 4);
        plans_of(&format!("random {k}"), &site, &mut seed, &mut check);
    }
    for name in SCENARIOS {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/{name}.yaml"));
        let bytes = fs::read(path).expect("scenarios are there");
        let read = read_site(name, &bytes).unwrap_or_else(|mistakes| panic!("{name}: {mistakes}"));
        let mut site = read.value;
        // Plans for watts: the audit is about them.
        site.site.sun = SunData::default();
        plans_of(name, &site, &mut seed, &mut check);
    }
}

fn plans_of(name: &str, site: &Installation, seed: &mut u64, check: &mut impl FnMut(&Honest, u64)) {
    let catalog = Rc::new(Catalog::fit(&site.kinds).expect("legal labels"));
    for touch in Touch::ALL {
        let options = Options { touch: vec![touch], ..Options::default() };
        for plan in plan_only(site, &options).expect("the planner's own plans pass") {
            *seed += 1;
            let name = format!("{name}, touch {}", touch.name());
            let terms = AuditTerms::default();
            let (site, catalog) = (site.clone(), Rc::clone(&catalog));
            check(&Honest { name, site, catalog, plan, terms }, *seed);
        }
    }
}
