//! What the audit finds under one rule, and a plan's check held against it.

use super::super::{Check, CheckRule, Outcome, Plan, Unit};
use super::error::{AuditError, Audited, agree, ensure};
use super::{AuditedInput, Standing};

/// What the audit finds for one string, panel, or the whole input under one rule.
pub(super) struct Judged {
    pub(super) string: Option<usize>,
    /// `None` where there is no figure.
    pub(super) value: Option<f64>,
    pub(super) limit: Option<f64>,
    /// The mildest and the gravest outcome that the audit's tolerance leaves open.
    pub(super) outcomes: (Outcome, Outcome),
    /// How far the limit is used up, and by how much that may be off: the string that uses most of it
    /// is the one to name.
    pub(super) used: (f64, f64),
    /// By how much the plan's figure may differ.
    pub(super) tolerance: f64,
}

impl Judged {
    /// A figure, and what follows from it at both ends of its tolerance.
    pub(super) fn new(
        string: Option<usize>,
        (value, tolerance): (f64, f64),
        limit: Option<f64>,
        outcome: impl Fn(f64) -> Outcome,
    ) -> Self {
        let (low, high) = (outcome(value - tolerance), outcome(value + tolerance));
        let scale = limit.filter(|limit| *limit > 0.0).unwrap_or(1.0);
        Self {
            string,
            value: Some(value),
            limit,
            outcomes: (low.min(high), low.max(high)),
            used: (value / scale, tolerance / scale),
            tolerance,
        }
    }

    /// A figure that must not exceed its limit, if there is one.
    pub(super) fn at_most(
        string: Option<usize>,
        (value, tolerance): (f64, f64),
        limit: Option<f64>,
    ) -> Self {
        Self::new(string, (value, tolerance), limit, |value| match limit {
            None => Outcome::Unknown,
            Some(limit) if value > limit => Outcome::Breach,
            Some(_) => Outcome::Pass,
        })
    }

    /// A figure that must reach `least` and, to be no caution, `ample`.
    pub(super) fn at_least(
        string: usize,
        (value, tolerance): (f64, f64),
        (least, ample): (f64, f64),
    ) -> Self {
        let found = Self::new(Some(string), (value, tolerance), Some(least), |value| match value {
            value if value < least => Outcome::Breach,
            value if value < ample => Outcome::Caution,
            _ => Outcome::Pass,
        });
        // The lower, the nearer to the limit.
        let (used, slack) = found.used;
        Self { used: (-used, slack), ..found }
    }

    fn allows(&self, outcome: Outcome) -> bool {
        self.outcomes.0 <= outcome && outcome <= self.outcomes.1
    }
}

/// No limit is passed on an input that is planned, whatever the plan's checks say.
pub(super) fn keeps_limit(
    plan: &Plan,
    input: &AuditedInput,
    rule: CheckRule,
    judged: &[Judged],
) -> Audited {
    if input.standing == Standing::Stays {
        return Ok(());
    }
    if let Some(found) = judged.iter().find(|j| j.outcomes.0 == Outcome::Breach) {
        let figure = |f: Option<f64>| f.map_or("none".to_owned(), |f| format!("{f:.3}"));
        let (value, limit) = (figure(found.value), figure(found.limit));
        let unit = unit_of(rule).symbol();
        return Err(AuditError::Broken(format!(
            "{} is breached: {value} {unit} against {limit} {unit}",
            named(rule, input, found.string)
        )));
    }
    let mut checks = plan.state.checks.iter().filter(|c| c.at == input.at && c.rule == rule);
    let said = checks.find(|c| c.outcome == Outcome::Breach);
    ensure(said.is_none(), || {
        let (string, note) = said.map_or((None, ""), |c| (c.string, c.note.as_str()));
        format!("{} is breached as the plan itself says: {note}", named(rule, input, string))
    })
}

/// `cold_voc` of input 1 of shed in string 2.
fn named(rule: CheckRule, input: &AuditedInput, string: Option<usize>) -> String {
    let string = string.map_or(String::new(), |s| format!(" in string {}", s + 1));
    format!("`{}` of {}{string}", rule.name(), input.name)
}

