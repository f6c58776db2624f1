use super::problem::Problem;
use super::*;
use crate::model::{ArrayWiring, Element, PanelString};

/// Inputs apart by `|`, strings by spaces, elements by `-`; each letter is a panel of that kind.
fn wiring(text: &str) -> Vec<InputWiring> {
    let element =
        |text: &str| Element::block(text.bytes().map(|b| KindIdx((b - b'a').into())).collect());
    let string = |text: &str| PanelString::new(text.split('-').map(element).collect());
    let inputs = text.split('|').enumerate().map(|(i, input)| InputWiring {
        at: InputRef { controller: 0, input: i + 1 },
        array: ArrayWiring { strings: input.split_whitespace().map(string).collect() },
    });
    inputs.collect()
}

/// Opened and made, where the proof must not be missing and the bound not be wrong.
fn joints(today: &str, plan: &str) -> (usize, usize) {
    let (today, plan) = (wiring(today), wiring(plan));
    let answer = fewest_joints(&today, &plan);
    assert_eq!(answer.exact, Exactness::Exact);
    let least = least_joints(&today, &plan);
    assert!(least.opened <= answer.joints.opened && least.made <= answer.joints.made);
    (answer.joints.opened, answer.joints.made)
}

#[test]
fn nothing_to_do_is_no_joint() {
    assert_eq!(joints("a-b-cc a-a | d", "a-b-cc a-a | d"), (0, 0));
    assert_eq!(joints("", ""), (0, 0));
}

#[test]
fn the_order_of_strings_and_of_elements_is_free() {
    assert_eq!(joints("a-a b", "b a-a"), (0, 0));
    assert_eq!(joints("a-b-c", "c-a-b"), (0, 0));
    // The same beside a string that is new.
    assert_eq!(joints("a-b-c", "c-a-b d"), (0, 2));
}

#[test]
fn a_panel_at_the_end_of_a_string_parts_it_from_the_combiner_once() {
    assert_eq!(joints("a-a", "a-a-a"), (1, 2));
    assert_eq!(joints("a-b", "a-b-c"), (1, 2));
}

#[test]
fn a_panel_across_another_is_two_joints_more() {
    assert_eq!(joints("a-a", "aa-a"), (0, 2));
    assert_eq!(joints("a", "abc"), (0, 4));
}

#[test]
fn a_new_string_of_one_panel_hangs_on_two_joints() {
    assert_eq!(joints("a-a", "a-a a"), (0, 2));
    assert_eq!(joints("", "a"), (0, 2));
}

#[test]
fn what_is_left_out_of_the_middle_opens_two_and_makes_one() {
    assert_eq!(joints("a-b-a", "a-a"), (2, 1));
    // At the end the neighbour takes over the port: the same count, one joint of each net.
    assert_eq!(joints("a-a-b", "a-a"), (2, 1));
    assert_eq!(joints("a-a", ""), (3, 0));
}

#[test]
fn a_string_that_moves_to_another_input_parts_from_its_combiner_only() {
    assert_eq!(joints("a-b |", "| a-b"), (2, 2));
}

#[test]
fn two_strings_end_to_end_keep_all_but_their_inner_ports() {
    assert_eq!(joints("a-b c-d", "a-b-c-d"), (2, 1));
    assert_eq!(joints("a-b-c-d", "a-b c-d"), (1, 2));
}

#[test]
fn two_strings_side_by_side_as_blocks_keep_both_rows_inside() {
    // One port at either end is opened; the two rows are joined at three nets.
    assert_eq!(joints("a-b c-d", "ac-bd"), (2, 3));
}

#[test]
fn panels_go_where_most_stays() {
    let (today, plan) = (wiring("a b-a-c"), wiring("b-a-c"));
    let answer = fewest_joints(&today, &plan);
    // The `a` between the others stays, the one by itself is taken down.
    assert_eq!((answer.joints.opened, answer.joints.made), (2, 0));
    for (element, panel) in answer.panels.iter().enumerate() {
        let place = |string| PanelPlace { at: today[0].at, string, element, member: 0 };
        assert_eq!(panel.to, place(0));
        assert_eq!(panel.from, PanelSource::Installed(place(1)));
    }
    assert_eq!((answer.panels.len(), answer.ports.len()), (3, 2));
}

#[test]
fn strings_that_keep_a_port_stand_where_they_stood() {
    let (today, plan) = (wiring("b a-a"), wiring("a-a-c b-c"));
    let answer = fewest_joints(&today, &plan);
    assert_eq!(answer.inputs, wiring("b-c a-a-c"));
}

#[test]
fn a_string_planned_again_may_still_be_worth_taking_apart() {
    // Left alone, a-b-a-b keeps its five joints and the others two. Taken apart in the middle it
    // lends both its halves, and the string of four is made of the other strings' ends: four kept
    // each. So strings that are the same today and in the plan may not be set aside unseen.
    assert_eq!(joints("a-b-a-b a-a-c d-b-b", "a-a-b-b a-b-e e-a-b"), (5, 5));
}

#[test]
fn a_block_may_have_to_part_beside_one_that_parts_anyway() {
    // Once overlooked: asked to hold the block `bb` whole in a run although its neighbour has to be
    // divided, the bound was one too low.
    let (today, plan) = ("| a-a-a-bb bb-aab b b-b", "a | ab-b-a-b b-abb a-b b");
    assert_eq!(joints(today, plan), (7, 7));
}

#[test]
fn of_several_plans_the_one_with_the_fewest_is_found_and_of_equals_the_first() {
    let today = wiring("a-a b-b");
    let plans = ["a-b a-b", "a-a-c b-b", "aa bb", "a-a b-b-c"].map(wiring);
    let (first, answer) = fewest_joints_of(&today, &plans).expect("there are plans");
    assert_eq!((first, answer.joints), (1, Joints { opened: 1, made: 2 }));
    assert_eq!(answer, fewest_joints(&today, &plans[1]));
    assert_eq!(fewest_joints_of(&today, &plans[..0]), None);
}

#[test]
fn the_bounds_give_up_nothing() {
    // Larger than brute force can be, against the same search without bounds.
    let mut dice = 3_u64;
    let mut below = |n: usize| {
        // Multiplier and increment: D.E. Knuth, MMIX (from memory, check your edition).
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(dice >> 33).expect("31 bits fit") % n
    };
    let mut text = |n_kinds: usize| {
        let mut text = String::from("a");
        for _ in 0..5 + below(7) {
            text.push_str([" ", "-", "-", "-", "", "", "|"][below(7)]);
            text.push(char::from(b'a' + u8::try_from(below(n_kinds)).expect("few kinds")));
        }
        // Two inputs in any case.
        text.push('|');
        text
    };
    let mut n_loose = 0;
    for n_kinds in [1, 2, 3].into_iter().cycle().take(300) {
        let (today, plan) = (text(n_kinds), text(n_kinds));
        let problem = Problem::new(&wiring(&today), &wiring(&plan));
        let found = search::keep_most(&problem, 0, usize::MAX);
        let kept = found.best.expect("there is always a layout").0;
        assert_eq!(kept, search::keep_most_unbounded(&problem), "{today} => {plan}");
        n_loose += usize::from(kept < search::bound_kept(&problem));
    }
    // The bounds must have had something to miss.
    assert!(n_loose > 50, "{n_loose}");
}
