//! Faults of every sort, simulated, and how often the true one is the first or second guess.

use sungraft::model::{Element, KindIdx};
use sungraft::plan::{Fault, Guess, StringAt};
use sungraft::planner;

use crate::random::Random;
use crate::simulate::RealPanel;
use crate::sites::{Sort, site};
use crate::world::{Held, Real, Taken};

/// Cases of each sort.
const CASES: usize = 16;

type Make = fn(&mut Random, &sungraft::model::Installation, &mut Real) -> Option<Fault>;

fn any_string(rng: &mut Random, real: &Real) -> StringAt {
    let input = rng.below(real.strings.len());
    StringAt { input, string: rng.below(real.strings[input].len()) }
}

fn elements(real: &mut Real, at: StringAt) -> &mut Vec<Vec<RealPanel>> {
    &mut real.strings[at.input][at.string].elements
}

fn element_of(members: &[RealPanel]) -> Element {
    Element::block(members.iter().map(|p| p.kind).collect())
}

/// A random panel of a random string: the string, the element and the panel.
fn any_panel<'r>(rng: &mut Random, real: &'r mut Real) -> (StringAt, Element, &'r mut RealPanel) {
    let at = any_string(rng, real);
    let elements = elements(real, at);
    let e = rng.below(elements.len());
    let element = element_of(&elements[e]);
    let m = rng.below(elements[e].len());
    (at, element, &mut elements[e][m])
}

fn missing(rng: &mut Random, _: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    let at = any_string(rng, real);
    let elements = elements(real, at);
    if elements.len() < 2 {
        return None;
    }
    let gone = elements.remove(rng.below(elements.len()));
    Some(Fault::Missing(at, element_of(&gone)))
}

fn too_many(rng: &mut Random, _: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    let at = any_string(rng, real);
    let elements = elements(real, at);
    let kind = elements[0][0].kind;
    elements.push(vec![RealPanel::sound(kind)]);
    Some(Fault::TooMany(at, kind))
}

fn reversed(rng: &mut Random, _: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    let (at, element, panel) = any_panel(rng, real);
    panel.reversed = true;
    let kind = panel.kind;
    (elements(real, at).len() > 1).then_some(Fault::PanelReversed(at, element, kind))
}

fn bypassed(
    rng: &mut Random,
    site: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let (at, element, panel) = any_panel(rng, real);
    let n = site.kind(panel.kind).bypass_diodes?;
    panel.sections = (n - 1) as f64 / n as f64;
    Some(Fault::Bypassed(at, element, panel.kind, 1))
}

fn weak(rng: &mut Random, _: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    let (at, element, panel) = any_panel(rng, real);
    panel.light = rng.between(0.2, 0.8);
    Some(Fault::Weak(at, element, panel.kind, 500))
}

fn weak_string(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let at = any_string(rng, real);
    let share = rng.between(0.3, 0.85);
    let panels = elements(real, at).iter_mut().flatten();
    let mut n = 0;
    for panel in panels {
        panel.light = share;
        n += 1;
    }
    (n > 1).then_some(Fault::WeakString(at, 500))
}

fn other_kind(
    rng: &mut Random,
    site: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let (at, element, panel) = any_panel(rng, real);
    let was = panel.kind;
    let is = KindIdx(rng.below(site.kinds.len()));
    panel.kind = is;
    (is != was).then_some(Fault::OtherKind(at, element, was, is))
}

fn member_off(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let at = any_string(rng, real);
    let block = elements(real, at).iter_mut().find(|e| e.len() > 1)?;
    let element = element_of(block);
    let gone = block.pop().expect("a block has members");
    Some(Fault::MemberOff(at, element, gone.kind))
}

fn string_open(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let at = any_string(rng, real);
    real.strings[at.input][at.string].open = true;
    Some(Fault::StringOpen(at))
}

fn string_off(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let at = any_string(rng, real);
    real.strings[at.input][at.string].on = None;
    Some(Fault::StringOff(at))
}

fn string_reversed(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let at = any_string(rng, real);
    real.strings[at.input][at.string].reversed = true;
    Some(Fault::StringReversed(at))
}

