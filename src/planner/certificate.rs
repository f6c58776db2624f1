//! The certificate of nothing: the best plan that does have the panel, and what binds there.

use std::borrow::Cow;

use super::change::{Refit, Row};
use super::columns::installed_array;
use super::found::Found;
use super::gain::Gain;
use super::level::Session;
use super::terms::Terms;
use super::verdict;
use super::worth::{Worth, count_of};
use crate::electrical::{Catalog, cold_v_oc, nameplate_string};
use crate::model::{ArrayWiring, Element, Installation, KindIdx, PanelString};
use crate::patterns::{Bench, Screening};
use crate::plan::{Binding, Cause, Certificate, Unit, charging_flows};
use crate::units::{Amps, Watts};

impl Worth<'_> {
    /// The best plan with one more panel of a kind than the best plan of all, and what binds there;
    /// the nearest misses if there is no such plan.
    pub(super) fn certificate(
        &self,
        kind: KindIdx,
        best: &Found,
    ) -> Result<Certificate, Option<Screening>> {
        let terms = Terms::of(self.bench);
        let one_more = self.count(&best.array, kind) + 1;
        let forced = self.solve(self.session, &terms.forcing(self.bench, kind, one_more), &[])?;
        let change = forced.beyond(Some(best));
        Ok(Certificate {
            binding: self.binding(kind, &terms, &forced),
            watts: Watts(forced.watts),
            change: change.watts(),
            change_energy: change.energy(self.question.season),
            wiring: forced.array,
        })
    }

    /// That the battery's limit alone keeps more of a kind out, in words; `None` if it does not.
    pub(super) fn battery_in_the_way(&self, kind: KindIdx) -> Option<String> {
        let (installation, catalog) = (self.desk.installation, self.desk.catalog);
        let terms = Terms::of(self.bench);
        let moved = Row::AnyCharge.apply(&terms, installation, self.planned.at)?;
        let (gain, array) = self.gain_shown(self.session, &moved, kind, self.wired(kind))?;
        let shown = self.measure(installation, catalog, array);
        Some(verdict::cause_in_words(&self.row_binding(Row::AnyCharge, &shown, gain)))
    }

    /// The one limit whose lifting alone, or the one figure whose matching alone, lets the panel in.
    fn binding(&self, kind: KindIdx, terms: &Terms, forced: &Found) -> Option<Binding> {
        let (installation, at) = (self.desk.installation, self.planned.at);
        let rows = [Row::Port, Row::AnyCurrent, Row::AnyPower, Row::AnyCharge]
            .into_iter()
            .find_map(|row| {
                let moved = row.apply(terms, installation, at)?;
                let gain = self.gain(self.session, &moved, kind, self.wired(kind))?;
                Some(self.row_binding(row, forced, gain))
            });
        rows.or_else(|| {
            [Refit::AnyRoom, Refit::NextVoltage, Refit::NoFloor, Refit::AnyReverse]
                .into_iter()
                .find_map(|refit| {
                    let installation =
                        refit.apply(self.desk.installation, self.planned.at, kind)?;
                    let base = self.wired(kind);
                    let (gain, array) = self.relisted(&installation, refit, |session, terms| {
                        self.gain_shown(session, terms, kind, base)
                    })?;
                    Some(self.refit_binding(refit, kind, gain, &array))
                })
        })
        .or_else(|| self.mismatch(kind, forced))
    }

    fn bound_by(&self, cause: Cause, figures: (f64, f64, Unit), gain: Gain) -> Binding {
        let (value, limit, unit) = figures;
        let unlocks_energy = gain.energy(self.question.season);
        Binding { cause, value, limit, unit, unlocks: gain.watts(), unlocks_energy }
    }

    fn row_binding(&self, row: Row, forced: &Found, gain: Gain) -> Binding {
        let controller = self.bench.controller();
        let kinds = &self.desk.installation.kinds;
        let factor = self.desk.installation.site.isc_factor;
        let i_sc: Amps =
            forced.array.strings.iter().map(|s| crate::electrical::string_i_sc(s, kinds)).sum();
        let label = crate::electrical::label_watts(&forced.array, kinds);
        let (cause, value, limit, unit) = match row {
            Row::Port => (
                Cause::NoPort,
                controller.string_ports as f64 + 1.0,
                controller.string_ports as f64,
                Unit::Strings,
            ),
            Row::AnyCurrent | Row::NextCurrent => (
                Cause::InputCurrent,
                i_sc.amps() * factor,
                controller.max_pv_current.map_or(0.0, Amps::amps),
                Unit::Amps,
            ),
            Row::AnyPower => (
                Cause::InputPower,
                label.watts(),
                Terms::of(self.bench).power.unwrap_or_default(),
                Unit::Watts,
            ),
            Row::AnyCharge => {
                let mut wiring = self.desk.installation.installed.clone();
                for input in wiring.iter_mut().filter(|w| w.at == self.planned.at) {
                    input.array = forced.array.clone();
                }
                let flows = charging_flows(self.desk.installation, &wiring);
                let flow: Amps = flows.into_iter().map(|(_, amps)| amps).sum();
                let limit = self.desk.installation.site.battery_charge.map_or(0.0, Amps::amps);
                (Cause::BatteryCharge, flow.amps(), limit, Unit::Amps)
            }
        };
        self.bound_by(cause, (value, limit, unit), gain)
    }

    /// Figures of the wiring that the lifted limit admits: of its strings with the panel the one
    /// that goes furthest beyond the limit.
    fn refit_binding(
        &self,
        refit: Refit,
        kind: KindIdx,
        gain: Gain,
        array: &ArrayWiring,
    ) -> Binding {
        let (kinds, site) = (&self.desk.installation.kinds, &self.desk.installation.site);
        let controller = self.bench.controller();
        let holding = || {
            let own = |k| self.desk.installation.alike(k, kind);
            array.strings.iter().filter(move |s| s.panels().any(own))
        };
        let (cause, value, limit, unit) = match refit {
            Refit::AnyRoom => {
                let (wanted, room) = self.fullest(array);
                (Cause::NoRoom, wanted as f64, room as f64, Unit::Panels)
            }
            Refit::NextVoltage => {
                let cold = |s: &PanelString| cold_v_oc(s, kinds, site.coldest).v_oc.volts();
                let highest = holding().map(cold).fold(0.0, f64::max);
                (Cause::ColdVoltage, highest, controller.max_pv.volts(), Unit::Volts)
            }
            Refit::NoFloor => {
                let volts = |s: &PanelString| nameplate_string(s, kinds).v.volts();
                let lowest = holding().map(volts).fold(f64::INFINITY, f64::min);
                (Cause::HotWindow, lowest, controller.hold_range().0.volts(), Unit::Volts)
            }
            _ => {
                let i_sc = |s: &PanelString| crate::electrical::string_i_sc(s, kinds).amps();
                let all: f64 = array.strings.iter().map(i_sc).sum();
                let smallest = array.strings.iter().map(i_sc).fold(f64::INFINITY, f64::min);
                let rated = array.panels().filter_map(|k| kinds[k.0].max_fuse).reduce(Amps::min);
                let fed = 1.25 * (all - smallest);
                (Cause::ReverseCurrent, fed, rated.map_or(0.0, Amps::amps), Unit::Amps)
            }
        };
        self.bound_by(cause, (value, limit, unit), gain)
    }

    /// Panels that an array has put up on the plane where it goes furthest beyond the room, and the room.
    fn fullest(&self, array: &ArrayWiring) -> (usize, usize) {
        let site = self.desk.installation;
        let own = installed_array(self.bench);
        let put_up = |p: usize| -> usize {
            let here = site.spares.iter().flat_map(|s| &s.places).filter(|k| {
                site.kind(**k).placed.as_ref().is_some_and(|placed| placed.plane.0 == p)
            });
            here.map(|k| count_of(array, *k).saturating_sub(count_of(own, *k))).sum()
        };
        let planes = site.site.sun.planes.iter().enumerate();
        let rooms = planes.filter_map(|(p, plane)| Some((put_up(p), plane.room?)));
        rooms.max_by_key(|(wanted, room)| *wanted as isize - *room as isize).unwrap_or((0, 0))
    }

    /// Matches the panel's current to its string, or its voltage to the bus, and looks which lets it in.
    fn mismatch(&self, kind: KindIdx, forced: &Found) -> Option<Binding> {
        let site = self.desk.installation;
        let kinds = &site.kinds;
        let own = |k: &KindIdx| site.alike(*k, kind);
        let string = forced.array.strings.iter().find(|s| s.panels().any(|k| own(&k)))?;
        let placed = string.panels().find(own)?;
        let current = match_current(string, placed, site).map(|target| {
            let i_mp = site.kind(placed).design_i_mp().amps();
            (Cause::Current, Refit::Currents(target / i_mp), i_mp, target, Unit::Amps)
        });
        let voltage = match_voltage(string, forced, site).map(|target| {
            let v = nameplate_string(string, kinds).v.volts();
            let refit = Refit::Voltages(target / v);
            (Cause::Voltage, refit, v, target, Unit::Volts)
        });
        current.into_iter().chain(voltage).find_map(|(cause, refit, value, limit, unit)| {
            let gain = self.refit_gain(refit, kind, self.wired(kind))?;
            Some(self.bound_by(cause, (value, limit, unit), gain))
        })
    }

    /// What panels of a kind beyond the first `base` bring after a change that needs new candidates.
    pub(super) fn refit_gain(&self, refit: Refit, kind: KindIdx, base: usize) -> Option<Gain> {
        let changed = refit.apply(self.desk.installation, self.planned.at, kind)?;
        self.relisted(&changed, refit, |session, terms| self.gain(session, terms, kind, base))
    }

    /// Lists the candidates of a changed installation and asks something of them.
    pub(super) fn relisted<T>(
        &self,
        changed: &Installation,
        refit: Refit,
        ask: impl FnOnce(&Session, &Terms) -> Option<T>,
    ) -> Option<T> {
        let catalog = refitted(refit, changed, self.desk.catalog)?;
        let bench = Bench::new(changed, &catalog, self.planned.at);
        let session = Session::new(&bench, self.question);
        ask(&session, &Terms::of(&bench))
    }
}

