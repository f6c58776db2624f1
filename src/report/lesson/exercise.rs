//! Exercise sheets and their answers.

use super::sums::{Detail, array_of, steps, wiring_of};
use super::{section, words};
use crate::model::{ArrayWiring, Installation};
use crate::plan::{ArraySum, COLD_RISE, Exercise, N_LEVELS};
use crate::report::drawing::{self, Filled};
use crate::report::layout::GLUE;
use crate::report::names::Names;
use crate::report::page::blocks::{BLANK, Block, Section, Setting};
use crate::report::page::{Document, ReportForm, table, written};
use crate::report::words::listed;
use crate::units::Volts;

/// What is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// The problems, with blanks.
    Problems,
    /// The answers, worked.
    Key,
}

/// Exercises, or the answers to them, in one form.
#[must_use]
pub fn exercises(exercises: &[Exercise], seed: u64, sheet: Sheet, form: ReportForm) -> String {
    let (title, about) = match sheet {
        Sheet::Problems => (words::EXERCISES, "to solve with labels and a pencil"),
        Sheet::Key => (words::ANSWERS, "worked step by step"),
    };
    let numbered = exercises.iter().enumerate().map(|(i, exercise)| (i + 1, exercise));
    let sections: Vec<Section> = match sheet {
        Sheet::Problems => numbered.map(|(n, e)| problem(n, e, form)).collect(),
        Sheet::Key => numbered.map(|(n, e)| key(n, e)).collect(),
    };
    let beneath = vec![
        words::sheet_line(seed, exercises.len()),
        words::READ.into(),
        words::EXERCISE_CAUTION.into(),
    ];
    written(&Document { title, about, beneath, sections }, form)
}

fn problem(number: usize, exercise: &Exercise, form: ReportForm) -> Section {
    let installation = &exercise.installation;
    let mut blocks = task(installation);
    let sum = &exercise.given.sum;
    blocks.push(Block::Heading(words::ASK_SUMS.into()));
    match form {
        ReportForm::Html => {
            let drawing = drawing::scheme(
                installation,
                &array_of(sum),
                Filled::Blank,
                &format!("scheme-{number}"),
            );
            blocks.push(Block::Figure(drawing));
        }
        ReportForm::Markdown | ReportForm::Text => blocks.push(strings_in_words(installation, sum)),
    }
    blocks.push(blanks(sum));
    blocks.push(Block::Heading(words::ASK_BEST.into()));
    // Room for a pen.
    blocks.push(Block::Verbatim(format!("{}{}", words::BEST_HERE, "\n".repeat(8))));
    let rows = vec![
        vec![words::BUS.to_owned(), BLANK.into(), BLANK.into(), BLANK.into()],
        vec![words::BLANK_COLDEST.into(), BLANK.into(), String::new(), String::new()],
    ];
    blocks.push(table(words::MINE_CAPTION, &blank_heads(), rows));
    section(&format!("problem-{number}"), &words::problem(number, exercise.level, N_LEVELS), blocks)
}

/// Panels and controller.
fn task(installation: &Installation) -> Vec<Block> {
    let names = Names(installation);
    let panels: Vec<String> = installation
        .spares
        .iter()
        .map(|s| format!("{}{GLUE}×{GLUE}{}", s.count, names.label(s.kind)))
        .collect();
    let rows = installation
        .spares
        .iter()
        .map(|s| {
            let label = &installation.kind(s.kind).label;
            vec![
                names.label(s.kind).to_owned(),
                s.count.to_string(),
                words::w(label.p_mp),
                words::v(label.v_mp),
                words::a(label.i_mp),
                words::v(label.v_oc),
                words::a(label.i_sc),
            ]
        })
        .collect();
    let [panel, figures @ ..] = words::LABEL_HEADS;
    let mut heads = vec![(panel, Setting::Words)];
    heads.extend(figures.map(|head| (head, Setting::Figures)));
    let controller = &installation.controllers[0];
    let (lo, hi) = controller.hold_range();
    let with_blocks = if installation.site.block_max > 1 { words::WITH_BLOCKS } else { "" };
    let ports = controller.string_ports;
    let scene = words::scene(&installation.site.name, &listed(&panels), panels.len());
    vec![
        Block::Paragraph(scene),
        table(words::LABELS_CAPTION, &heads, rows),
        Block::Paragraph(words::controller(lo, hi, controller.max_pv, ports, with_blocks)),
        Block::Paragraph(words::cold(COLD_RISE)),
    ]
}