fn strings_swapped(
    rng: &mut Random,
    site: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let (a, b) = (any_string(rng, real), any_string(rng, real));
    let of = |at: StringAt| site.installed[at.input].array.strings[at.string].canonical();
    if of(a) == of(b) {
        return None;
    }
    let elements_a = std::mem::take(elements(real, a));
    let elements_b = std::mem::replace(elements(real, b), elements_a);
    *elements(real, a) = elements_b;
    Some(Fault::StringsSwapped(a.min(b), a.max(b)))
}

fn panels_swapped(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let (a, b) = (any_string(rng, real), any_string(rng, real));
    if a >= b {
        return None;
    }
    let (ea, eb) = (rng.below(elements(real, a).len()), rng.below(elements(real, b).len()));
    let (pa, pb) = (elements(real, a)[ea].clone(), elements(real, b)[eb].clone());
    if pa.len() > 1 || pb.len() > 1 || pa[0].kind == pb[0].kind {
        return None;
    }
    let fault = Fault::PanelsSwapped(a, pa[0].kind, b, pb[0].kind);
    elements(real, a)[ea] = pb;
    elements(real, b)[eb] = pa;
    Some(fault)
}

fn on_other(rng: &mut Random, _: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    let at = any_string(rng, real);
    real.strings[at.input][at.string].on = Some(1 - at.input);
    Some(Fault::OnOther(at, 1 - at.input))
}

fn other_peak(
    rng: &mut Random,
    site: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let input = rng.below(site.installed.len());
    real.held[input] = Held::OtherPeak(0);
    Some(Fault::OtherPeak(input, 0))
}

fn held_back(
    rng: &mut Random,
    site: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    let input = rng.below(site.installed.len());
    site.controllers[0].window?;
    real.held[input] = Held::Back(rng.between(0.05, 0.8));
    Some(Fault::HeldBack(input))
}

fn below(rng: &mut Random, site: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    let input = rng.below(site.installed.len());
    site.controllers[0].window?;
    real.held[input] = Held::Below(rng.between(0.6, 0.88));
    Some(Fault::Below(input))
}

fn less_light(
    rng: &mut Random,
    _: &sungraft::model::Installation,
    real: &mut Real,
) -> Option<Fault> {
    real.light_read /= rng.between(0.5, 0.75);
    Some(Fault::Light(500))
}

fn warmer(rng: &mut Random, _: &sungraft::model::Installation, real: &mut Real) -> Option<Fault> {
    real.cells_read -= rng.between(12.0, 25.0);
    Some(Fault::Warmer(100))
}

fn is_it(truth: &Fault, guess: &[Fault]) -> bool {
    let [guess] = guess else { return false };
    match (truth, guess) {
        // How much is fitted; where and what must be right.
        (Fault::Weak(a, b, c, _), Fault::Weak(d, e, f, _)) => (a, b, c) == (d, e, f),
        (Fault::WeakString(a, _), Fault::WeakString(b, _)) => a == b,
        (Fault::Light(_), Fault::Light(_)) | (Fault::Warmer(_), Fault::Warmer(_)) => true,
        _ => truth == guess,
    }
}

/// Is it this guess, or among those that the answer says it cannot tell from it?
fn named_by(truth: &Fault, guess: &Guess) -> bool {
    is_it(truth, &guess.faults) || guess.alike.iter().any(|g| is_it(truth, g))
}

/// Rates of one sort: first guess by itself, first or second by itself, first or second with those that
/// are said to be alike.
#[derive(Debug, Default, Clone, Copy)]
struct Rates {
    n: usize,
    first: usize,
    second: usize,
    named: usize,
    outside: usize,
}

const SORTS: [(&str, Sort, Make); 19] = [
    ("panel missing", Sort::Any, missing),
    ("one panel too many", Sort::Any, too_many),
    ("panel reversed", Sort::Any, reversed),
    ("section bypassed", Sort::Any, bypassed),
    ("weak panel", Sort::Any, weak),
    ("weak string", Sort::Any, weak_string),
    ("other kind", Sort::Mixed, other_kind),
    ("block member off", Sort::Blocks, member_off),
    ("string open", Sort::Any, string_open),
    ("string not joined", Sort::Any, string_off),
    ("string reversed", Sort::Any, string_reversed),
    ("strings swapped", Sort::Mixed, strings_swapped),
    ("panels swapped", Sort::Mixed, panels_swapped),
    ("on another input", Sort::TwoInputs, on_other),
    ("other peak", Sort::Mixed, other_peak),
    ("held back", Sort::Any, held_back),
    ("below its best", Sort::Any, below),
    ("less light", Sort::Any, less_light),
    ("warmer", Sort::Any, warmer),
];

