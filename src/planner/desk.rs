//! One question about one installation, from candidates to the audited answer.

use crate::electrical::Catalog;
use crate::energy::EnergyModel;
use crate::model::{ArrayWiring, InputRef, Installation};
use crate::patterns::{Arithmetic, Bench, Shelf};
use crate::plan::{
    Advice, Aim, Bound, Evaluator, Plan, Rewiring, Rule, State, Touch, TouchAnswer, ask, assumed,
    audit_with, cautions_for, fewest_joints,
};
use crate::units::Watts;

use super::concerned::concerned;
use super::front::Front;
use super::level::{Level, LevelAnswer, Pick, Session};
use super::preferred::preferred_plan;
use super::season::Season;
use super::site;
use super::terms::{Question, Terms};
use super::worth::{Worth, freest};
use super::year::year_of;
use super::{Failure, Options};

/// Everything that one question about one installation works with.
pub(super) struct Desk<'a> {
    pub(super) installation: &'a Installation,
    pub(super) catalog: &'a Catalog,
    pub(super) evaluator: Evaluator<'a>,
    pub(super) options: &'a Options,
    /// The part of the year whose energy is sought; `None`: watts at full sun.
    pub(super) season: Option<&'a Season>,
    /// Lists of strings that inputs alike share.
    pub(super) shelf: Shelf,
}

/// What came of one input.
pub(super) struct Planned {
    pub(super) at: InputRef,
    pub(super) today_charged: f64,
    pub(super) plans: Vec<Plan>,
    /// The wiring of each plan on this input.
    pub(super) arrays: Vec<ArrayWiring>,
    pub(super) levels: Vec<(Touch, TouchAnswer)>,
    pub(super) best: Option<usize>,
    pub(super) narrowed: Vec<String>,
    /// What the search of each level found, joints aside.
    pub(super) found: Vec<(Touch, Level)>,
    /// Watts against joints at the freest level, where that was asked for.
    pub(super) front: Option<(Touch, Front)>,
}

impl Planned {
    /// Charged watts more than today, less this worth of each joint. \[W\]
    pub(super) fn gain(&self, joint_worth: f64) -> f64 {
        let worth = |p: &Plan| p.charged.watts() - joint_worth * p.joints.total() as f64;
        let best = self.best.map_or(f64::NEG_INFINITY, |b| worth(&self.plans[b]));
        best - self.today_charged
    }
}

/// What is said where the search space was narrowed, in the words of how.
pub(super) fn too_many_to_list(words: &str) -> String {
    format!("Too many wirings to list them all: searched {words}; the bound holds for all.")
}

impl<'a> Desk<'a> {
    pub(super) fn new(
        installation: &'a Installation,
        catalog: &'a Catalog,
        options: &'a Options,
    ) -> Self {
        let evaluator = Evaluator::new(installation, catalog);
        let shelf = Shelf::default();
        Self { installation, catalog, evaluator, options, season: None, shelf }
    }

    /// The same question about the energy of a season.
    pub(super) fn over<'s>(&'s self, season: Option<&'s Season>) -> Desk<'s> {
        Desk { season, ..Desk::new(self.installation, self.catalog, self.options) }
    }

    /// Today's state, and the plans of the input where most is to be gained.
    pub(super) fn plan_site(&self) -> Result<(State, Planned), Failure> {
        let installation = self.installation;
        let today = self.evaluator.state(&installation.installed);
        let inputs: Vec<InputRef> = match self.options.input {
            Some(input) => vec![input],
            None => site::movable(installation),
        };
        let mut answers = Vec::with_capacity(inputs.len());
        for at in inputs {
            answers.push(self.plan_input(at, &today)?);
        }
        // Of equals the first.
        let gain = |planned: &Planned| planned.gain(self.joint_worth());
        let mut planned = answers
            .into_iter()
            .reduce(|best, next| if gain(&next) > gain(&best) + 1e-9 { next } else { best })
            .ok_or(Failure::AllKept)?;
        if self.options.joint_curve && planned.front.is_none() {
            self.draw_front(&mut planned);
        }
        Ok((today, planned))
    }

