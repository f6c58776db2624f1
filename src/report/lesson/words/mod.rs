//! Every sentence of lessons and exercises: another language is another folder like this one.

mod exercise;
mod shown;
mod strings;

pub(super) use exercise::*;
pub(super) use shown::*;
pub(super) use strings::*;

use crate::plan::{BLOCK_SPREAD, CableLoss};
use crate::report::layout::GLUE;
use crate::report::numbers::{fixed, plain};
use crate::units::{Amps, Irradiance, Volts, Watts};

pub(in crate::report::lesson) const TERMS: [&str; 6] = [
    "Volts push, amps flow, watts do the work: volts × amps = watts.",
    "Vmp and Imp stand on each panel's label: the volts and amps at which it gives most at full sun. \
     Pmax is the watts it gives there.",
    "Voc is the panel's voltage with nothing connected (open), Isc its current when shorted.",
    "A string is panels one after the other (in series): their volts add, and the same amps go through \
     all of them.",
    "A block is panels side by side (in parallel) that stand in a string as if they were one: their amps \
     add, and all have the same volts.",
    "The bus is where strings meet side by side: their amps add, and all have the same volts.",
];

pub(in crate::report::lesson) const RULE: &str = "The rule of thumb: in a string the lowest amps set the pace; side by side the \
    lowest volts do. It needs only labels and a pencil. It is the trade's common practice, and only half \
    the truth: the last step says what the panels' real curves do.";

pub(in crate::report::lesson) const READ: &str =
    "a + b means one after the other; (a | b) means side by side, a block.";

pub(in crate::report::lesson) const STEP_BLOCKS: &str = "Blocks: amps add, the lowest volts count";
pub(in crate::report::lesson) const STEP_STRINGS: &str =
    "Strings: volts add, the lowest amps count";
pub(in crate::report::lesson) const STEP_BUS: &str =
    "The bus: amps add, the lowest string voltage counts";
pub(in crate::report::lesson) const STEP_LABEL: &str = "Against the labels";
pub(in crate::report::lesson) const STEP_LOST: &str = "Where the lost watts go";
pub(in crate::report::lesson) const STEP_CURVE: &str = "What the curves say, and why it differs";

pub(in crate::report::lesson) const NOT_ROUND: &str =
    "Figures are rounded to hundredths: a last digit may differ when you add them up.";

pub(in crate::report::lesson) fn section_of_input(input: &str) -> String {
    format!("The array as it stands: {input}")
}

pub(in crate::report::lesson) fn sum_of_string(v_sum: Volts, i: Amps) -> String {
    format!("So this string gives {} at {}, {} by itself.", a(i), v(v_sum), w(v_sum * i))
}

pub(in crate::report::lesson) fn inside(lo: Volts, hi: Volts) -> String {
    if lo.volts() == hi.volts() {
        return format!(
            "The controller holds the array at {}, its battery's charging voltage.",
            v(lo)
        );
    }
    format!(
        "The controller can hold the bus anywhere from {} to {} (its window), so that is where it stays.",
        v(lo),
        v(hi)
    )
}

pub(in crate::report::lesson) fn above(lowest: Volts, lo: Volts, hi: Volts) -> String {
    if lo.volts() == hi.volts() {
        return format!(
            "The controller holds the array at {}, its battery's charging voltage: lower than the {} of \
             the lowest string. The volts above it are lost.",
            v(hi),
            v(lowest)
        );
    }
    format!(
        "That is above the top of the controller's window, {}: the controller holds the bus there, and \
         the volts above it are lost.",
        v(hi)
    )
}

pub(in crate::report::lesson) fn below(lowest: Volts, lo: Volts) -> String {
    format!(
        "{} is below {}, the least that the controller can work with: by the rule of thumb nothing flows.",
        v(lowest),
        v(lo)
    )
}

pub(in crate::report::lesson) fn bus_watts(bus: Volts, i: Amps, watts: Watts) -> String {
    format!("{} × {} = {} by the rule of thumb.", v(bus), a(i), w(watts))
}

pub(in crate::report::lesson) fn utilization(watts: Watts, label: Watts, share: f64) -> String {
    format!(
        "The labels promise {} together. The rule of thumb finds {}: {} of it is used.",
        w(label),
        w(watts),
        part(share)
    )
}

pub(in crate::report::lesson) const NOTHING_LOST: &str =
    "Nothing is lost: every panel works at its own best volts and amps.";

pub(in crate::report::lesson) const ONLY_ROUNDING: &str = "Nothing is lost: every panel works at its own best volts and amps. \
    (The watts printed on labels are rounded; they are not exactly Vmp × Imp.)";

pub(in crate::report::lesson) fn lost(watts: Watts) -> String {
    format!("{} of the labels' watts are lost by the rule of thumb:", w(watts))
}

pub(in crate::report::lesson) const LOST_LABEL: &str =
    "the labels' watts are not exactly Vmp × Imp";

