//! Every sentence of lessons and exercises: another language is another file like this one.

use crate::plan::CableLoss;
use crate::report::layout::GLUE;
use crate::report::numbers::{fixed, plain};
use crate::units::{Amps, Volts, Watts};

/// `30.4 V`, as it stands on a label.
pub(super) fn v(volts: Volts) -> String {
    format!("{}{GLUE}V", plain(volts.volts(), 2))
}

/// `8.39 A`.
pub(super) fn a(amps: Amps) -> String {
    format!("{}{GLUE}A", plain(amps.amps(), 2))
}

/// `255.06 W`: sums by hand come out to the last digit.
pub(super) fn w(watts: Watts) -> String {
    format!("{}{GLUE}W", plain(watts.watts(), 2))
}

/// `54.9 V` on a curve: more digits than a meter shows would be a pretence.
pub(super) fn cv(volts: Volts) -> String {
    format!("{}{GLUE}V", fixed(volts.volts(), 1))
}

/// `8.39 A` on a curve.
pub(super) fn ca(amps: Amps) -> String {
    format!("{}{GLUE}A", fixed(amps.amps(), 2))
}

/// `255.1 W` on a curve.
pub(super) fn cw(watts: Watts) -> String {
    format!("{}{GLUE}W", fixed(watts.watts(), 1))
}

/// `98.1 %`.
pub(super) fn part(fraction: f64) -> String {
    format!("{}{GLUE}%", plain(fraction * 100.0, 1))
}