    pub(super) fn bench<'b>(&'b self, at: InputRef) -> Bench<'b>
    where
        'a: 'b,
    {
        Bench::new(self.installation, self.catalog, at).with_shelf(&self.shelf)
    }

    pub(super) fn question(&self, touch: Touch) -> Question<'_> {
        Question {
            touch,
            arithmetic: match self.options.rule {
                Rule::Curve => Arithmetic::Curve,
                Rule::Nameplate => Arithmetic::Nameplate,
            },
            threshold_watts: self.options.threshold_watts,
            threshold_share: self.options.threshold_share,
            season: self.season,
        }
    }

    /// Every touch level of one input.
    pub(super) fn plan_input(&self, at: InputRef, today: &State) -> Result<Planned, Failure> {
        let bench = self.bench(at);
        let mut planned = Planned {
            at,
            today_charged: self.charged_today(&bench, today),
            plans: Vec::new(),
            arrays: Vec::new(),
            levels: Vec::new(),
            best: None,
            narrowed: Vec::new(),
            found: Vec::new(),
            front: None,
        };
        for &touch in &self.options.touch {
            if self.stopped().is_some() && !planned.plans.is_empty() {
                planned.levels.push((touch, TouchAnswer::LimitReached));
                continue;
            }
            self.shows_level(touch);
            let question = self.question(touch);
            // What a level that disturbs less allows, this one allows too.
            let known = planned.arrays.clone();
            let session = Session::new(&bench, question);
            let terms = Terms::of(&bench);
            let answer = match session.solve(&terms, &known, self.options.effort, Pick::Preferred) {
                LevelAnswer::Found(level) => {
                    planned.found.push((touch, level.clone()));
                    self.enter(&mut planned, &bench, touch, level, today)?
                }
                LevelAnswer::NoWiring(screening) => {
                    TouchAnswer::NoPlan(self.breaches(&bench, touch, &screening))
                }
                LevelAnswer::LimitReached => TouchAnswer::LimitReached,
            };
            planned.levels.push((touch, answer));
        }
        planned.best = preferred_plan(&planned.plans);
        if self.joint_worth() > 0.0 {
            self.weigh_joints(&mut planned, &bench, today)?;
        }
        Ok(planned)
    }

    /// Audits a level's wiring and enters it, unless a level that disturbs less has the same.
    pub(super) fn enter(
        &self,
        planned: &mut Planned,
        bench: &Bench,
        touch: Touch,
        level: Level,
        today: &State,
    ) -> Result<TouchAnswer, Failure> {
        let canonical = level.array.canonical();
        if let Some(same) = planned.arrays.iter().position(|a| a.canonical() == canonical) {
            return Ok(TouchAnswer::SameAs(same));
        }
        let (plan, array) = self.audited(bench, touch, &level, today)?;
        planned.narrowed.extend(level.narrowed.iter().map(|words| too_many_to_list(words)));
        if !level.ties_complete {
            planned.narrowed.push(
                "Very many wirings are as good as each other: not all were compared for joints."
                    .to_owned(),
            );
        }
        planned.plans.push(plan);
        planned.arrays.push(array);
        Ok(TouchAnswer::Plan(planned.plans.len() - 1))
    }

    /// The plan of a level's wiring, and its wiring on this input, if it stands the audit.
    pub(super) fn audited(
        &self,
        bench: &Bench,
        touch: Touch,
        level: &Level,
        today: &State,
    ) -> Result<(Plan, ArrayWiring), Failure> {
        let (plan, array) = self.plan_of(bench, touch, level, today);
        let terms = self.options.audit_terms(Some(bench.at));
        audit_with(self.installation, self.catalog, &plan, &self.installation.installed, &terms)
            .map_err(Failure::Audit)?;
        Ok((plan, array))
    }

    pub(super) fn plan_of(
        &self,
        bench: &Bench,
        touch: Touch,
        level: &Level,
        today: &State,
    ) -> (Plan, ArrayWiring) {
        let wanted = self.site_wiring(bench.at, level.array.clone());
        let Rewiring { joints, inputs, .. } = fewest_joints(&self.installation.installed, &wanted);
        let array = inputs
            .iter()
            .find(|w| w.at == bench.at)
            .map_or_else(|| level.array.clone(), |w| w.array.clone());
        let wiring = self.site_wiring(bench.at, array.clone());
        let state = self.evaluator.state(&wiring);
        let question = Question { season: None, ..self.question(touch) };
        let charge: f64 = wiring
            .iter()
            .map(|w| {
                question.charge_of(bench, &w.array.count_by_kind(self.installation.kinds.len()))
            })
            .sum();
        // The other inputs stay: their watts stand beside the bound of the one that was searched.
        let elsewhere: f64 = state
            .inputs
            .iter()
            .filter(|i| i.at != bench.at)
            .map(|i| self.by_rule(i.power, i.nameplate))
            .sum();
        let own_charge =
            question.charge_of(bench, &array.count_by_kind(self.installation.kinds.len()));
        let plan = Plan {
            touch,
            added: state.watts() - today.watts(),
            charged: Watts(self.by_rule(state.watts(), state.nameplate()) - charge),
            bound: Bound {
                watts: Watts(level.bound + own_charge + elsewhere),
                gap: level.gap(),
                proven: level.gap() <= self.options.effort.proof,
            },
            joints,
            state,
            energy: None,
        };
        (plan, array)
    }

    pub(super) fn by_rule(&self, curve: Watts, nameplate: Watts) -> f64 {
        match self.options.rule {
            Rule::Curve => curve.watts(),
            Rule::Nameplate => nameplate.watts(),
        }
    }

    pub(super) fn answer(
        &self,
        today: State,
        planned: Planned,
        (aim, model): (Aim, Option<&EnergyModel>),
    ) -> Result<Advice, Failure> {
        let installation = self.installation;
        let bench = self.bench(planned.at);
        let best_state = planned.best.map_or(&today, |b| &planned.plans[b].state);
        let session = Session::new(&bench, self.question(freest(&self.options.touch)));
        let energy = year_of(model, &installation.installed, &planned.plans);
        let worth = Worth::new(self, &planned, &bench, &session, model);
        let (spares, idle) = (worth.spares(), worth.idle());
        let own_controllers = self.own_controllers(planned.at, &spares, best_state);
        let mut notes = planned.narrowed.clone();
        notes.dedup();
        if installation.installed.iter().filter(|w| !installation.is_spare(w.at)).count() > 1 {
            notes.push(format!(
                "Planned: {}, input {}. The other inputs stay as they are; all spares were offered to this one.",
                bench.controller().id,
                planned.at.input
            ));
        }
        let joint_curve = self.joint_curve(&planned, &bench, &today)?;
        notes.extend(self.stopped_note());
        let mut advice = Advice {
            together: vec![planned.at],
            site: installation.site.name.clone(),
            coldest: installation.site.coldest,
            hottest: installation.site.hottest,
            rule: self.options.rule,
            aim,
            planned: planned.at,
            assumed: assumed(installation, &concerned(installation)),
            ask: ask(installation, best_state),
            cautions: cautions_for(installation, best_state),
            today,
            plans: planned.plans,
            levels: planned.levels,
            best: planned.best,
            spares,
            controllers: site::none_usable(installation),
            own_controllers,
            idle,
            joint_worth: self.options.joint_worth.map(Watts),
            joint_curve,
            energy,
            notes,
        };
        site::without_unused(installation, &mut advice);
        Ok(advice)
    }
}