fn rates_of(sort: usize, taken: Taken, say: &mut String) -> Rates {
    let (name, of_site, make) = SORTS[sort];
    let mut rng = Random::seeded(1000 + sort as u64);
    let mut rates = Rates::default();
    while rates.n < CASES {
        let site = site(&mut rng, of_site);
        let mut real = Real::sound(&mut rng, &site);
        let Some(truth) = make(&mut rng, &site, &mut real) else { continue };
        let Some(readings) = real.read(&mut rng, &site, taken) else { continue };
        let found = planner::verify(&site, &readings).expect("labels have curves");
        rates.n += 1;
        rates.outside += usize::from(found.n_outside() > 0);
        let guesses = &found.guesses;
        rates.first += usize::from(is_it(&truth, &guesses[0].faults));
        rates.second += usize::from(guesses.iter().take(2).any(|g| is_it(&truth, &g.faults)));
        let named = guesses.iter().take(2).any(|g| named_by(&truth, g));
        rates.named += usize::from(named);
        if !named {
            let shown: Vec<String> =
                guesses.iter().take(3).map(|g| format!("{:.2} {:?}", g.weight, g.faults)).collect();
            say.push_str(&format!(
                "{name}: {truth:?}\n  {:?}\n  {}\n",
                site.installed.iter().map(|w| &w.array.strings).collect::<Vec<_>>(),
                shown.join("\n  ")
            ));
        }
    }
    rates
}

/// What `docs/verify.md` claims of a sort: cases, first guess, first or second, with those alike.
fn claimed(name: &str) -> Option<[usize; 4]> {
    let page = include_str!("../../docs/verify.md");
    let row = page.lines().find_map(|l| l.strip_prefix(&format!("| {name} | ")))?;
    let figures: Vec<usize> =
        row.trim_end_matches(" |").split(" | ").filter_map(|x| x.parse().ok()).collect();
    figures.try_into().ok()
}

#[test]
fn every_sort_of_fault_is_the_first_or_second_guess() {
    let mut missed = String::new();
    let mut table = String::new();
    let mut all = Rates::default();
    let (mut overstated, mut poor) = (Vec::new(), Vec::new());
    for (sort, (name, ..)) in SORTS.iter().enumerate() {
        let r = rates_of(sort, Taken::All, &mut missed);
        table.push_str(&format!(
            "| {name} | {} | {} | {} | {} |\n",
            r.n, r.first, r.second, r.named
        ));
        let claim = claimed(name);
        if claim.is_none_or(|[n, first, second, named]| {
            n != r.n || first > r.first || second > r.second || named > r.named
        }) {
            overstated.push(*name);
        }
        if r.named * 10 < r.n * 8 || r.outside * 10 < r.n * 8 {
            poor.push(format!("{name}: {r:?}"));
        }
        all.n += r.n;
        all.named += r.named;
    }
    assert!(all.n >= 300, "{all:?}");
    assert!(all.named * 100 >= all.n * 95, "{all:?}\n{table}{missed}");
    assert!(poor.is_empty(), "{poor:?}\n{table}{missed}");
    assert!(overstated.is_empty(), "{overstated:?}\n{table}{missed}");
}

#[test]
fn without_currents_of_single_strings_most_sorts_are_still_named() {
    let (mut named, mut n, mut missed) = (0, 0, String::new());
    // Those that show in the volts of a string, or at the controller.
    for name in ["panel missing", "panel reversed", "string open", "held back"] {
        let sort = SORTS.iter().position(|s| s.0 == name).expect("is a sort");
        let r = rates_of(sort, Taken::VoltsAndWork, &mut missed);
        named += r.named;
        n += r.n;
    }
    assert!(named * 10 >= n * 9, "{named} of {n}\n{missed}");
}
