//! The drawings of lessons and exercises, as they stand in their pages.

use sungraft::plan;
use sungraft::planner;
use sungraft::report::{self, ReportForm, Sheet};

use crate::geometry::check;
use crate::sites::{cases, solved};

/// Every drawing of a page.
fn drawings(page: &str) -> Vec<&str> {
    let rest = page.split("<svg ").skip(1);
    rest.map(|part| {
        let end = part.find("</svg>").expect("a drawing ends") + "</svg>".len();
        let from = part.as_ptr() as usize - page.as_ptr() as usize - "<svg ".len();
        &page[from..from + "<svg ".len() + end]
    })
    .collect()
}

#[test]
fn drawings_of_lessons_are_as_legible_as_those_of_plans() {
    let (mut wrong, mut n) = (Vec::new(), 0);
    for (name, text) in cases() {
        let (installation, advice) = solved(&name, &text);
        let lesson = planner::lesson(&installation, &advice).expect("labels have curves");
        let page = report::lesson(&installation, &advice, &lesson, ReportForm::Html);
        for svg in drawings(&page) {
            n += 1;
            wrong.extend(check(svg).into_iter().map(|w| format!("{name}: {w}")));
        }
    }
    assert!(n > 30, "{n} drawings");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn drawings_of_exercises_are_as_legible() {
    let (mut wrong, mut n) = (Vec::new(), 0);
    for seed in 1..=8 {
        let exercises = plan::exercises(8, seed);
        for sheet in [Sheet::Problems, Sheet::Key] {
            let page = report::exercises(&exercises, seed, sheet, ReportForm::Html);
            for svg in drawings(&page) {
                n += 1;
                wrong.extend(check(svg).into_iter().map(|w| format!("seed {seed}: {w}")));
            }
        }
    }
    assert!(n > 60, "{n} drawings");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
