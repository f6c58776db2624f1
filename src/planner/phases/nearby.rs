//! Wirings that take little work after the one before.

use super::campaign::Campaign;
use super::ground::{Ground, Stand};
use super::sequence::laid_on;
use crate::model::{InputWiring, Installation, KindIdx, Spare};
use crate::plan::{Aim, Plan, Touch};
use crate::planner::desk::Desk;
use crate::planner::site::{plan_together, planned_together};
use crate::planner::{Failure, Options};

/// Plans of one phase after a wiring, at each level of disturbance, with the panels of a stand; with
/// a worth of joints, or a limit on them, those that weigh them, too.
pub(super) fn fewer_joints(
    campaign: &Campaign,
    ground: &Ground,
    before: &[InputWiring],
    stand: &Stand,
    t: usize,
) -> Result<Vec<Vec<InputWiring>>, Failure> {
    let site = standing(&ground.lot.site, before, &stand.counts);
    let limited = campaign.measures.joints[t].is_some() || campaign.measures.hours[t].is_some();
    let joint_worth = campaign.measures.joint / campaign.measures.years[t];
    // Where joints are weighed, what disturbs less is found among what may disturb anything.
    let weighed = limited || joint_worth > 0.0;
    let options = Options {
        touch: if weighed && ground.inputs.len() == 1 {
            vec![Touch::Free]
        } else {
            Touch::ALL.to_vec()
        },
        joint_worth: (joint_worth > 0.0).then_some(joint_worth),
        joint_curve: weighed,
        input: None,
        ..campaign.options.clone()
    };
    let plans = plans_of(&site, campaign, &options)?;
    let on_inputs = |plan: &Plan| {
        let wiring = plan.state.wiring().into_iter();
        wiring.filter(|w| ground.lot.inputs.contains(&w.at)).collect()
    };
    Ok(plans.iter().map(on_inputs).collect())
}

fn plans_of(
    site: &Installation,
    campaign: &Campaign,
    options: &Options,
) -> Result<Vec<Plan>, Failure> {
    let desk = Desk::new(site, campaign.catalog, options);
    if let Some(inputs) = planned_together(site, options) {
        let today = desk.evaluator.state(&site.installed);
        return Ok(plan_together(&desk, inputs, (Aim::Watts, None), &today)?.0.plans);
    }
    let (today, planned) = desk.plan_site()?;
    let bench = desk.bench(planned.at);
    let curve = desk.joint_curve(&planned, &bench, &today)?;
    let points = curve.into_iter().flat_map(|c| c.points).map(|p| p.plan);
    Ok(planned.plans.into_iter().chain(points).collect())
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