pub(in crate::report::lesson) fn lost_weak_sun(what: &str, sun: Irradiance) -> String {
    format!(
        "{what} has {}{GLUE}W/m² of 1000: current goes with the sun",
        fixed(sun.watts_per_m2(), 0)
    )
}

pub(in crate::report::lesson) fn lost_in_block(
    what: &str,
    own: Volts,
    held: Volts,
    amps: Amps,
    count: usize,
) -> String {
    format!(
        "{what} is held to {} by its block: {}({} − {}) × {}",
        v(held),
        times(count),
        v(own),
        v(held),
        a(amps)
    )
}

pub(in crate::report::lesson) fn lost_in_string(
    what: &str,
    by: &str,
    own: Amps,
    held: Amps,
    volts: Volts,
    count: usize,
) -> String {
    format!(
        "{what} is held to {} by {by}: {}({} − {}) × {}",
        a(held),
        times(count),
        a(own),
        a(held),
        v(volts)
    )
}

pub(in crate::report::lesson) fn lost_on_bus(
    string: usize,
    by: usize,
    own: Volts,
    held: Volts,
    amps: Amps,
) -> String {
    format!(
        "string{GLUE}{} is held to {} by string{GLUE}{}: ({} − {}) × {}",
        string + 1,
        v(held),
        by + 1,
        v(own),
        v(held),
        a(amps)
    )
}

pub(in crate::report::lesson) fn lost_above(own: Volts, held: Volts, amps: Amps) -> String {
    format!(
        "the bus is held to {} by the controller: ({} − {}) × {}",
        v(held),
        v(own),
        v(held),
        a(amps)
    )
}

pub(in crate::report::lesson) fn lost_below(own: Volts, least: Volts, amps: Amps) -> String {
    format!("the bus is below the controller's {}: all of {} × {}", v(least), v(own), a(amps))
}

fn times(count: usize) -> String {
    if count == 1 { String::new() } else { format!("{count} × ") }
}

pub(in crate::report::lesson) const LOST_SUM: &str = "all that is lost";

pub(in crate::report::lesson) fn curve_total(
    volts: Volts,
    amps: Amps,
    watts: Watts,
    rule: Watts,
) -> String {
    let more = watts - rule;
    let than = match more.watts() {
        d if d.abs() < 0.05 => "the same as the rule of thumb".to_owned(),
        d if d > 0.0 => format!("{} more than the rule of thumb", cw(more)),
        _ => format!("{} less than the rule of thumb", cw(Watts(-more.watts()))),
    };
    format!(
        "A panel does not have one voltage and one current but a whole curve of them. The array settles \
         where the watts of all curves together are most: at {} and {}, which is {}, {than}.",
        cv(volts),
        ca(amps),
        cw(watts)
    )
}

pub(in crate::report::lesson) const CURVE_NOTHING: &str =
    "By the curves, too, the array gives nothing where the controller can hold it.";

pub(in crate::report::lesson) const BLOCKING: &str = "Each string's blocking diode takes about half a volt of it, which the rule \
    of thumb leaves out.";

pub(in crate::report::lesson) fn used_by_curve(share: f64) -> String {
    format!("By the curves {} of the labels' watts are used.", part(share))
}

pub(in crate::report::lesson) const SECTION_TERMS: &str = "The words, and the rule";
pub(in crate::report::lesson) const SECTION_WAYS: &str = "What each spare would do";
pub(in crate::report::lesson) const SECTION_BEST: &str = "The best wiring found";
pub(in crate::report::lesson) const SECTION_CHART: &str = "How weak may one more panel be?";
pub(in crate::report::lesson) const SECTION_CABLE: &str = "What the cable takes";
pub(in crate::report::lesson) const SECTION_CARE: &str = "Take care";
pub(in crate::report::lesson) const SECTION_ASSUMED: &str = "Assumed";

pub(in crate::report::lesson) const WAYS_LEAD: &str = "One panel of each spare kind, added in the ways that come to mind first. \
    Each way is worked by the same two sums.";

pub(in crate::report::lesson) fn way_beside(id: &str) -> String {
    format!("One {id} side by side with the strings, as a string of its own")
}

pub(in crate::report::lesson) fn way_at_end(id: &str) -> String {
    format!("One {id} at the end of string{GLUE}1")
}

pub(in crate::report::lesson) fn way_across(id: &str, first: &str) -> String {
    format!("One {id} side by side with the first {first} of string{GLUE}1, as a block")
}

pub(in crate::report::lesson) fn way_result(
    rule: Watts,
    rule_now: Watts,
    curve: Watts,
    curve_now: Watts,
) -> String {
    format!(
        "Rule of thumb: {} where today gives {}, {}. Curves: {} where today gives {}, {}.",
        w(rule),
        w(rule_now),
        change(rule - rule_now, 2),
        cw(curve),
        cw(curve_now),
        change(curve - curve_now, 1)
    )
}

