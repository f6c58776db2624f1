//! Wirings that take little work after the one before.

use super::campaign::Campaign;
use super::ground::{Ground, Stand};
use super::sequence::laid_on;
use super::year::Lens;
use crate::energy::EnergyModel;
use crate::model::{ArrayWiring, InputWiring, Installation, KindIdx, Spare};
use crate::plan::{Aim, Plan, Touch};
use crate::planner::desk::Desk;
use crate::planner::front::Front;
use crate::planner::level::{LevelAnswer, Pick, Session};
use crate::planner::site::{movable, plan_together, planned_together};
use crate::planner::terms::Terms;
use crate::planner::{Failure, Options};
use crate::solve::Effort;

/// How joints are weighed in a phase.
#[derive(Clone, Copy)]
struct Weighing {
    /// Watts that a joint must bring in this phase alone. \[W\]
    worth: f64,
    /// Is there a limit on the work?
    is_limited: bool,
}

impl Weighing {
    fn weighs(self) -> bool {
        self.worth > 0.0 || self.is_limited
    }

    /// Can a wiring of so many charged watts and no joints be of use, beside those of a front? Where
    /// it saves joints after it, too, at most as many again.
    fn matters(self, front: &Front, most: f64) -> bool {
        let best = front.at_worth(self.worth);
        let joints = front.steps.iter().map(|s| s.joints).max().unwrap_or(0) as f64;
        let value = best.level.charged - self.worth * best.joints as f64;
        self.is_limited || most > value - self.worth * joints
    }
}

/// Offers a phase its plans after a wiring, at each level of disturbance, with the panels of a stand;
/// with a worth of joints, or a limit on them, those that weigh them, too.
pub(super) fn offer_fewer_joints(
    campaign: &Campaign,
    ground: &mut Ground,
    before: &[InputWiring],
    stand: &Stand,
    t: usize,
) -> Result<(), Failure> {
    let canonical = |w: &InputWiring| InputWiring { at: w.at, array: w.array.canonical() };
    let asked = (before.iter().map(canonical).collect(), stand.counts.clone());
    if campaign.is_stopped() || !ground.asked.insert(asked) {
        return Ok(());
    }
    let site = standing(&ground.lot.site, before, &stand.counts);
    let measures = &campaign.measures;
    let weighing = Weighing {
        worth: measures.joint / measures.years[t],
        is_limited: measures.joints[t].is_some() || measures.hours[t].is_some(),
    };
    let plans = match movable(&site)[..] {
        [_] => of_one_input(campaign, &site, ground.lens(), weighing),
        _ => of_several(campaign, &site, ground.lens(), weighing)?,
    };
    for mut wiring in plans {
        wiring.retain(|w| ground.lot.inputs.contains(&w.at));
        ground.offer(&wiring);
    }
    Ok(())
}

/// The levels of disturbance that a step may have, the freest last.
fn levels(campaign: &Campaign) -> Vec<Touch> {
    Touch::ALL.into_iter().filter(|touch| *touch <= campaign.measures.touch).collect()
}

fn of_one_input(
    campaign: &Campaign,
    site: &Installation,
    lens: Option<&Lens>,
    weighing: Weighing,
) -> Vec<Vec<InputWiring>> {
    let desk = Desk::new(site, campaign.catalog, campaign.options);
    let over = desk.over(lens.map(|lens| &lens.season));
    let at = movable(site)[0];
    let bench = desk.bench(at);
    let terms = Terms::of(&bench);
    let watch = campaign.options.effort.watch.quietly();
    let effort = Effort { watch, ..campaign.options.effort };
    let mut known: Vec<ArrayWiring> = Vec::new();
    // Where joints are weighed, what disturbs less is found among what may disturb anything.
    let touches = levels(campaign);
    for touch in if weighing.weighs() { &touches[touches.len() - 1..] } else { &touches[..] } {
        let mut session = Session::new(&bench, desk.question(*touch));
        if let Some(lens) = lens {
            session = session.asking_knowing(over.question(*touch), &lens.known);
        }
        let found = session.solve(&terms, &known, effort, Pick::Preferred);
        let LevelAnswer::Found(level) = found else { continue };
        known.push(level.array.clone());
        if weighing.weighs() {
            let matters = |front: &Front, most: f64| weighing.matters(front, most);
            let front = session.front(&terms, level, &known, effort, matters);
            known.extend(front.steps.into_iter().map(|step| step.level.array));
        }
    }
    known.into_iter().map(|array| vec![InputWiring { at, array }]).collect()
}

fn of_several(
    campaign: &Campaign,
    site: &Installation,
    lens: Option<&Lens>,
    weighing: Weighing,
) -> Result<Vec<Vec<InputWiring>>, Failure> {
    let options = Options {
        touch: levels(campaign),
        joint_worth: (weighing.worth > 0.0).then_some(weighing.worth),
        input: None,
        ..campaign.options.clone()
    };
    let desk = Desk::new(site, campaign.catalog, &options);
    let Some(inputs) = planned_together(site, &options) else { return Ok(Vec::new()) };
    let today = desk.evaluator.state(&site.installed);
    let model = lens.and_then(|_| EnergyModel::of(site, campaign.catalog));
    let aim = if model.is_some() { Aim::Year } else { Aim::Watts };
    let plans = plan_together(&desk, inputs, (aim, model.as_ref()), &today)?.0.plans;
    Ok(plans.iter().map(|plan: &Plan| plan.state.wiring()).collect())
}

/// The site as it stands after a wiring, with so many panels of each kind in all.
fn standing(site: &Installation, before: &[InputWiring], counts: &[usize]) -> Installation {
    let mut standing = site.clone();
    let kept: Vec<InputWiring> =
        site.installed.iter().filter(|w| site.kept.contains(&w.at)).cloned().collect();
    standing.installed = laid_on(&site.controllers, &[before.to_vec(), kept].concat());
    let mut wired = vec![0; counts.len()];
    before.iter().flat_map(|w| w.array.panels()).for_each(|k| wired[k.0] += 1);
    standing.spares = counts
        .iter()
        .zip(wired)
        .enumerate()
        .map(|(k, (n, wired))| Spare {
            kind: KindIdx(k),
            count: n.saturating_sub(wired),
            price: None,
            places: Vec::new(),
        })
        .filter(|s| s.count > 0)
        .collect();
    standing
}
