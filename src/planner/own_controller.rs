//! A controller of its own for panels that are left over: which class, and what they would give there.
//!
//! Ratings alone: the smallest usual ones that carry the panels. The ladders are common practice, no
//! source.

use super::change::{CURRENT_RATINGS, VOLTAGE_RATINGS};
use super::desk::Desk;
use super::level::{LevelAnswer, Pick, Session};
use super::terms::Terms;
use super::verdict::counted_kinds;
use crate::energy::EnergyModel;
use crate::model::{
    BatteryBank, Controller, ControllerType, InputRef, InputWiring, Installation, KindIdx, Output,
    Spare,
};
use crate::patterns::Bench;
use crate::plan::{
    ControllerClass, Evaluator, OwnController, SpareAnswer, State, Touch, Verdict, charging_flows,
};
use crate::solve::Effort;
use crate::units::{Amps, KilowattHours, Volts, Watts};

/// Strings on a small controller: two, joined by one pair of branch connectors (common practice, no
/// source).
const PORTS: usize = 2;
/// Highest rating of what is called small here, up to 24 V of battery and above. \[V\] (common
/// practice, no source)
const SMALL: (f64, f64) = (150.0, 250.0);
/// A lower rating that gives this share of the best is enough.
const ENOUGH: f64 = 0.98;
/// Volts above the nominal from which a small controller tracks (common practice, no source).
const FLOOR: Volts = Volts(2.0);
/// Factor on short-circuit current for a PWM controller, which passes it on (US NEC 690.8(A), from
/// secondary sources).
const PWM_FACTOR: f64 = 1.25;
/// A PWM controller is spoken of where it gives this share of what MPPT gives.
const WORTH_A_WORD: f64 = 0.6;
/// The one input of the one controller that is left.
const ALONE: InputRef = InputRef { controller: 0, input: 1 };