fn change(watts: Watts, decimals: usize) -> String {
    let shown = plain(watts.watts().abs(), decimals);
    match watts.watts() {
        _ if shown == "0" => "no change".to_owned(),
        d if d > 0.0 => format!("{shown}{GLUE}W more"),
        _ => format!("{shown}{GLUE}W less"),
    }
}

pub(in crate::report::lesson) const TODAY_BREACHES: &str =
    "Mend this first: today's wiring BREACHES";
pub(in crate::report::lesson) const BUS_CAPTION: &str = "The strings side by side";

pub(in crate::report::lesson) fn unlike_block(block: &str, low: Volts, high: Volts) -> String {
    format!(
        "{block} is no block to build: the open voltages {} and {} lie more than {}{GLUE}% apart, so with \
         nothing drawn the higher panel pushes its current backwards through the lower one",
        v(low),
        v(high),
        plain(BLOCK_SPREAD * 100.0, 0)
    )
}

pub(in crate::report::lesson) const DO_NOT_BUILD: &str = "Do not build this: it BREACHES";

pub(in crate::report::lesson) const NO_BETTER: &str =
    "No wiring was found that is worth a change: leave the array as it is.";
pub(in crate::report::lesson) const NO_PLAN: &str =
    "No wiring keeps every limit: `sungraft advise` says which ones bind.";

pub(in crate::report::lesson) fn best_lead(added: &str, proof: &str) -> String {
    format!(
        "Among all wirings that keep every limit this one is worth most: {added} by the curves ({proof}). \
        Worked by the same steps:"
    )
}

pub(in crate::report::lesson) const CHART_READ: &str = "There is a group of equal panels, and one more of the same build but weaker. \
    Below these shares it adds nothing, or takes something away. In series the share is of the amps (Imp), in \
    parallel of the volts (Vmp). No window is counted. The rule of thumb has n ÷ (n + 1) in both cases; the \
    curves are more patient, since a panel can give up volts for amps and amps for volts.";

pub(in crate::report::lesson) fn chart_caption(id: &str) -> String {
    format!("One more panel beside equal {id}: the least share that still adds")
}

pub(in crate::report::lesson) fn chart_example(
    n: usize,
    id: &str,
    amps: Amps,
    volts: Volts,
) -> String {
    format!(
        "So beside {n} {id} in one string, a panel of fewer than {} adds nothing; beside {n} of them in \
         parallel, one of less than {}.",
        ca(amps),
        cv(volts)
    )
}

pub(in crate::report::lesson) const CHART_HEADS: [&str; 7] = [
    "equal panels",
    "in series: rule",
    "curve",
    "amps by curve",
    "in parallel: rule",
    "curve",
    "volts by curve",
];

pub(in crate::report::lesson) const CABLE_READ: &str = "A cable takes volts, too: volts lost = amps × ohms, and the current has to go \
    there and back, so that twice the distance counts. The watts above are at the panels, before this.";

pub(in crate::report::lesson) fn cable_line(
    run: &str,
    one_way: &str,
    size: &str,
    loss: &CableLoss,
) -> String {
    let (amps, volts) = (loss.current.amps(), loss.drop.volts());
    let ohms = if amps > 0.0 { volts / amps } else { 0.0 };
    format!(
        "{run}: {one_way} of {size}, {} ohms there and back when warm. {} × {} ohms = {}{GLUE}V, \
         {}{GLUE}% of the voltage; in all its conductors {} are lost.",
        fixed(ohms, 4),
        ca(loss.current),
        fixed(ohms, 4),
        fixed(volts, 2),
        fixed(loss.percent, 1),
        cw(loss.watts)
    )
}

pub(in crate::report::lesson) const BEFORE_WIRING: &str = "This is a lesson on paper. Before anybody touches a wire: open the disconnect, \
    prove zero amps with a clamp meter, never part a connector under load; panels are live in any light. \
    `sungraft advise` says every limit and caution; local code and a licensed person have the last word.";

pub(in crate::report::lesson) const SECTION_GLANCE: &str = "At a glance";
pub(in crate::report::lesson) const GLANCE_HEADS: [&str; 6] =
    ["wiring", "label", "rule of thumb", "curves", "used", "limits"];
pub(in crate::report::lesson) const GLANCE_TODAY: &str = "as it stands";
pub(in crate::report::lesson) const GLANCE_BEST: &str = "the best wiring found";
pub(in crate::report::lesson) const KEPT: &str = "kept";
pub(in crate::report::lesson) const BREACHED: &str = "BREACHED";
pub(in crate::report::lesson) const GLANCE_CAPTION: &str = "Watts at full sun";

pub(in crate::report::lesson) fn glance(label: Watts, rule: Watts, curve: Watts) -> String {
    format!(
        "The labels of the panels wired today promise {}. The rule of thumb finds {}; the panels' true \
         curves {}. Here is how each figure comes about.",
        w(label),
        w(rule),
        cw(curve)
    )
}