fn strings_in_words(installation: &Installation, sum: &ArraySum) -> Block {
    let names = Names(installation);
    let lines: Vec<String> = sum
        .strings
        .iter()
        .enumerate()
        .map(|(s, string)| format!("string {}: {}", s + 1, names.string(&wiring_of(string))))
        .collect();
    Block::Verbatim(lines.join("\n"))
}

fn blank_heads() -> [(&'static str, Setting); 4] {
    let [what, figures @ ..] = words::BLANK_HEADS;
    let [v, a, w] = figures.map(|head| (head, Setting::Figures));
    [(what, Setting::Words), v, a, w]
}

fn blanks(sum: &ArraySum) -> Block {
    let row = |what: String, n: usize| {
        let mut cells = vec![what];
        cells.extend((0..3).map(|i| if i >= 3 - n { BLANK.to_owned() } else { String::new() }));
        cells
    };
    let mut rows: Vec<Vec<String>> =
        (1..=sum.strings.len()).map(|s| row(format!("string {s}"), 3)).collect();
    rows.push(row(words::BUS.into(), 3));
    for what in [words::BLANK_LABEL, words::BLANK_LOST, words::BLANK_USED, words::BLANK_HOLDS] {
        rows.push(row(what.into(), 1));
    }
    table(words::BLANKS_CAPTION, &blank_heads(), rows)
}

fn key(number: usize, exercise: &Exercise) -> Section {
    let installation = &exercise.installation;
    let solution = &exercise.solution;
    let mut blocks = task(installation);
    blocks.push(Block::Heading(words::ANSWER_SUMS.into()));
    blocks.push(Block::Figure(drawing::scheme(
        installation,
        &array_of(&exercise.given.sum),
        Filled::With(&exercise.given.sum),
        &format!("scheme-{number}-given"),
    )));
    blocks.extend(steps(installation, &exercise.given, Detail::Full));
    blocks.push(Block::Heading(words::ANSWER_BEST.into()));
    let best = &solution.ranked[0];
    let shown = in_words(installation, &best.array);
    blocks.push(Block::Lead(words::best_of(solution.n_wirings(), &shown, best.by_rule)));
    if solution.n_too_high > 0 {
        blocks.push(Block::Paragraph(words::too_high(solution.n_too_high)));
    }
    if let Some(next) = solution.ranked.get(1) {
        let shown = in_words(installation, &next.array);
        let said = words::second(&shown, next.by_rule, next.by_curve, best.by_curve);
        blocks.push(Block::Paragraph(said));
    }
    let open = open_volts(installation, &best.array);
    let most = installation.controllers[0].max_pv;
    blocks.push(Block::Paragraph(words::cold_sum(open, COLD_RISE, most)));
    blocks.push(Block::Figure(drawing::scheme(
        installation,
        &best.array,
        Filled::With(&solution.best.sum),
        &format!("scheme-{number}-best"),
    )));
    blocks.extend(steps(installation, &solution.best, Detail::Full));
    section(&format!("solved-{number}"), &words::answer(number), blocks)
}

/// `string 1: a + a; string 2: b`.
fn in_words(installation: &Installation, array: &ArrayWiring) -> String {
    let names = Names(installation);
    let strings = array.strings.iter().enumerate();
    let strings: Vec<String> =
        strings.map(|(s, of)| format!("string{GLUE}{}: {}", s + 1, names.string(of))).collect();
    strings.join("; ")
}

/// Open voltage of the longest string by the labels.
fn open_volts(installation: &Installation, array: &ArrayWiring) -> Volts {
    let element = |members: &[crate::model::KindIdx]| {
        members.iter().map(|k| installation.kind(*k).label.v_oc).fold(Volts(0.0), Volts::max)
    };
    let strings = array.strings.iter();
    let open = strings.map(|s| s.elements().iter().map(|e| element(e.members())).sum::<Volts>());
    open.fold(Volts(0.0), Volts::max)
}
