//! The report: a page of its own for each phase, with drawing, steps, shopping list and test sheet.

use super::table::{strings_of, sums};
use super::words::Teller;
use crate::model::Installation;
use crate::plan::{Method, PhaseStep, Phased, Prepared, Totals, parts};
use crate::report::drawing::{self, Drawing, When};
use crate::report::names::Names;
use crate::report::numbers::{fixed, plain};
use crate::report::page::blocks::{Block, KeyFigure, Section, Setting};
use crate::report::page::{
    Document, ReportForm, SiteFile, input_as_used, limits_of, sheet_of, shopping, steps_of,
    table as set_table, written,
};
use crate::report::table::{self, Page, wiring};

/// What "today" means on a phase's page.
const BEFORE: &str = "On this page \"today\" means the array as the phase before left it.";

/// The whole report; `methods` has for each step how it is carried out.
#[must_use]
pub fn phases_report(
    installation: &Installation,
    phased: &Phased,
    methods: &[Method],
    file: SiteFile<'_>,
    form: ReportForm,
) -> String {
    let teller = Teller::of(installation, phased);
    let page = Page { names: teller.names, scale: teller.scale };
    let mut sections = vec![section("answer", "Answer", answer(teller))];
    for (t, (step, method)) in phased.steps.iter().zip(methods).enumerate() {
        let title = format!("Phase {}: {}", t + 1, step.name);
        sections.push(section(
            &format!("phase-{}", t + 1),
            &title,
            one_phase(teller, step, method, t),
        ));
    }
    sections.push(section("others", "Other ways", other_ways(teller)));
    sections.push(section("doubts", "What if", doubts(teller)));
    sections.push(section("care", "Take care", listed(&phased.cautions)));
    sections.push(section("ask", "Ask, and what was assumed", asked(phased)));
    sections.push(section("proof", "How the answer was found", found(teller)));
    sections.push(section("input", "The input as used", input_as_used(file)));
    sections.retain(|s| !s.blocks.is_empty());
    let document = Document {
        title: &phased.site,
        about: "an upgrade in steps",
        beneath: vec![table::climate(phased.coldest, phased.hottest), table::size(page)],
        sections,
    };
    written(&document, form)
}

/// The list of a phase knows nothing of those after it.
const LARGER: &str = "The list is for this phase alone: where \"Prepared for later\" names a larger \
                      cable, or the holder of a fuse, take that.";

fn section(id: &str, title: &str, blocks: Vec<Block>) -> Section {
    Section { id: id.to_owned().into(), title: title.to_owned(), blocks }
}

fn listed<S: AsRef<str>>(texts: &[S]) -> Vec<Block> {
    let texts: Vec<String> = texts.iter().map(|t| t.as_ref().to_owned()).collect();
    if texts.is_empty() { Vec::new() } else { vec![Block::List(texts)] }
}

fn answer(teller: Teller<'_>) -> Vec<Block> {
    let phased = teller.phased;
    let mut blocks = vec![Block::Lead(teller.verdict())];
    if phased.steps.is_empty() {
        return blocks;
    }
    blocks.push(overview(teller));
    let against: Vec<String> = phased.foils.iter().map(|f| teller.lost(f)).collect();
    blocks.extend(listed(&against));
    blocks.push(Block::Paragraph(teller.proof()));
    blocks
}

fn overview(teller: Teller<'_>) -> Block {
    let phased = teller.phased;
    let dash = || "-".to_owned();
    let energy = |e: Option<crate::units::KilowattHours>| {
        e.map_or_else(dash, |e| fixed(e.kilowatt_hours(), 0))
    };
    let today = vec![
        "as it stands".to_owned(),
        dash(),
        dash(),
        teller.watts(&phased.today),
        energy(phased.today_energy),
        dash(),
        dash(),
        dash(),
    ];
    let row = |(t, step): (usize, &PhaseStep)| {
        let plan = step.plan();
        vec![
            format!("{}: {}", t + 1, step.name),
            step.date.map_or_else(dash, |d| d.name()),
            plain(step.years * 12.0, 1),
            teller.watts(&plan.state),
            energy(step.energy),
            teller.spent(step),
            plan.joints.opened.to_string(),
            plan.joints.made.to_string(),
        ]
    };
    let rows = std::iter::once(today).chain(phased.steps.iter().enumerate().map(row)).collect();
    let columns = [
        ("Phase", Setting::Words),
        ("When", Setting::Words),
        ("Months", Setting::Figures),
        ("Watts at full sun", Setting::Figures),
        ("kWh a year", Setting::Figures),
        ("Money, of budget", Setting::Figures),
        ("Joints opened", Setting::Figures),
        ("made", Setting::Figures),
    ];
    set_table("Phase by phase", &columns, rows)
}