/// The kinds of a changed installation, fitted again where their labels have changed.
pub(super) fn refitted<'c>(
    refit: Refit,
    changed: &Installation,
    catalog: &'c Catalog,
) -> Option<Cow<'c, Catalog>> {
    if refit.alters_label() {
        return Catalog::fit(&changed.kinds).ok().map(Cow::Owned);
    }
    Some(Cow::Borrowed(catalog))
}

/// Rated current of the other elements of a string, if it differs from the panel's.
fn match_current(string: &PanelString, kind: KindIdx, site: &Installation) -> Option<f64> {
    let i_mp = |e: &Element| -> f64 {
        e.members().iter().map(|k| site.kind(*k).design_i_mp().amps()).sum()
    };
    let others = string
        .elements()
        .iter()
        .filter(|e| !e.members().contains(&kind))
        .map(i_mp)
        .reduce(f64::min)?;
    let own = site.kind(kind).design_i_mp().amps();
    ((own / others - 1.0).abs() > 0.005).then_some(others)
}

/// Rated voltage of the other strings, if it differs from the panel's string's.
fn match_voltage(string: &PanelString, forced: &Found, site: &Installation) -> Option<f64> {
    let volts = |s: &PanelString| nameplate_string(s, &site.kinds).v.volts();
    let others = other_strings(&forced.array, string).map(volts).reduce(f64::min)?;
    ((volts(string) / others - 1.0).abs() > 0.005).then_some(others)
}

fn other_strings<'a>(
    array: &'a ArrayWiring,
    string: &'a PanelString,
) -> impl Iterator<Item = &'a PanelString> {
    array.strings.iter().filter(move |s| *s != string)
}
