//! What would help: every single change after which a kind is worth wiring, from the smallest.

use super::change::{Refit, Row, next_current, next_voltage};
use super::found::Found;
use super::gain::Gain;
use super::own_controller::class_in_words;
use super::terms::Terms;
use super::worth::{Worth, standing};
use crate::model::{BatteryBank, KindIdx, Output, Spare};
use crate::patterns::Bench;
use crate::plan::Help;
use crate::units::Watts;

/// Most panels of the same kind that are asked for.
const MOST_MORE: usize = 4;

impl Worth<'_> {
    /// Single changes that let a kind's spares in, from the smallest.
    pub(super) fn helps(&self, kind: KindIdx, offered: usize) -> Vec<Help> {
        let controller = self.bench.controller();
        let more = self.more_of_it(kind, offered);
        let port = self.help(
            "one_more_port",
            format!(
                "a place for one more string on the combiner ({} now)",
                controller.string_ports
            ),
            self.row_gain(Row::Port, kind),
        );
        let blocks = self.help(
            "larger_blocks",
            format!("blocks of up to {} panels", self.desk.installation.site.block_max + 1),
            self.refit_gain(Refit::LargerBlocks, kind, self.at_hand(kind)),
        );
        let diodes = self.help(
            "blocking_diodes",
            "a blocking diode on each string".to_owned(),
            self.refit_gain(Refit::Diodes, kind, self.at_hand(kind)),
        );
        let voltage = next_voltage(controller.max_pv).and_then(|next| {
            let words = format!("a controller rated for {:.0} V", next.volts());
            self.help(
                "higher_voltage",
                words,
                self.refit_gain(Refit::NextVoltage, kind, self.at_hand(kind)),
            )
        });
        let current = controller.max_pv_current.and_then(next_current).and_then(|next| {
            let words = format!("an input rated for {:.0} A", next.amps());
            self.help("higher_current", words, self.row_gain(Row::NextCurrent, kind))
        });
        let battery = self.desk.installation.site.battery_charge.and_then(|limit| {
            let words = format!("a battery that takes more than {} A", limit.amps());
            self.help("larger_battery", words, self.row_gain(Row::AnyCharge, kind))
        });
        let first = [more, port, blocks, diodes, voltage, current, battery].into_iter().flatten();
        first.chain(self.own_places(self.offer(kind, offered))).collect()
    }

    /// An input, or a small controller, that panels of one kind would have for themselves.
    pub(super) fn own_places(&self, panels: Spare) -> Vec<Help> {
        let kind = panels.kind;
        let alone = |refit: Refit| {
            let mut changed = refit.apply(self.desk.installation, self.planned.at, kind)?;
            // Idle installed panels are no spares yet.
            changed.spares = vec![panels.clone()];
            let enough = self.charge(kind);
            self.relisted(&changed, refit, |session, terms| {
                let found = self.solve(session, terms, &[]).ok()?;
                (found.sought >= enough).then(|| found.beyond(None))
            })
        };
        let input =
            self.help("own_input", "an input of its own".to_owned(), alone(Refit::OwnInput));
        [input, self.own_controller(panels)].into_iter().flatten().collect()
    }

    /// The class of small controller that would carry panels of one kind.
    fn own_controller(&self, panels: Spare) -> Option<Help> {
        let Output::Battery(bank) = self.bench.controller().output else { return None };
        let classes = self.desk.own_classes(bank, &[panels]);
        let class = classes.first()?;
        let words = format!(
            "a small controller of its own on the same battery ({})",
            class_in_words(class)
        );
        Some(Help { change: "own_controller", words, unlocks: class.watts, unlocks_energy: None })
    }

    /// So many of a kind's spares, wherever they may go.
    fn offer(&self, kind: KindIdx, count: usize) -> Spare {
        let own = self.desk.installation.spares.iter().find(|s| s.kinds().contains(&kind));
        own.map_or_else(|| standing(kind, count), |spare| Spare { count, ..spare.clone() })
    }

    fn row_gain(&self, row: Row, kind: KindIdx) -> Option<Gain> {
        let terms = Terms::of(self.bench);
        let moved = row.apply(&terms, self.desk.installation, self.planned.at)?;
        self.gain(self.session, &moved, kind, self.at_hand(kind))
    }

    /// The smallest number of further panels of the same kind that makes all of them worth wiring.
    fn more_of_it(&self, kind: KindIdx, offered: usize) -> Option<Help> {
        let richer = self.desk.installation.with_spares(kind, offered + MOST_MORE);
        let bench = Bench::new(&richer, self.desk.catalog, self.planned.at);
        let session = super::level::Session::new(&bench, self.question);
        let terms = Terms::of(&bench);
        (1..=MOST_MORE).find_map(|more| {
            let all = offered + more;
            let gain = self.gain(
                &session,
                &terms.with_spares(&bench, kind, all),
                kind,
                self.at_hand(kind),
            )?;
            let n = if more == 1 { "one".to_owned() } else { more.to_string() };
            self.help("more_of_it", format!("{n} more of it, {all} in all"), Some(gain))
        })
    }

    /// The next usual output rating, where the output clips.
    pub(super) fn next_charge(&self, best: &Found) -> Vec<Help> {
        let Output::Battery(BatteryBank { charge_limit: Some(limit), .. }) =
            self.bench.controller().output
        else {
            return Vec::new();
        };
        let volts = best.passed / limit.amps();
        next_current(limit)
            .map(|next| {
                let gain = (next.amps() * volts).min(best.watts) - best.passed;
                let words = format!("a controller that charges with {:.0} A", next.amps());
                Help { change: "higher_charge", words, unlocks: Watts(gain), unlocks_energy: None }
            })
            .into_iter()
            .collect()
    }
}
