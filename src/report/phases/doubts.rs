//! Other ways, what if, and what is proven, in sentences.

use super::words::{SAME, Teller};
use crate::plan::{
    Aim, Brings, Cancelled, Foil, FoilKind, PhaseStep, SoldOut, Substitute, Totals, Touch,
};
use crate::report::layout::GLUE;
use crate::report::numbers::{fixed, plain};
use crate::report::words::listed;
use crate::units::Watts;

/// A gap below this is nothing.
const NO_GAP: f64 = 0.000_05;

impl Teller<'_> {
    /// What a way is called.
    pub(super) fn foil(&self, kind: FoilKind) -> &'static str {
        match kind {
            FoilKind::Greedy => "each phase by itself",
            FoilKind::AtOnce => "nothing until the last",
        }
    }

    /// What another way would lose.
    pub(super) fn lost(&self, foil: &Foil) -> String {
        let (plan, other) = (&self.phased.totals, &foil.totals);
        let mut against = Vec::new();
        let mut in_favour = Vec::new();
        let brings = |of: &Totals| Brings { watt_years: of.watt_years, energy: of.energy };
        let less = brings(plan) + -1.0 * brings(other);
        let mut weigh = |difference: f64, said: String| {
            if difference >= SAME {
                against.push(said);
            } else if difference <= -SAME {
                in_favour.push(said);
            }
        };
        let side = |x: f64| if x > 0.0 { "less" } else { "more" };
        let sought = self.sought(less);
        weigh(sought, format!("{} {}", self.brings(sought.signum() * less), side(sought)));
        let money = other.money - plan.money;
        let side = |x: f64| if x > 0.0 { "more" } else { "less" };
        weigh(money, format!("{} {} spent", self.money(money.abs()), side(money)));
        let joints = other.joints.total() as f64 - plan.joints.total() as f64;
        let side = if joints > 0.0 { "more" } else { "fewer" };
        let n = joints.abs() as usize;
        let joints_said = format!("{n} {side} {}", if n == 1 { "joint" } else { "joints" });
        weigh(joints, joints_said);
        if !other.idle.is_empty() {
            against.push(format!("{} bought and idle in the end", self.some(&other.idle)));
        }
        let way = match foil.kind {
            FoilKind::Greedy => "Whoever takes each phase by itself",
            FoilKind::AtOnce => "Whoever waits and builds the end state at once",
        };
        match (against.is_empty(), in_favour.is_empty()) {
            (true, true) => format!("{way} ends the same."),
            (false, true) => format!("{way} has {}.", listed(&against)),
            (true, false) => format!("{way} has {}.", listed(&in_favour)),
            (false, false) => {
                format!("{way} has {}, and in return {}.", listed(&against), listed(&in_favour))
            }
        }
    }

    /// What if a phase and all after it never come?
    pub(super) fn cancelled(&self, cancelled: &Cancelled) -> String {
        let comes = if cancelled.phase + 1 < self.phased.steps.len() {
            " and those after it never come"
        } else {
            " never comes"
        };
        let mut said = format!(
            "If {}{comes}: {} stay, {} less than planned.",
            self.phase(cancelled.phase),
            self.scale.watts(cancelled.watts),
            self.brings(cancelled.lost)
        );
        if self.sought(cancelled.regret) >= SAME {
            said +=
                &format!(" Had one known, {} more were to be had.", self.brings(cancelled.regret));
        } else {
            said += " Nothing done before was wrong for that.";
        }
        if !cancelled.idle.is_empty() {
            said += &format!(" {} then stand idle", self.some(&cancelled.idle));
            said += &match cancelled.idle_money {
                money if money > 0.0 => format!(" ({} spent).", self.money(money)),
                _ => ".".to_owned(),
            };
        } else if cancelled.idle_money > 0.0 {
            said += &format!(
                " What was bought ahead for {} is then for nothing.",
                self.money(cancelled.idle_money)
            );
        }
        said
    }

    /// What if a kind is sold out?
    pub(super) fn sold_out(&self, sold_out: &SoldOut) -> String {
        let mut said = format!(
            "If {} cannot be had any more in {} ({} wanted): ",
            self.kind(sold_out.kind),
            self.phase(sold_out.phase),
            sold_out.count
        );
        said += &match sold_out.lost {
            Some(lost) if self.sought(lost) >= SAME => {
                format!("{} less by the best way found without it.", self.brings(lost))
            }
            Some(_) => "nothing is lost by the best way found without it.".to_owned(),
            None => "no way on was found that keeps every limit.".to_owned(),
        };
        let substitute = |s: &Substitute| {
            let change = self.brings(s.change);
            let sign = if change.starts_with('-') { "" } else { "+" };
            format!("{} ({sign}{change})", self.kind(s.kind))
        };
        let fitting: Vec<String> = sold_out.substitutes.iter().map(substitute).collect();
        said += &if fitting.is_empty() {
            " No other kind of the file keeps every limit in its places.".to_owned()
        } else {
            format!(" In its places would fit: {}.", listed(&fitting))
        };
        said
    }

    /// What is proven.
    pub(super) fn proof(&self) -> String {
        let proof = &self.phased.proof;
        let pools: Vec<String> = proof.pools.iter().map(ToString::to_string).collect();
        let of = format!("best of the ways through {} wirings met", listed(&pools));
        if proof.proven && proof.gap <= NO_GAP {
            return format!("Nothing better exists ({of}; the bound over all phases is reached).");
        }
        let percent = (proof.gap * 1e4 - 1e-9).ceil() / 100.0;
        let bound = format!("within {}{GLUE}% of the best there can be", fixed(percent, 2));
        if proof.proven {
            format!("Proven {bound} ({of}).")
        } else {
            format!("Best found, {bound} for these controllers ({of}); more is not proven.")
        }
    }

    /// How the plan was chosen.
    pub(super) fn objective(&self) -> String {
        let worth = |worth: Option<Watts>, of: &str| {
            worth.map(|w| {
                format!(", less {}{GLUE}W over all the time for each {of}", plain(w.watts(), 2))
            })
        };
        let weighed: String = [
            worth(self.phased.joint_worth, "joint"),
            worth(self.phased.money_worth, "unit of money"),
        ]
        .into_iter()
        .flatten()
        .collect();
        let strings = match self.phased.touch {
            Touch::None => "strings that stand are not touched; ",
            Touch::Extend => "strings that stand stay together; ",
            Touch::Free => "",
        };
        let stays = match self.phased.money_worth {
            Some(_) => "what was bought may be left idle later where it has paid before",
            None => "what was bought stays wired",
        };
        let what = match self.phased.aim {
            Aim::Watts => "watts at full sun",
            Aim::Year | Aim::WorstMonth => "energy in a year, behind the controllers' outputs,",
        };
        format!(
            "Over all phases together: most {what} less a small charge for each panel wired, \
             times the years that each phase counts{weighed}; {stays}; {strings}{}every phase keeps every limit.",
            self.left_over()
        )
    }

    /// What becomes of what a budget leaves over, where there are budgets before the last phase.
    fn left_over(&self) -> &'static str {
        let Some((_, earlier)) = self.phased.steps.split_last() else { return "" };
        let left = |s: &&PhaseStep| s.budget.is_some();
        if !earlier.iter().any(|s| left(&s)) {
            ""
        } else if earlier.iter().filter(left).all(|s| s.carried_on.is_some()) {
            "what a budget leaves over goes on to the next phase; "
        } else if earlier.iter().any(|s| s.carried_on.is_some()) {
            "what a budget leaves over goes on only where the file says `carry`; "
        } else {
            "what a budget leaves over lapses; "
        }
    }
}