/// Holds the plan's check of a rule on an input against what the audit finds there.
pub(super) fn compare(
    plan: &Plan,
    input: &AuditedInput,
    rule: CheckRule,
    judged: &[Judged],
) -> Audited {
    let what = |string| named(rule, input, string);
    let mut checks = plan.state.checks.iter().filter(|c| c.at == input.at && c.rule == rule);
    let (check, more) = (checks.next(), checks.next());
    ensure(more.is_none() && check.is_some() != judged.is_empty(), || {
        format!("{} is checked where it should not be, twice, or not at all", what(None))
    })?;
    let Some(check) = check else { return Ok(()) };
    ensure(check.unit == unit_of(rule), || {
        format!("{} is given in {}", what(None), check.unit.symbol())
    })?;
    let worst = judged.iter().fold((Outcome::Pass, Outcome::Pass), |(mildest, gravest), j| {
        (mildest.max(j.outcomes.0), gravest.max(j.outcomes.1))
    });
    ensure(worst.0 != Outcome::Unknown || check.outcome == Outcome::Unknown, || {
        format!("{} lacks a label figure, but is `{}`", what(None), check.outcome.name())
    })?;
    ensure(worst.0 <= check.outcome && check.outcome <= worst.1, || {
        format!(
            "{} is called `{}`, derived again it is `{}`",
            what(None),
            check.outcome.name(),
            worst.0.name()
        )
    })?;
    agrees(check, judged, what)
}

/// Are the figures those of the string, or of a panel in it, that is nearest to its limit?
fn agrees(check: &Check, judged: &[Judged], what: impl Fn(Option<usize>) -> String) -> Audited {
    let unit = check.unit.symbol();
    let same = || judged.iter().filter(|j| j.string == check.string && j.allows(check.outcome));
    let first = same().next();
    let Some(first) = first else {
        return Err(AuditError::Broken(format!("{} is not so there", what(check.string))));
    };
    let close = |j: &Judged| match (check.value, j.value) {
        // Written so that NaN disagrees.
        (Some(claimed), Some(value)) => (claimed - value).abs() <= j.tolerance,
        (claimed, value) => claimed == value,
    };
    // Where a figure may as well be none, its limit may be either, too.
    let open = |j: &Judged| j.tolerance == f64::INFINITY;
    let near = |j: &&Judged| open(j) || (close(j) && j.limit == check.limit);
    let nearest = |a: &&Judged, b: &&Judged| a.used.0.total_cmp(&b.used.0);
    let Some(named) = same().filter(near).max_by(nearest) else {
        let figure = |f: Option<f64>| f.unwrap_or(f64::NAN);
        let figures = (figure(check.value), figure(first.value));
        if !close(first) {
            agree(|| what(check.string), figures, first.tolerance, unit)?;
        }
        let figures = (figure(check.limit), figure(first.limit));
        return agree(|| format!("limit of {}", what(check.string)), figures, 0.0, unit);
    };
    let nearer = |j: &&Judged| {
        let (used, slack) = (j.used.0 - named.used.0, j.used.1 + named.used.1);
        j.outcomes == (check.outcome, check.outcome) && used > slack + 1e-5 * named.used.0.abs()
    };
    match judged.iter().find(nearer) {
        None => Ok(()),
        Some(j) => Err(AuditError::Broken(format!(
            "{} is nearer to its limit than what the plan names",
            what(j.string)
        ))),
    }
}

fn unit_of(rule: CheckRule) -> Unit {
    match rule {
        CheckRule::ColdVoc | CheckRule::SystemVoltage | CheckRule::StartVoltage => Unit::Volts,
        CheckRule::HotWindow => Unit::Percent,
        CheckRule::InputPower | CheckRule::ChargeLimit => Unit::Watts,
        CheckRule::StringPorts => Unit::Strings,
        CheckRule::InputCurrent
        | CheckRule::IdleReverseCurrent
        | CheckRule::FaultReverseCurrent
        | CheckRule::StringFuse
        | CheckRule::BatteryCharge => Unit::Amps,
    }
}
