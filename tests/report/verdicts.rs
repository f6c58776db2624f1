//! The first lines decide: what to do, what to leave, what to ask first.

use sungraft::plan::{CheckRule, Joints, Outcome, Touch};
use sungraft::report::{self, Format};
use sungraft::units::Watts;

use crate::fixtures::{
    Case, breached, checked, clipping, forbidden, grafted, limit_reached, stays, two_inputs,
    unproven, weak_sun,
};

/// The block above the first empty line, unwrapped, without the heading.
fn verdict(page: &str) -> Vec<String> {
    let mut sentences: Vec<String> = Vec::new();
    for line in page.lines().take_while(|l| !l.is_empty()).skip(1) {
        match line.strip_prefix("  ") {
            Some(more) => {
                let last = sentences.last_mut().expect("begins at the margin");
                last.push(' ');
                last.push_str(more);
            }
            None => sentences.push(line.to_owned()),
        }
    }
    sentences
}

fn advise(case: &Case) -> String {
    report::advice(&case.installation, &case.advice, Format::Table)
}

#[test]
fn the_second_line_says_what_to_add_and_the_watts_now_and_then() {
    let page = advise(&grafted());
    assert_eq!(
        page.lines().nth(1),
        Some(
            "Add both creek-90: 173 W more at full sun (640 W now, 813 W then), if you rewire both \
             strings."
        )
    );
    assert_eq!(
        page.lines().nth(2),
        Some("Leave orchard-60 out: it would hold a string at 3.3 A where the others carry 8.7 A.")
    );
}

#[test]
fn where_nothing_pays_the_verdict_is_to_leave_the_array() {
    let said = verdict(&advise(&stays()));
    assert_eq!(
        said[0],
        "Leave the array as it is: no spare is worth its place (640 W at full sun, 100 % of the \
         label watts)."
    );
    assert_eq!(said[1], "Leave out creek-90 and orchard-60; why stands under Spares.");
}

#[test]
fn a_breach_of_today_stands_before_everything_else() {
    let case = breached();
    let said = verdict(&advise(&case));
    assert_eq!(
        said[0],
        "Today's wiring BREACHES limits: cold voltage 161.2 V, at most 150 V (string 2); combiner \
         places 5 strings, at most 4."
    );
    assert!(said[1].starts_with("Add both creek-90"));
    assert!(said[1].ends_with("This breaches no limit."));
    assert!(said[2].starts_with("Take out 1 shed-160: as a fourth"));
    let check = report::checked(&case.installation, &checked(&case), Format::Table);
    assert!(verdict(&check)[0].starts_with("Today's wiring BREACHES limits"));
}

#[test]
fn no_plan_names_the_limit_in_the_way() {
    let said = verdict(&advise(&forbidden()));
    assert_eq!(
        said[1],
        "No plan: no wiring of these panels keeps every limit. In the way: cold voltage 161.2 V, at \
         most 150 V (string 2)."
    );
}

#[test]
fn a_search_that_ended_early_does_not_claim_that_there_is_no_plan() {
    let page = advise(&limit_reached());
    assert!(verdict(&page)[0].starts_with("No plan yet:"));
    assert!(!page.contains("no wiring keeps"));
}

#[test]
fn watts_behind_the_output_limit_are_the_ones_promised() {
    let said = verdict(&advise(&clipping()));
    assert_eq!(
        said[0],
        "Add both creek-90: 80 W more at full sun after the controller's output limit (640 W now, \
         720 W then; the array itself gives 813 W), if you rewire both strings."
    );
    let said = verdict(&advise(&weak_sun()));
    assert_eq!(
        said[0],
        "Add both creek-90 for weak sun only, if you rewire both strings: at full sun the controller \
         passes 600 W either way (the array would give 813 W instead of 640 W)."
    );
}

#[test]
fn panels_that_only_come_out_are_not_called_rewiring() {
    let mut case = grafted();
    for spare in &mut case.advice.spares {
        spare.used = 0;
    }
    let plan = &mut case.advice.plans[2];
    plan.state.inputs[0].strings = vec![case.advice.today.inputs[0].strings[0].clone()];
    plan.state.inputs[0].power = Watts(660.0);
    plan.joints = Joints { opened: 2, made: 0 };
    let said = verdict(&advise(&case));
    assert_eq!(
        said[0],
        "Add nothing, but take panels out: 20 W more at full sun (640 W now, 660 W then)."
    );
}

#[test]
fn fuses_that_must_be_bought_are_part_of_the_verdict() {
    let mut case = grafted();
    assert!(!advise(&case).contains("needs fuses"));
    for check in &mut case.advice.plans[2].state.checks {
        if check.rule == CheckRule::StringFuse {
            check.outcome = Outcome::Caution;
        }
    }
    let said = verdict(&advise(&case));
    assert_eq!(said[1], "This wiring needs fuses: sizes stand under Limits.");
}

