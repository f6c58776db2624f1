//! The fewest joints, against every assignment of panels and every order of elements.

mod dice;
mod exhaustive;
mod nets;

use dice::{Dice, at};
use exhaustive::exhaustive;
use nets::recount;
use sungraft::model::{ArrayWiring, Element, InputWiring, KindIdx, PanelString};
use sungraft::plan::{Exactness, Rewiring, fewest_joints, fewest_joints_of, least_joints};

#[test]
fn the_fewest_joints_are_those_of_the_best_of_all_layouts() {
    let mut dice = Dice(7);
    let (mut cases, mut tried, mut several_inputs, mut tight) = (0, 0, 0, 0);
    while cases < 400 {
        let n_inputs = 1 + dice.below(2);
        let n_kinds = 1 + dice.below(3);
        let (n_today, n_plan) = (1 + dice.below(6), 1 + dice.below(6));
        let today = dice.wiring(n_today, n_kinds, n_inputs);
        let plan = dice.wiring(n_plan, n_kinds, n_inputs);
        // One kind and six panels in one string would be ten million layouts.
        if n_today + n_plan > 8 + n_kinds {
            continue;
        }
        let (opened, made, n) = exhaustive(&today, &plan);
        let answer = fewest_joints(&today, &plan);
        let context = format!("today {today:?}\nplan {plan:?}\nanswer {answer:?}");
        assert_eq!(answer.exact, Exactness::Exact, "{context}");
        assert_eq!((answer.joints.opened, answer.joints.made), (opened, made), "{context}");
        assert_eq!(recount(&today, &plan, &answer), (opened, made), "{context}");
        let least = least_joints(&today, &plan);
        assert!(least.opened <= opened && least.made <= made, "{context}");
        cases += 1;
        tried += n;
        several_inputs += usize::from(n_inputs > 1);
        tight += usize::from(least == answer.joints);
    }
    // So that a change to the dice does not empty the test unseen.
    assert!(tried > 100_000 && several_inputs > 100, "{tried} {several_inputs}");
    assert!(tight > 200 && tight < cases, "{tight}");
}

#[test]
fn no_plan_and_its_own_layout_are_no_joint_and_the_way_back_is_no_longer() {
    let mut dice = Dice(11);
    let (mut shorter, mut moved) = (0, 0);
    for _ in 0..300 {
        let (n_today, n_plan) = (1 + dice.below(12), 1 + dice.below(12));
        let today = dice.wiring(n_today, 3, 2);
        let plan = dice.wiring(n_plan, 3, 2);
        let none = fewest_joints(&today, &today);
        assert_eq!((none.joints.opened, none.joints.made), (0, 0));
        assert_eq!(none.inputs, today);

        let there = fewest_joints(&today, &plan);
        assert_eq!(recount(&today, &plan, &there), (there.joints.opened, there.joints.made));
        let back = fewest_joints(&there.inputs, &today);
        assert_eq!([there.exact, back.exact], [Exactness::Exact; 2]);
        // Not equal: on the way back today's order of elements is free, the plan's is laid down.
        assert!(back.joints.opened <= there.joints.made, "{today:?}\n{plan:?}");
        assert!(back.joints.made <= there.joints.opened, "{today:?}\n{plan:?}");
        shorter += usize::from(back.joints.opened < there.joints.made);
        moved += usize::from(there.joints.opened > 0);
    }
    assert!(moved > 200 && shorter < 100, "{moved} {shorter}");
}

#[test]
fn with_panels_all_alike_in_series_the_way_back_is_the_same() {
    // No order of elements to choose, so today and the plan can change places; the search cannot.
    let mut dice = Dice(13);
    let mut wiring = |n_strings: usize| {
        let mut inputs: Vec<InputWiring> = Vec::new();
        for i in 0..2 {
            let strings = (0..n_strings).map(|_| {
                let n = 1 + dice.below(7);
                PanelString::new(vec![Element::single(KindIdx(0)); n])
            });
            let strings = strings.collect();
            inputs.push(InputWiring { at: at(i), array: ArrayWiring { strings } });
        }
        inputs
    };
    for n in 0..60 {
        let (today, plan) = (wiring(1 + n % 3), wiring(1 + n % 4));
        let (there, back) = (fewest_joints(&today, &plan), fewest_joints(&plan, &today));
        assert_eq!([there.exact, back.exact], [Exactness::Exact; 2]);
        assert_eq!(there.joints.opened, back.joints.made, "{today:?}\n{plan:?}");
        assert_eq!(there.joints.made, back.joints.opened, "{today:?}\n{plan:?}");
    }
}

#[test]
fn of_many_plans_none_has_fewer_joints_than_the_one_chosen() {
    let mut dice = Dice(17);
    for _ in 0..60 {
        let today = dice.wiring(6, 2, 2);
        let plans: Vec<_> = (0..6).map(|n| dice.wiring(4 + n % 4, 2, 2)).collect();
        let total = |r: &Rewiring| r.joints.opened + r.joints.made;
        let each = plans.iter().map(|plan| total(&fewest_joints(&today, plan)));
        let fewest = each.enumerate().min_by_key(|(i, total)| (*total, *i));
        let (of, answer) = fewest_joints_of(&today, &plans).expect("there are plans");
        assert_eq!(Some((of, total(&answer))), fewest);
        assert_eq!(answer.exact, Exactness::Exact);
    }
}