impl Desk<'_> {
    /// Classes of controllers that would carry some panels, MPPT first, each worth the panels' places.
    pub(super) fn own_classes(&self, bank: BatteryBank, panels: &[Spare]) -> Vec<ControllerClass> {
        let mppt = self.smallest(ControllerType::Mppt, bank, panels);
        let pwm = self.smallest(ControllerType::Pwm, bank, panels);
        let enough = mppt.as_ref().map_or(0.0, |c| c.watts.watts() * WORTH_A_WORD);
        mppt.into_iter().chain(pwm.filter(|c| c.watts.watts() >= enough)).collect()
    }

    /// The lowest usual voltage rating with which a controller carries the panels well.
    fn smallest(
        &self,
        controller_type: ControllerType,
        bank: BatteryBank,
        panels: &[Spare],
    ) -> Option<ControllerClass> {
        let top = if bank.nominal.volts() <= 24.0 { SMALL.0 } else { SMALL.1 };
        let ratings = VOLTAGE_RATINGS.into_iter().filter(|v| *v <= top);
        let classes: Vec<ControllerClass> =
            ratings.filter_map(|v| self.class(controller_type, Volts(v), bank, panels)).collect();
        let best = classes.iter().map(|c| c.watts.watts()).fold(0.0, f64::max);
        let class = classes.into_iter().find(|c| c.watts.watts() >= ENOUGH * best)?;
        Some(ControllerClass { energy: self.energy_on(&class, bank, panels), ..class })
    }

    /// What comes out of a controller of a class over a year.
    fn energy_on(
        &self,
        class: &ControllerClass,
        bank: BatteryBank,
        panels: &[Spare],
    ) -> Option<KilowattHours> {
        let bank = BatteryBank { charge_limit: Some(class.charge), ..bank };
        let site = self.alone(class.controller_type, class.max_pv, bank, panels);
        let model = EnergyModel::of(&site, self.catalog)?;
        let wiring = InputWiring { at: ALONE, array: class.wiring.clone() };
        Some(model.year(&[wiring]).out())
    }

    /// What panels give on a controller of one voltage rating; `None` if that is not worth their places.
    fn class(
        &self,
        controller_type: ControllerType,
        max_pv: Volts,
        bank: BatteryBank,
        panels: &[Spare],
    ) -> Option<ControllerClass> {
        if max_pv <= bank.nominal + FLOOR {
            return None;
        }
        let bank = BatteryBank { charge_limit: None, ..bank };
        let site = self.alone(controller_type, max_pv, bank, panels);
        let bench = Bench::new(&site, self.catalog, ALONE);
        let session = Session::new(&bench, self.question(Touch::Free));
        let effort = Effort { tie_nodes: 0, nodes_past_proof: 20, ..self.options.effort };
        let LevelAnswer::Found(level) =
            session.solve(&Terms::of(&bench), &[], effort, Pick::Highest)
        else {
            return None;
        };
        let wiring = InputWiring { at: ALONE, array: level.array };
        let evaluator = Evaluator::new(&site, self.catalog);
        let state = evaluator.input_state(&wiring);
        let watts = self.by_rule(state.power, state.nameplate);
        let charge: f64 = wiring.array.panels().map(|k| session.question.charge(&bench, k.0)).sum();
        if watts < charge {
            return None;
        }
        let amps = match controller_type {
            ControllerType::Mppt => watts / bank.charging_voltage().volts(),
            ControllerType::Pwm => {
                let i_sc = |s| crate::electrical::string_i_sc(s, &site.kinds).amps();
                PWM_FACTOR * wiring.array.strings.iter().map(i_sc).sum::<f64>()
            }
        };
        let charge = Amps(CURRENT_RATINGS.into_iter().find(|r| *r >= amps)?);
        let (battery, watts, energy) = (bank.nominal, Watts(watts), None);
        let wiring = wiring.array;
        Some(ControllerClass { controller_type, battery, max_pv, charge, wiring, watts, energy })
    }

    /// A site of nothing but one controller and the panels.
    fn alone(
        &self,
        controller_type: ControllerType,
        max_pv: Volts,
        bank: BatteryBank,
        panels: &[Spare],
    ) -> Installation {
        let mut site = self.installation.clone();
        let window =
            (controller_type == ControllerType::Mppt).then_some((bank.nominal + FLOOR, max_pv));
        site.site.battery_charge = None;
        site.controllers = vec![Controller {
            id: "own".to_owned(),
            controller_type,
            output: Output::Battery(bank),
            max_pv,
            window,
            max_pv_current: None,
            max_pv_power: None,
            n_inputs: 1,
            string_ports: PORTS,
            blocking_diodes: false,
            efficiency: None,
            spare: None,
        }];
        site.installed =
            vec![InputWiring { at: ALONE, array: crate::model::ArrayWiring::default() }];
        site.kept.clear();
        site.runs.clear();
        site.spares = panels.to_vec();
        site
    }

    /// For each kind that the best plan leaves over, and for all of them together, the controllers
    /// that would carry them on the battery of one input; nothing where it has none.
    pub(super) fn own_controllers(
        &self,
        at: InputRef,
        spares: &[SpareAnswer],
        best: &State,
    ) -> Vec<OwnController> {
        let Output::Battery(bank) = self.installation.controller(at).output else {
            return Vec::new();
        };
        let left: Vec<&SpareAnswer> = spares.iter().filter(|s| s.used < s.offered).collect();
        let mut places = Vec::new();
        for spare in &left {
            let panels: Vec<Spare> = self.left_over(spare, best).into_iter().collect();
            let beside = wired_in(spare);
            places.extend(self.own_controller(bank, panels, &beside, best));
        }
        if left.len() > 1 {
            let panels = left.iter().filter_map(|s| self.left_over(s, best)).collect();
            let together = self.own_controller(bank, panels, "", best);
            // What one kind alone gives says nothing new.
            let most = places.iter().filter_map(most_watts).fold(0.0, f64::max);
            places.extend(together.filter(|t| most_watts(t).is_some_and(|w| w > 1.02 * most)));
        }
        places
    }

    /// What a plan leaves over of a spare kind; with planes, as many as still find a place. `None`
    /// where none does.
    fn left_over(&self, answer: &SpareAnswer, best: &State) -> Option<Spare> {
        let installation = self.installation;
        let count = answer.offered - answer.used;
        let own = installation.spares.iter().find(|s| s.kind == answer.kind)?;
        if own.places.is_empty() {
            return Some(Spare { count, ..own.clone() });
        }
        let room = |k: &KindIdx| self.room_left(*k, best);
        let places: Vec<KindIdx> = own.places.iter().copied().filter(|k| room(k) > 0).collect();
        let count = count.min(places.iter().map(room).fold(0, usize::saturating_add));
        Some(Spare { kind: *places.first()?, count, price: own.price, places })
    }

    /// Room that a plan leaves on a kind's plane.
    fn room_left(&self, kind: KindIdx, best: &State) -> usize {
        let installation = self.installation;
        let plane_of = |k: KindIdx| installation.kind(k).placed.as_ref().map(|p| p.plane);
        let count = |wiring: &[InputWiring], k: KindIdx| {
            wiring.iter().flat_map(|w| w.array.panels()).filter(|p| *p == k).count()
        };
        let planned = best.wiring();
        let here = (0..installation.kinds.len())
            .map(KindIdx)
            .filter(|k| plane_of(*k).is_some() && plane_of(*k) == plane_of(kind));
        let put_up =
            here.map(|k| count(&planned, k).saturating_sub(count(&installation.installed, k)));
        let room = plane_of(kind).and_then(|p| installation.site.sun.planes[p.0].room);
        room.unwrap_or(usize::MAX).saturating_sub(put_up.sum())
    }

    fn own_controller(
        &self,
        bank: BatteryBank,
        left: Vec<Spare>,
        beside: &str,
        best: &State,
    ) -> Option<OwnController> {
        let classes = self.own_classes(bank, &left);
        let panels: Vec<(KindIdx, usize)> = left.iter().map(|s| (s.kind, s.count)).collect();
        let first = classes.first()?;
        let n_left: usize = panels.iter().map(|(_, n)| n).sum();
        let n_carried = first.wiring.panels().count();
        let who = counted_kinds(&panels, self.installation);
        let carried = if n_carried < n_left {
            format!("{n_carried} of these {n_left} panels ({who})")
        } else if n_left == 1 {
            format!("this panel ({who})")
        } else {
            format!("these {n_left} panels ({who})")
        };
        let whose = if n_left == 1 || n_carried == 1 { "its" } else { "their" };
        let mut words = format!(
            "{carried} on a controller of {whose} own, {} on the {:.0} V battery, would give {}",
            class_in_words(first),
            first.battery.volts(),
            gives(first)
        );
        if let Some(other) = classes.get(1) {
            words.push_str(&format!("; {} would give {}", class_in_words(other), gives(other)));
        }
        words.push_str(beside);
        words.push_str(&self.battery_beside(first, best));
        Some(OwnController { panels, classes, words })
    }

    /// What the battery's limit leaves for one more controller, where that is too little.
    fn battery_beside(&self, class: &ControllerClass, best: &State) -> String {
        let installation = self.installation;
        let same = installation.limited_battery().is_some_and(|v| v == class.battery);
        let Some(limit) = installation.site.battery_charge.filter(|_| same) else {
            return String::new();
        };
        let flows = charging_flows(installation, &best.wiring());
        let left = limit - flows.into_iter().map(|(_, amps)| amps).sum();
        let pushed = class.watts.watts() / class.battery.volts();
        if pushed.min(class.charge.amps()) <= left.amps() {
            return String::new();
        }
        format!(
            "; the battery takes at most {} A and {:.0} A of that are left, so it must be set to no \
             more",
            limit.amps(),
            left.amps().max(0.0).floor()
        )
    }
}