fn one_phase(teller: Teller<'_>, step: &PhaseStep, method: &Method, t: usize) -> Vec<Block> {
    let names = Names(&step.installation);
    let page = Page { names, scale: teller.scale };
    let plan = step.plan();
    let mut beside = vec![
        Block::Lead(format!("{}: {}", teller.when(step), teller.reached(step))),
        Block::Key(vec![
            KeyFigure {
                figure: teller.scale.watts(plan.state.passed()),
                of: "at full sun afterwards".into(),
            },
            KeyFigure { figure: teller.spent(step), of: "spent in this phase".into() },
        ]),
    ];
    let buys = teller.to_buy(step, t);
    beside.push(Block::Heading("Panels and controllers to buy".into()));
    let nothing = vec!["Nothing.".to_owned()];
    beside.push(Block::List(if buys.is_empty() { nothing } else { buys }));
    beside.push(Block::Heading("What is done".into()));
    beside.push(Block::List(teller.to_do(step, t)));
    let prepared = teller.prepared(step, t);
    if !prepared.is_empty() {
        beside.push(Block::Heading("Prepared for later".into()));
        beside.push(Block::List(prepared));
    }
    let mut drawings = drawn(step, t).into_iter();
    let mut blocks = match drawings.next() {
        Some(first) => vec![Block::Beside(first, beside)],
        None => beside,
    };
    blocks.extend(drawings.map(Block::Figure));
    if t > 0 {
        blocks.push(Block::Paragraph(BEFORE.into()));
    }
    blocks.extend(strings(page, step));
    blocks.extend(limits_of(page, &plan.state));
    if plan.changes_wiring() {
        blocks.push(Block::Heading("Shopping list".into()));
        let larger = |p: &Prepared| matches!(p, Prepared::Cable { .. } | Prepared::Fuse { .. });
        if step.prepared.iter().any(larger) {
            blocks.push(Block::Paragraph(LARGER.into()));
        }
        let list = parts(&step.installation, &step.advice);
        blocks.extend(shopping(&step.installation, &step.advice, &list));
        blocks.push(Block::Heading("Take care".into()));
        blocks.extend(listed(&step.advice.cautions));
        blocks.push(Block::Heading("Steps".into()));
        blocks.extend(steps_of(names, method));
    }
    blocks.push(Block::Heading("Test sheet".into()));
    blocks.extend(sheet_of(names, method));
    blocks
}

/// The wiring of every input that the step plans; each drawing with a name of its own in the file.
fn drawn(step: &PhaseStep, t: usize) -> Vec<Drawing> {
    let when = if step.plan().changes_wiring() { When::Planned } else { When::Today };
    let advice = step.advice.by_input();
    let drawn = advice.iter().filter_map(|a| drawing::wiring_alone(&step.installation, a, when));
    let id = match when {
        When::Planned => "wiring-planned",
        When::Today => "wiring-today",
    };
    drawn
        .map(|d| Drawing { svg: d.svg.replace(id, &format!("phase-{}-{id}", t + 1)), ..d })
        .collect()
}

fn strings(page: Page<'_>, step: &PhaseStep) -> Vec<Block> {
    let columns = [
        ("String", Setting::Words),
        ("Wired as", Setting::Words),
        ("Against before", Setting::Words),
        ("Amps at full sun", Setting::Figures),
        ("Watts at full sun", Setting::Figures),
        ("Open, coldest morning", Setting::Figures),
    ];
    let one = |input: &crate::plan::InputState| {
        let rows = strings_of(page, step, input);
        let point = wiring::operating_point(page, input);
        if rows.is_empty() {
            Block::Paragraph(format!("{point}."))
        } else {
            set_table(point, &columns, rows)
        }
    };
    step.plan().state.inputs.iter().map(one).collect()
}

fn other_ways(teller: Teller<'_>) -> Vec<Block> {
    let phased = teller.phased;
    if phased.foils.is_empty() {
        return Vec::new();
    }
    let row = |name: &str, totals: &Totals| {
        let mut row = sums(teller, name, totals);
        row.push(teller.money(totals.idle_money));
        row
    };
    let mut rows = vec![row("this plan", &phased.totals)];
    rows.extend(phased.foils.iter().map(|f| row(teller.foil(f.kind), &f.totals)));
    let columns = [
        ("Way", Setting::Words),
        ("W·years", Setting::Figures),
        ("kWh in all", Setting::Figures),
        ("Money", Setting::Figures),
        ("Joints", Setting::Figures),
        ("done twice", Setting::Figures),
        ("Money idle in the end", Setting::Figures),
    ];
    let mut blocks = vec![set_table("What each way brings and costs", &columns, rows)];
    blocks.extend(listed(&phased.foils.iter().map(|f| teller.lost(f)).collect::<Vec<_>>()));
    blocks
}

fn doubts(teller: Teller<'_>) -> Vec<Block> {
    let cancelled = teller.phased.cancelled.iter().map(|c| teller.cancelled(c));
    let sold_out = teller.phased.sold_out.iter().map(|s| teller.sold_out(s));
    listed(&cancelled.chain(sold_out).collect::<Vec<_>>())
}

fn asked(phased: &Phased) -> Vec<Block> {
    let headed = |heading: &str, texts: &[String]| {
        let list = listed(texts);
        let heading = (!list.is_empty()).then(|| Block::Heading(heading.to_owned()));
        heading.into_iter().chain(list).collect::<Vec<_>>()
    };
    [headed("Ask", &phased.ask), headed("Assumed", &phased.assumed)].concat()
}

fn found(teller: Teller<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::Paragraph(teller.objective()), Block::Paragraph(teller.proof())];
    blocks.extend(teller.phased.notes.iter().cloned().map(Block::Paragraph));
    blocks
}
