//! What becomes of each spare kind, and which installed panels are not needed.

use super::Page;
use crate::energy::Span;
use crate::plan::{Advice, Help, IdlePanels, SpareAnswer, Verdict};
use crate::report::layout::{Column, GLUE, lined_up, paragraph};
use crate::report::numbers::fixed;
use crate::report::planes;
use crate::report::steps;
use crate::report::words::{self, clause};

const COLUMNS: [Column; 4] = [Column::Left(24), Column::Left(12), Column::Right(9), Column::Rest];
/// What the watts of several kinds mean.
pub(in crate::report) const NEED_NOT_ADD_UP: &str =
    "each figure is what the best plan loses without that kind; they need not add up";
/// Most things that would help which are shown after the first.
const MOST_OTHERS: usize = 3;

/// One line for each spare kind.
pub(super) fn table(page: Page<'_>, advice: &Advice) -> String {
    if advice.spares.is_empty() {
        return String::new();
    }
    let rows: Vec<Vec<String>> = advice.spares.iter().flat_map(|s| rows(page, advice, s)).collect();
    let gaining = advice.spares.iter().filter(|s| s.used > 0).count();
    let spares = format!("Spares{}", in_what(advice));
    let heading = if gaining > 1 { format!("{spares} ({NEED_NOT_ADD_UP})") } else { spares };
    paragraph(&heading, 0, 2) + &lined_up(2, &COLUMNS, &rows)
}

/// In what figures about spares are told, where it is not watts: `, in kWh a year`.
pub(in crate::report) fn in_what(advice: &Advice) -> String {
    let sought = advice.spares.iter().find_map(|s| s.worth.last()?.energy);
    match sought.map(|energy| energy.brings.span) {
        None => String::new(),
        Some(Span::Year) => ", in kWh a year".to_owned(),
        Some(Span::DayOf(month)) => format!(", in kWh a day of {}", words::month(month)),
    }
}

/// Installed panels that give nothing or are not needed, with the reason.
pub(super) fn idle(page: Page<'_>, title: &str, idle: &[IdlePanels]) -> String {
    if idle.is_empty() {
        return String::new();
    }
    let rows: Vec<Vec<String>> = idle.iter().flat_map(|i| idle_rows(page, i)).collect();
    let columns = [Column::Left(24), Column::Left(16), Column::Rest];
    format!("{title}\n{}", lined_up(2, &columns, &rows))
}

fn idle_rows(page: Page<'_>, idle: &IdlePanels) -> Vec<Vec<String>> {
    let name = page.names.kind(idle.kind).to_owned();
    let mut rows = vec![vec![
        name,
        format!("{}{GLUE}installed", idle.count),
        clause(&idle.because).to_owned(),
    ]];
    if !idle.instead.is_empty() {
        let instead = format!("Instead: {}", clause(&idle.instead));
        rows.push(vec![String::new(), String::new(), instead]);
    }
    rows
}

/// Why a kind is used or not: the planner's reason, or the verdict in words.
pub(super) fn reason(spare: &SpareAnswer) -> String {
    if spare.because.is_empty() {
        words::verdict(spare.verdict).to_owned()
    } else {
        spare.because.clone()
    }
}

/// A line for what it adds and why, and one for each thing that would help.
fn rows(page: Page<'_>, advice: &Advice, spare: &SpareAnswer) -> Vec<Vec<String>> {
    let name = page.names.label(spare.kind).to_owned();
    let used = used(spare);
    let adds = adds(page, spare);
    let beside = |text: String| vec![String::new(), String::new(), String::new(), text];
    let mut rows = vec![vec![name, used, adds, explained(page, advice, spare)]];
    rows.extend(would_help(page, spare).into_iter().chain(how_sure(spare)).map(beside));
    rows
}

/// `2 of 3`.
pub(in crate::report) fn used(spare: &SpareAnswer) -> String {
    format!("{}{GLUE}of{GLUE}{}", spare.used, spare.offered)
}

/// `+171 W`, `nothing`.
pub(in crate::report) fn adds(page: Page<'_>, spare: &SpareAnswer) -> String {
    if let Some(sought) = spare.adds_sought {
        let all = spare.worth.last().and_then(|p| p.energy).map_or(sought, |e| e.brings);
        let decimals = steps::energy_decimals(all.energy.kilowatt_hours());
        let kwh = fixed(sought.energy.kilowatt_hours(), decimals);
        let sign = if kwh.starts_with('-') { "" } else { "+" };
        return format!("{sign}{kwh}{GLUE}kWh");
    }
    match spare.verdict {
        Verdict::Adds | Verdict::AddsPart => {
            format!("{}{GLUE}W", page.scale.signed(spare.adds))
        }
        Verdict::AddsInWeakSun => "weak sun".into(),
        Verdict::AddsNothing => "nothing".into(),
        Verdict::Breaches => "BREACHES".into(),
        Verdict::NotWorkedOut => "open".into(),
    }
}

/// What tolerance and age leave open, where the file gives them.
pub(in crate::report) fn how_sure(spare: &SpareAnswer) -> Option<String> {
    spare.certainty.as_ref().map(|c| format!("How sure: {}", clause(&c.words)))
}

/// Where a kind that is used goes, and its steps; the reason of one that is not.
pub(in crate::report) fn explained(page: Page<'_>, advice: &Advice, spare: &SpareAnswer) -> String {
    let why = why(page, spare);
    match planes::put_up_in_words(page.names, advice, spare) {
        places if places.is_empty() => why,
        places => format!("{places}; {why}"),
    }
}

fn why(page: Page<'_>, spare: &SpareAnswer) -> String {
    let steps = match spare.verdict {
        Verdict::Adds | Verdict::AddsPart => steps::in_words(&spare.worth, page.scale),
        // Hidden at full sun, but not over the year.
        Verdict::AddsInWeakSun if spare.adds_sought.is_some() => {
            steps::in_words(&spare.worth, page.scale)
        }
        _ => String::new(),
    };
    let because = reason(spare);
    match spare.verdict {
        _ if steps.is_empty() => clause(&because).to_owned(),
        Verdict::AddsPart => format!("{steps}. One more: {}", clause(&because)),
        _ if spare.because.is_empty() => steps,
        Verdict::AddsInWeakSun => format!("{steps}; {}", clause(&because)),
        _ => format!("{steps}. {}", clause(&because)),
    }
}

/// `Would help: one more of it (+58 W)`, then `or: …`.
pub(in crate::report) fn would_help(page: Page<'_>, spare: &SpareAnswer) -> Vec<String> {
    if spare.would_help.is_empty() {
        return Vec::new();
    }
    let first = format!("Would help: {}", clause(&spare.would_help));
    let others = spare.helps.iter().skip(1).take(MOST_OTHERS).map(|help| or_help(page, help));
    std::iter::once(first).chain(others).collect()
}

/// `or: one more of it (+58 W)`.
pub(super) fn or_help(page: Page<'_>, help: &Help) -> String {
    let gain = match help.unlocks_energy {
        None => format!("{}{GLUE}W", page.scale.signed(help.unlocks)),
        Some(energy) => format!("+{}", energy.in_words()),
    };
    format!("or: {} ({gain})", clause(&help.words))
}