fn most_watts(place: &OwnController) -> Option<f64> {
    place.classes.first().map(|c| c.watts.watts())
}

/// What wiring one more of a kind in would change, to set beside.
fn wired_in(spare: &SpareAnswer) -> String {
    let Some(certificate) = &spare.certificate else {
        let none = "; wired in, none of them keeps the limits";
        return if spare.verdict == Verdict::Breaches { none.to_owned() } else { String::new() };
    };
    let change = certificate.change.watts();
    let one = if spare.offered - spare.used == 1 { "it" } else { "one of them" };
    if change <= -0.5 {
        format!("; wired in, {one} costs {:.0} W at best", -change)
    } else if change < 0.5 {
        format!("; wired in, {one} changes nothing at best")
    } else {
        format!("; wired in, {one} brings {change:.0} W at best")
    }
}

/// `MPPT of at least 75 V and 15 A`.
pub(super) fn class_in_words(class: &ControllerClass) -> String {
    let sort = match class.controller_type {
        ControllerType::Mppt => "MPPT",
        ControllerType::Pwm => "PWM",
    };
    format!("{sort} of at least {:.0} V and {:.0} A", class.max_pv.volts(), class.charge.amps())
}

fn gives(class: &ControllerClass) -> String {
    let year = class
        .energy
        .map_or_else(String::new, |e| format!(" ({:.0} kWh a year)", e.kilowatt_hours()));
    format!("{:.0} W{year}", class.watts.watts())
}