pub(super) const TERMS: [&str; 6] = [
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

pub(super) const RULE: &str = "The rule of thumb: in a string the lowest amps set the pace; side by side the \
    lowest volts do. It needs only labels and a pencil. It is the trade's common practice, and only half \
    the truth: the last step says what the panels' real curves do.";

pub(super) const READ: &str =
    "a + b means one after the other; (a | b) means side by side, a block.";

pub(super) const STEP_BLOCKS: &str = "Blocks: amps add, the lowest volts count";
pub(super) const STEP_STRINGS: &str = "Strings: volts add, the lowest amps count";
pub(super) const STEP_BUS: &str = "The bus: amps add, the lowest string voltage counts";
pub(super) const STEP_LABEL: &str = "Against the labels";
pub(super) const STEP_LOST: &str = "Where the lost watts go";
pub(super) const STEP_CURVE: &str = "What the curves say, and why it differs";

pub(super) const NOT_ROUND: &str =
    "Figures are rounded to hundredths: a last digit may differ when you add them up.";

pub(super) fn section_of_input(input: &str) -> String {
    format!("The array as it stands: {input}")
}

pub(super) fn sum_of_string(v_sum: Volts, i: Amps) -> String {
    format!("So this string gives {} at {}, {} by itself.", a(i), v(v_sum), w(v_sum * i))
}

pub(super) fn inside(lo: Volts, hi: Volts) -> String {
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

pub(super) fn above(lowest: Volts, lo: Volts, hi: Volts) -> String {
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

pub(super) fn below(lowest: Volts, lo: Volts) -> String {
    format!(
        "{} is below {}, the least that the controller can work with: by the rule of thumb nothing flows.",
        v(lowest),
        v(lo)
    )
}

pub(super) fn bus_watts(bus: Volts, i: Amps, watts: Watts) -> String {
    format!("{} × {} = {} by the rule of thumb.", v(bus), a(i), w(watts))
}

pub(super) fn utilization(watts: Watts, label: Watts, share: f64) -> String {
    format!(
        "The labels promise {} together. The rule of thumb finds {}: {} of it is used.",
        w(label),
        w(watts),
        part(share)
    )
}

pub(super) const NOTHING_LOST: &str =
    "Nothing is lost: every panel works at its own best volts and amps.";

pub(super) const ONLY_ROUNDING: &str = "Nothing is lost: every panel works at its own best volts and amps. \
    (The watts printed on labels are rounded; they are not exactly Vmp × Imp.)";

pub(super) fn lost(watts: Watts) -> String {
    format!("{} of the labels' watts are lost by the rule of thumb:", w(watts))
}

pub(super) const LOST_LABEL: &str = "the labels' watts are not exactly Vmp × Imp";

pub(super) fn lost_in_block(
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

pub(super) fn lost_in_string(
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

pub(super) fn lost_on_bus(string: usize, by: usize, own: Volts, held: Volts, amps: Amps) -> String {
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

pub(super) fn lost_above(own: Volts, held: Volts, amps: Amps) -> String {
    format!(
        "the bus is held to {} by the controller: ({} − {}) × {}",
        v(held),
        v(own),
        v(held),
        a(amps)
    )
}

pub(super) fn lost_below(own: Volts, least: Volts, amps: Amps) -> String {
    format!("the bus is below the controller's {}: all of {} × {}", v(least), v(own), a(amps))
}

fn times(count: usize) -> String {
    if count == 1 { String::new() } else { format!("{count} × ") }
}

pub(super) const LOST_SUM: &str = "all that is lost";

pub(super) fn curve_total(volts: Volts, amps: Amps, watts: Watts, rule: Watts) -> String {
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

pub(super) const CURVE_NOTHING: &str =
    "By the curves, too, the array gives nothing where the controller can hold it.";

/// What a string does at the bus, by the curves and by the rule.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside {
    pub(super) string: usize,
    pub(super) bus: Volts,
    pub(super) amps: Amps,
    pub(super) watts: Watts,
    pub(super) rule_watts: Watts,
    pub(super) rule_amps: Amps,
    pub(super) own_volts: Volts,
}

impl Beside {
    fn ends(self) -> String {
        format!("{}, where the rule has {}", cw(self.watts), w(self.rule_watts))
    }

    fn begins(self) -> String {
        format!("String{GLUE}{}", self.string + 1)
    }
}

pub(super) fn same(b: Beside) -> String {
    format!(
        "{}: the curve says the same, {} at {}: {}.",
        b.begins(),
        ca(b.amps),
        cv(b.bus),
        b.ends()
    )
}

pub(super) fn pushed_back(b: Beside) -> String {
    format!(
        "{} is a load: {} is more than it has even with nothing connected, so the others push {} \
         backwards through it: {}.",
        b.begins(),
        cv(b.bus),
        ca(Amps(-b.amps.amps())),
        b.ends()
    )
}

pub(super) fn bypassed(b: Beside, ids: &str) -> String {
    format!(
        "{}: {ids} cannot carry what the others push, so the bypass diodes in its back carry the amps past \
         it. The string loses that panel's volts (and about half a volt for each diode) but goes on with \
         {}: {}.",
        b.begins(),
        ca(b.amps),
        b.ends()
    )
}

pub(super) fn stretched(b: Beside) -> String {
    format!(
        "{}: its weakest panel gives up some volts to pass more amps than its Imp, so the string carries \
         {} at {} instead of {}: {}.",
        b.begins(),
        ca(b.amps),
        cv(b.bus),
        a(b.rule_amps),
        b.ends()
    )
}

pub(super) fn above_own(b: Beside) -> String {
    format!(
        "{} works at {}, above its own {}: a curve does not end there but falls, so it still carries {} \
         of its {}: {}.",
        b.begins(),
        cv(b.bus),
        v(b.own_volts),
        ca(b.amps),
        a(b.rule_amps),
        b.ends()
    )
}

pub(super) fn below_own(b: Beside) -> String {
    format!(
        "{} is held at {}, below its own {}: there a curve carries a little more than Imp, {} instead of \
         {}: {}.",
        b.begins(),
        cv(b.bus),
        v(b.own_volts),
        ca(b.amps),
        a(b.rule_amps),
        b.ends()
    )
}

pub(super) fn otherwise(b: Beside) -> String {
    format!("{} carries {} at {}: {}.", b.begins(), ca(b.amps), cv(b.bus), b.ends())
}

pub(super) const BLOCKING: &str = "Each string's blocking diode takes about half a volt of it, which the rule \
    of thumb leaves out.";

pub(super) fn used_by_curve(share: f64) -> String {
    format!("By the curves {} of the labels' watts are used.", part(share))
}

pub(super) const SECTION_TERMS: &str = "The words, and the rule";
pub(super) const SECTION_WAYS: &str = "What each spare would do";
pub(super) const SECTION_BEST: &str = "The best wiring found";
pub(super) const SECTION_CHART: &str = "How weak may one more panel be?";
pub(super) const SECTION_CABLE: &str = "What the cable takes";
pub(super) const SECTION_CARE: &str = "Take care";
pub(super) const SECTION_ASSUMED: &str = "Assumed";

pub(super) const WAYS_LEAD: &str = "One panel of each spare kind, added in the ways that come to mind first. \
    Each way is worked by the same two sums.";

pub(super) fn way_beside(id: &str) -> String {
    format!("One {id} side by side with the strings, as a string of its own")
}

pub(super) fn way_at_end(id: &str) -> String {
    format!("One {id} at the end of string{GLUE}1")
}

pub(super) fn way_across(id: &str, first: &str) -> String {
    format!("One {id} side by side with the first {first} of string{GLUE}1, as a block")
}

pub(super) fn way_result(rule: Watts, rule_now: Watts, curve: Watts, curve_now: Watts) -> String {
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

pub(super) const DO_NOT_BUILD: &str = "Do not build this: it BREACHES";

pub(super) const NO_BETTER: &str =
    "No wiring was found that is worth a change: leave the array as it is.";
pub(super) const NO_PLAN: &str =
    "No wiring keeps every limit: `sungraft advise` says which ones bind.";

pub(super) fn best_lead(added: &str, proof: &str) -> String {
    format!(
        "Among all wirings that keep every limit this one is worth most: {added} by the curves ({proof}). \
        Worked by the same steps:"
    )
}

pub(super) const CHART_READ: &str = "There is a group of equal panels, and one more of the same build but weaker. \
    Below these shares it adds nothing, or takes something away. In series the share is of the amps (Imp), in \
    parallel of the volts (Vmp). No window is counted. The rule of thumb has n ÷ (n + 1) in both cases; the \
    curves are more patient, since a panel can give up volts for amps and amps for volts.";

pub(super) fn chart_caption(id: &str) -> String {
    format!("One more panel beside equal {id}: the least share that still adds")
}

pub(super) fn chart_example(n: usize, id: &str, amps: Amps, volts: Volts) -> String {
    format!(
        "So beside {n} {id} in one string, a panel of fewer than {} adds nothing; beside {n} of them in \
         parallel, one of less than {}.",
        ca(amps),
        cv(volts)
    )
}

pub(super) const CHART_HEADS: [&str; 7] = [
    "equal panels",
    "in series: rule",
    "curve",
    "amps by curve",
    "in parallel: rule",
    "curve",
    "volts by curve",
];

pub(super) const CABLE_READ: &str = "A cable takes volts, too: volts lost = amps × ohms, and the current has to go \
    there and back, so that twice the distance counts. The watts above are at the panels, before this.";

pub(super) fn cable_line(run: &str, one_way: &str, size: &str, loss: &CableLoss) -> String {
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

pub(super) const EXERCISES: &str = "Exercises in wiring solar panels";
pub(super) const ANSWERS: &str = "Exercises in wiring solar panels: the answers";

pub(super) fn sheet_line(seed: u64, count: usize) -> String {
    format!(
        "Sheet {seed}, {count} to solve. Work with the rule of thumb: labels and a pencil are enough."
    )
}

pub(super) fn problem(number: usize, level: usize, of: usize) -> String {
    format!("Problem {number} (level {level} of {of})")
}

pub(super) fn answer(number: usize) -> String {
    format!("Answer to problem {number}")
}

pub(super) fn scene(site: &str, panels: &str, kinds: usize) -> String {
    let labels = if kinds == 1 { "The label says:" } else { "The labels say:" };
    format!("{site}. On the ground lie {panels}. {labels}")
}

pub(super) const LABEL_HEADS: [&str; 7] = ["panel", "how many", "Pmax", "Vmp", "Imp", "Voc", "Isc"];

pub(super) fn controller(lo: Volts, hi: Volts, most: Volts, ports: usize, blocks: &str) -> String {
    let places = if ports == 1 { "one place" } else { "places" };
    format!(
        "The controller works from {} to {} and must never see more than {}. Its combiner has {ports} \
         {places} for strings.{blocks}",
        v(lo),
        v(hi),
        v(most)
    )
}

pub(super) const WITH_BLOCKS: &str = " Two panels may stand side by side inside a string, as a block, if their Voc \
    differ by at most 15 %.";

pub(super) fn cold(rise: f64) -> String {
    format!(
        "On the coldest morning open voltage is {} times what the label says: a string's sum of Voc times \
         {} must not pass the controller's maximum, or the controller is destroyed.",
        plain(rise, 2),
        plain(rise, 2)
    )
}

pub(super) const ASK_SUMS: &str =
    "A. Work out this wiring. Write the figures beside each string and on the bus.";
pub(super) const ASK_BEST: &str = "B. Find the wiring that gives the most watts. Any panel may stay out. Draw it, with its \
    volts and amps, and check its cold voltage.";
pub(super) const BEST_HERE: &str = "My wiring:";
pub(super) const ANSWER_SUMS: &str = "A. The wiring that was given";
pub(super) const ANSWER_BEST: &str = "B. The best wiring";

pub(super) const BLANK_HEADS: [&str; 4] = ["", "volts", "amps", "watts"];
pub(super) const BUS: &str = "the bus";
pub(super) const BLANK_LABEL: &str = "label watts of all panels wired";
pub(super) const BLANK_USED: &str = "part of the label watts that is used, %";
pub(super) const BLANK_LOST: &str = "watts lost";
pub(super) const BLANK_HOLDS: &str = "which panel or string holds the others down";

pub(super) fn best_of(n: usize, wiring: &str, rule: Watts) -> String {
    let all = if n == 1 {
        "It is the only wiring there is.".to_owned()
    } else {
        format!("All {n} wirings of these panels were tried.")
    };
    format!("{wiring}: {}. {all}", w(rule))
}

pub(super) fn too_high(n: usize) -> String {
    match n {
        1 => "One of them would pass the controller's maximum on the coldest morning.".to_owned(),
        n => format!("{n} of them would pass the controller's maximum on the coldest morning."),
    }
}

pub(super) fn second(wiring: &str, rule: Watts, curve: Watts, best_curve: Watts) -> String {
    if rule.watts() <= 0.0 {
        return "By the rule of thumb no other wiring gives anything: the controller cannot hold it."
            .to_owned();
    }
    format!(
        "Next by the rule of thumb comes {wiring} with {}. The curves agree on which is better: {} \
         against {}.",
        w(rule),
        cw(best_curve),
        cw(curve)
    )
}

pub(super) const SECTION_GLANCE: &str = "At a glance";
pub(super) const GLANCE_HEADS: [&str; 6] =
    ["wiring", "label", "rule of thumb", "curves", "used", "limits"];
pub(super) const GLANCE_TODAY: &str = "as it stands";
pub(super) const GLANCE_BEST: &str = "the best wiring found";
pub(super) const KEPT: &str = "kept";
pub(super) const BREACHED: &str = "BREACHED";
pub(super) const GLANCE_CAPTION: &str = "Watts at full sun";

pub(super) fn glance(label: Watts, rule: Watts, curve: Watts) -> String {
    format!(
        "The labels of the panels wired today promise {}. The rule of thumb finds {}; the panels' true \
         curves {}. Here is how each figure comes about.",
        w(label),
        w(rule),
        cw(curve)
    )
}

pub(super) fn cold_sum(open: Volts, rise: f64, most: Volts) -> String {
    format!(
        "Its longest string stands at {} open; × {} = {} on the coldest morning, and {} are allowed.",
        v(open),
        plain(rise, 2),
        v(open * rise),
        v(most)
    )
}

pub(super) const EXERCISE_CAUTION: &str = "These exercises look at watts, the window and cold voltage alone. Real \
    wiring must keep every limit, fuses and reverse current among them: `sungraft check` says which, and local \
    code and a licensed person have the last word. Panels are live in any light; never part a connector under \
    load.";

pub(super) const BEFORE_WIRING: &str = "This is a lesson on paper. Before anybody touches a wire: open the disconnect, \
    prove zero amps with a clamp meter, never part a connector under load; panels are live in any light. \
    `sungraft advise` says every limit and caution; local code and a licensed person have the last word.";
