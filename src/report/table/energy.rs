//! A year of sun: what comes out today and with each plan.

use super::Page;
use crate::energy::{EnergyAnswer, LightSource, YearEnergy, light_of, losses_of};
use crate::plan::{Advice, TouchAnswer, Yield};
use crate::report::layout::{Column, GLUE, lined_up, paragraph};
use crate::report::numbers::{fixed, plain};
use crate::report::words;
use crate::sun::Plane;
use crate::units::KilowattHours;

const COLUMNS: [Column; 8] = [
    Column::Left(1),
    Column::Left(16),
    Column::Right(10),
    Column::Right(9),
    Column::Left(11),
    Column::Right(15),
    Column::Right(11),
    Column::Right(13),
];

/// Heads of the rows behind the mark of the best.
pub(in crate::report) const HEADS: [&str; 7] =
    ["", "kWh a year", "more", "worst month", "kWh a day there", "kWh clipped", "hours clipped"];

/// The block for `advise`; empty without a year of sun.
pub(super) fn block(page: Page<'_>, advice: &Advice) -> String {
    let Some(energy) = &advice.energy else { return String::new() };
    let chosen = chosen(advice).map_or_else(String::new, |said| paragraph(&said, 2, 2));
    written(page, rows(advice, energy)) + &chosen
}

/// How the best plan was chosen for energy, and what no wiring can pass.
pub(in crate::report) fn chosen(advice: &Advice) -> Option<String> {
    let proof = advice.plans[advice.best?].energy?;
    let aim = words::aim(advice.aim)?;
    let bound = Yield { energy: proof.bound, ..proof.brings };
    Some(format!(
        "Chosen for {aim}: of {} whose hours were all reckoned, * is the best, fewer panels and \
         joints deciding within 0.1{GLUE}%. No wiring that disturbs as much can bring more than {}: \
         each string by itself at its own best voltage, in hours that stand for all.",
        words::counted(proof.evaluated, "wiring", "wirings"),
        bound.in_words()
    ))
}

/// The block for `check`.
pub(super) fn block_of(page: Page<'_>, energy: Option<&EnergyAnswer>) -> String {
    energy.map_or_else(String::new, |energy| {
        written(page, vec![row("", "as it stands", &energy.today, None)])
    })
}

fn written(page: Page<'_>, rows: Vec<Vec<String>>) -> String {
    let mut all = vec![std::iter::once("").chain(HEADS).map(str::to_owned).collect()];
    all.extend(rows);
    paragraph("A year of sun", 0, 2) + &lined_up(0, &COLUMNS, &all) + &paragraph(&basis(page), 2, 2)
}

/// Today and every plan that differs: mark, name, and a cell for each of [`HEADS`] behind it.
pub(in crate::report) fn rows(advice: &Advice, energy: &EnergyAnswer) -> Vec<Vec<String>> {
    let mut rows = vec![row("", "as it stands", &energy.today, None)];
    for (touch, answer) in &advice.levels {
        if let TouchAnswer::Plan(idx) = answer {
            let mark = if advice.best == Some(*idx) { "*" } else { "" };
            rows.push(row(mark, words::touch(*touch), &energy.plans[*idx], Some(&energy.today)));
        }
    }
    rows
}

fn row(mark: &str, name: &str, year: &YearEnergy, today: Option<&YearEnergy>) -> Vec<String> {
    let worst = year.worst_month();
    vec![
        mark.to_owned(),
        name.to_owned(),
        kwh(year.out()),
        today.map_or_else(|| "-".to_owned(), |today| more(today.out(), year.out())),
        words::month(worst).to_owned(),
        a_day(year.per_day(worst)),
        kwh(year.clipped()),
        fixed(year.clipped_hours(), 0),
    ]
}

/// What the year comes to, in a sentence or two; `None` without a year of sun.
pub(in crate::report) fn in_words(advice: &Advice) -> Option<String> {
    let energy = advice.energy.as_ref()?;
    let plan = advice.best.filter(|b| advice.plans[*b].changes_wiring());
    let Some(best) = plan.map(|b| &energy.plans[b]) else {
        return Some(format!("A year: {}.", alone(&energy.today)));
    };
    let (now, then) = (energy.today, best);
    // The month that is worst with the plan is the one a person must get through.
    let worst = then.worst_month();
    Some(format!(
        "A year: {}, {}{GLUE}kWh now and {}{GLUE}kWh then; on a day of {}, then the \
         worst month, {}{GLUE}kWh now and {}{GLUE}kWh then.",
        gained(&more(now.out(), then.out())),
        kwh(now.out()),
        kwh(then.out()),
        words::month(worst),
        a_day(now.per_day(worst)),
        a_day(then.per_day(worst)),
    ))
}