#[test]
fn where_there_are_several_inputs_the_verdict_names_the_one() {
    let said = verdict(&advise(&two_inputs()));
    let wanted = "if you rewire both strings on \
                  régulateur-de-charge-de-la-cave-à-cidre-numéro-un, input 1.";
    assert!(said[0].starts_with("Planned here: régulateur"), "{}", said[0]);
    assert!(said[0].ends_with("input 1; the other input stays as it is."), "{}", said[0]);
    assert!(said[1].ends_with(wanted), "{}", said[1]);
}

#[test]
fn nearly_as_much_for_less_work_is_offered() {
    let mut case = grafted();
    assert!(!advise(&case).contains("less work"));
    let near = &mut case.advice.plans[1];
    near.state.inputs[0].power = Watts(803.0);
    near.added = Watts(162.7);
    let page = advise(&case);
    assert!(
        page.contains(
            "Nearly as much for less work: lengthen strings, 163 W more (0 joints opened, 4 made)."
        ),
        "{page}"
    );
}

#[test]
fn a_plan_that_gives_less_says_so_and_why() {
    let mut case = breached();
    for spare in &mut case.advice.spares {
        spare.used = 0;
    }
    case.advice.plans[2].state.inputs[0].power = Watts(600.0);
    let said = verdict(&advise(&case));
    assert_eq!(
        said[1],
        "Add nothing, but rewire: 40 W less but inside the limits, at full sun (640 W now, 600 W \
         then), if you rewire both strings. This breaches no limit."
    );
}

#[test]
fn proof_is_said_in_words_and_never_rounded_in_our_favour() {
    let mut case = grafted();
    let page = advise(&case);
    assert!(page.contains("nothing better exists"));
    assert!(page.contains("within 0.03 % of the best there can be"));
    case.advice.plans[2].bound.gap = 0.000_301;
    assert!(advise(&case).contains("within 0.04 % of the best there can be"));
    assert!(advise(&unproven()).contains("best found by the rule of thumb; at most\n"));
}

#[test]
fn spares_beside_untouched_strings_are_called_new_strings() {
    let mut case = grafted();
    let mut plan = case.advice.plans[0].clone();
    let new = case.advice.plans[2].state.inputs[0].strings[1].clone();
    plan.state.inputs[0].strings.push(new);
    plan.state.inputs[0].power = Watts(700.0);
    plan.touch = Touch::None;
    plan.joints = Joints { opened: 0, made: 3 };
    case.advice.plans = vec![plan];
    case.advice.levels.truncate(1);
    case.advice.best = Some(0);
    let page = advise(&case);
    assert!(
        verdict(&page)[0].ends_with("(640 W now, 700 W then), as 1 new string beside today's."),
        "{page}"
    );
    let planned = page.split("Wiring of *").nth(1).expect("is shown");
    assert_eq!(planned.matches("as today").count(), 1, "two alike strings fold:\n{page}");
    assert!(planned.contains("strings 1-2, each"));
}

/// The lines of a titled block, each with single spaces.
fn block(page: &str, title: &str) -> String {
    let block = page.split(&format!("\n{title}\n")).nth(1).expect("has the block");
    let block = block.split("\n\n").next().expect("has an end");
    block.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn plugging_one_in_is_shown_where_it_harms_and_only_there() {
    let page = advise(&grafted());
    assert_eq!(
        block(&page, "If you just plug one in"),
        "creek-90 at the end of string 1 10 W less than today orchard-60 straight in parallel 366 W \
         less than today; 10.3 A would flow back into it with the controller idle: BREACHES idle \
         reverse current, at most 8 A; and 1 more limit"
    );
    let mut case = grafted();
    for spare in &mut case.advice.spares {
        spare.obvious.retain(|way| way.breaches.is_empty() && way.change >= Watts(0.0));
    }
    assert!(!advise(&case).contains("plug one in"));
}

#[test]
fn a_breach_is_shown_even_where_it_would_bring_watts_and_those_are_not_promised() {
    let mut case = grafted();
    let way = &mut case.advice.spares[1].obvious[0];
    way.watts = Watts(700.0);
    way.change = Watts(59.7);
    let shown = block(&advise(&case), "If you just plug one in");
    assert!(shown.contains("orchard-60 straight in parallel 10.3 A would flow back"), "{shown}");
    assert!(!shown.contains("60 W"), "{shown}");
}

#[test]
fn what_would_help_stands_below_the_reason_and_is_not_a_long_list() {
    let shown = block(&advise(&grafted()), "Spares");
    assert!(shown.contains("Would help: one more of it, 2 in all (+58 W) or: a place"), "{shown}");
    assert_eq!(shown.matches("or:").count(), 3, "{shown}");
}

#[test]
fn panels_that_are_not_needed_get_another_use() {
    let shown = block(&advise(&breached()), "Not needed");
    assert!(shown.ends_with("Instead: an input of its own (160 W there)"), "{shown}");
}