/// `179 kWh more`, `12 kWh less`.
fn gained(more: &str) -> String {
    match more.strip_prefix('-') {
        Some(less) => format!("{less}{GLUE}kWh less"),
        None => format!("{}{GLUE}kWh more", more.trim_start_matches('+')),
    }
}

/// The same for one wiring.
pub(in crate::report) fn in_words_of(energy: &EnergyAnswer) -> String {
    format!("A year: {}.", alone(&energy.today))
}

fn alone(year: &YearEnergy) -> String {
    let worst = year.worst_month();
    format!(
        "{}{GLUE}kWh; on a day of {}, the worst month, {}{GLUE}kWh",
        kwh(year.out()),
        words::month(worst),
        a_day(year.per_day(worst)),
    )
}

/// Where the light comes from, how the panels stand, what is taken off, and what is not.
pub(in crate::report) fn basis(page: Page<'_>) -> String {
    let sun = &page.names.0.site.sun;
    let Some((source, planes)) = light_of(sun) else { return String::new() };
    let from = match source {
        LightSource::Months(means) => format!(
            "twelve monthly means at latitude{GLUE}{}{GLUE}°, five days from overcast to clear for \
             each month",
            plain(means.latitude_deg, 2)
        ),
        LightSource::Weather(year) => format!("the {} hours of {}", year.hours.len(), year.place),
    };
    let losses: Vec<String> = losses_of(sun)
        .iter()
        .map(|loss| format!("{} {}{GLUE}%", loss.id, plain(100.0 * loss.share, 1)))
        .collect();
    let lost = if losses.is_empty() {
        "nothing is taken off before the controller".to_owned()
    } else {
        format!("taken off before the controller: {}", losses.join(", "))
    };
    format!(
        "By {from}; panels {}; {lost}. Counted is what comes out of the controllers while the \
         battery takes it: a full battery, {} are not reckoned.",
        stand(page, &planes),
        if planes.iter().any(|p| p.shade > 0.0) {
            "other shade and snow"
        } else {
            "shade and snow"
        }
    )
}

fn stand(page: Page<'_>, planes: &[Plane]) -> String {
    let named = &page.names.0.site.sun.planes;
    if named.is_empty() {
        return stands(planes[0]);
    }
    let each = named.iter().zip(planes).map(|(named, plane)| {
        let shade = if plane.shade > 0.0 {
            format!(", {}{GLUE}% of the direct light lost to shade", plain(100.0 * plane.shade, 1))
        } else {
            String::new()
        };
        format!("on {} {}{shade}", named.id, stands(*plane))
    });
    each.collect::<Vec<_>>().join("; ")
}

fn stands(plane: Plane) -> String {
    if plane.tilt_deg == 0.0 {
        return "flat".to_owned();
    }
    format!(
        "tilted{GLUE}{}{GLUE}° and facing{GLUE}{}{GLUE}° (180{GLUE}° is south)",
        plain(plane.tilt_deg, 1),
        plain(plane.azimuth_deg, 1)
    )
}

/// Whole kilowatt-hours from 100 up, tenths below.
fn decimals(kwh: f64) -> usize {
    usize::from(kwh.abs() < 99.95)
}

pub(in crate::report) fn kwh(energy: KilowattHours) -> String {
    let x = energy.kilowatt_hours();
    fixed(x, decimals(x))
}

/// Energy of a day.
pub(in crate::report) fn a_day(energy: KilowattHours) -> String {
    fixed(energy.kilowatt_hours(), 2)
}

/// The difference of two figures as they are shown, with its sign.
fn more(now: KilowattHours, then: KilowattHours) -> String {
    let places = decimals(now.kilowatt_hours()).min(decimals(then.kilowatt_hours()));
    let shown = |e: KilowattHours| fixed(e.kilowatt_hours(), places).parse::<f64>().unwrap_or(0.0);
    let text = fixed(shown(then) - shown(now), places);
    if text.starts_with('-') { text } else { format!("+{text}") }
}
