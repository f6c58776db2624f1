//! What the meter would show on an array as it may really stand.

use std::rc::Rc;

use super::built::{BuiltString, Tracking, World};
use super::curves::{Curves, Sky};
use super::trial::LABEL_VOLTS;
use super::work::{Blocking, Bus};
use crate::electrical::Curve;
use crate::model::{ArrayReading, ControllerType, Installation, Spot};
use crate::units::Volts;

/// Battery voltage while it charges, at the least, against charging voltage: how far below its figure an
/// output limit may bite. (common practice, no source)
pub(in crate::plan) const LOW_BATTERY: f64 = 0.85;
/// Steps of a bisection along the falling flank of a curve.
const FLANK_STEPS: usize = 30;

/// Light and warmth of one set of readings as they were read. \[W/m²\], \[°C\]
#[derive(Debug, Clone, Copy)]
pub(super) struct SetSky {
    pub(super) irradiance: f64,
    pub(super) temp_cell: f64,
}

/// How far one look departs from what a world says of its set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shift {
    /// True light, as a factor.
    pub(super) sun: f64,
    /// True cell temperature, in kelvin more.
    pub(super) warmer: f64,
}

impl Shift {
    pub(super) const NONE: Self = Self { sun: 1.0, warmer: 0.0 };
}

/// A question about one set: which readings are there, on which inputs something works.
pub(super) struct Question<'a> {
    pub(super) installation: &'a Installation,
    pub(super) curves: &'a Curves<'a>,
    pub(super) sky: SetSky,
    pub(super) readings: &'a [ArrayReading],
    /// For each reading the index of its input.
    pub(super) inputs: &'a [usize],
}

impl Question<'_> {
    /// The sky over a world.
    pub(super) fn sky(&self, world: &World, shift: Shift) -> Sky {
        Sky::new(
            self.sky.irradiance * shift.sun * f64::from(world.sun) / 1000.0,
            self.sky.temp_cell + shift.warmer + f64::from(world.warmer) / 10.0,
        )
    }

    fn blocking(&self, input: usize) -> Blocking {
        let at = self.installation.installed[input].at;
        if self.installation.controller(at).blocking_diodes {
            Blocking::Diodes
        } else {
            Blocking::None
        }
    }

    pub(super) fn bus(&self, world: &World, input: usize, sky: Sky) -> Bus {
        let curves = world.joined(input).filter_map(|s| self.curves.chain(&s.chain, sky));
        Bus::new(curves, self.blocking(input))
    }

    /// Where an input is held; `near` picks the peak that is meant under a shifted sky. \[V\]
    pub(super) fn work_volts(
        &self,
        world: &World,
        input: usize,
        sky: Sky,
        near: Option<f64>,
    ) -> f64 {
        let bus = self.bus(world, input, sky);
        if bus.is_empty() {
            return 0.0;
        }
        let controller = self.installation.controller(self.installation.installed[input].at);
        let (lo, hi) = controller.hold_range();
        if controller.controller_type == ControllerType::Pwm {
            let held = near.or(self.read(input, Spot::WorkVolts)).unwrap_or(lo.volts());
            // A controller lets nothing back out of the battery: the array floats then.
            return if bus.current(held) > 0.0 { held } else { bus.v_oc() };
        }
        if let Some(near) = near {
            return match world.tracking[input] {
                // Floating or at a peak: both move a little with the sky.
                Tracking::Best | Tracking::OtherPeak(_) if near >= lo.volts() => {
                    bus.peak_near(near, lo.volts(), hi.volts())
                }
                Tracking::Best | Tracking::OtherPeak(_) => bus.v_oc(),
                Tracking::Held | Tracking::Below => near,
            };
        }
        let v_oc = bus.v_oc();
        let peaks = bus.peaks(lo.volts(), hi.volts());
        // An array that gives nothing in the window floats.
        let Some(best) = peaks.first().copied() else { return v_oc };
        match world.tracking[input] {
            Tracking::Best => self.clipped(world, input, sky, &bus, best).unwrap_or(best),
            Tracking::OtherPeak(n) => peaks.get(n + 1).copied().unwrap_or(best),
            Tracking::Held => self.beside(&bus, input, best, v_oc),
            Tracking::Below => {
                self.read(input, Spot::WorkVolts).map_or(best, |v| v.clamp(0.0, best))
            }
        }
    }

    /// Where an output limit holds the input, if it bites: as read, between the best point and what the
    /// limit can push it to.
    fn clipped(&self, world: &World, input: usize, sky: Sky, bus: &Bus, best: f64) -> Option<f64> {
        let at = self.installation.installed[input].at;
        let limit = LOW_BATTERY * self.installation.controller(at).clip_limit()?.watts();
        let power = |bus: &Bus, v: f64| v * bus.current(v);
        let (lo, hi) = self.installation.controller(at).hold_range();
        let others: f64 = (0..world.strings.len())
            .filter(|i| *i != input)
            .filter(|i| self.installation.installed[*i].at.controller == at.controller)
            .map(|i| self.bus(world, i, sky))
            .filter(|bus| !bus.is_empty())
            .filter_map(|bus| Some(power(&bus, *bus.peaks(lo.volts(), hi.volts()).first()?)))
            .sum();
        let left = (limit - others).max(0.0);
        if power(bus, best) <= left {
            return None;
        }
        let (mut near, mut far) = (best, bus.v_oc());
        for _ in 0..FLANK_STEPS {
            let mid = 0.5 * (near + far);
            if power(bus, mid) > left { near = mid } else { far = mid }
        }
        Some(self.read(input, Spot::WorkVolts).map_or(near, |v| v.clamp(best, near)))
    }

    /// Where a controller holds back that shows these volts, or else these amps. \[V\]
    fn beside(&self, bus: &Bus, input: usize, best: f64, v_oc: f64) -> f64 {
        match (self.read(input, Spot::WorkVolts), self.read(input, Spot::WorkAmps)) {
            (Some(v), _) => v.clamp(best, v_oc.max(best)),
            (None, Some(i)) => bus.voltage_at(i, best, v_oc.max(best)),
            (None, None) => 0.5 * (best + v_oc),
        }
    }

    fn read(&self, input: usize, spot: Spot) -> Option<f64> {
        let mut pairs = self.readings.iter().zip(self.inputs);
        pairs.find(|(r, i)| **i == input && r.spot == spot).map(|(r, _)| r.value)
    }

    /// The inputs on which something is read at work, as a world has them.
    pub(super) fn working(&self, world: &World) -> Vec<usize> {
        let mut inputs: Vec<usize> = self
            .readings
            .iter()
            .zip(self.inputs)
            .filter(|(r, _)| r.spot.is_at_work())
            .filter_map(|(r, input)| match r.spot.string() {
                Some(s) => world.strings[*input][s].on,
                None => Some(*input),
            })
            .collect();
        inputs.sort_unstable();
        inputs.dedup();
        inputs
    }

    /// What the meter shows at one spot, with each input at a voltage. \[V or A\]
    pub(super) fn value(
        &self,
        world: &World,
        (input, spot): (usize, Spot),
        sky: Sky,
        volts: impl Fn(usize) -> f64,
    ) -> f64 {
        let by_itself = |s: usize, of: fn(&Curve) -> f64| {
            self.curves.chain(&world.strings[input][s].chain, sky).map_or(0.0, |c| of(&c))
        };
        match spot {
            Spot::StringVoc(s) => by_itself(s, |c| c.v_oc().volts()),
            Spot::StringIsc(s) => by_itself(s, |c| c.current_at(Volts(0.0)).amps().abs()),
            Spot::StringAmps(s) => {
                let string = &world.strings[input][s];
                string.on.map_or(0.0, |on| self.string_amps(string, on, sky, volts(on)))
            }
            Spot::OpenVolts => {
                let bus = self.bus(world, input, sky);
                if bus.is_empty() { 0.0 } else { bus.v_oc() }
            }
            Spot::WorkVolts => volts(input),
            Spot::WorkAmps => self.bus(world, input, sky).current(volts(input)),
        }
    }

    fn string_amps(&self, string: &BuiltString, on: usize, sky: Sky, v: f64) -> f64 {
        let curve: Option<Rc<Curve>> = self.curves.chain(&string.chain, sky);
        curve.map_or(0.0, |c| self.blocking(on).current(&c, v))
    }

    /// What the panels' scatter in volts makes of a string's short-circuit current: nothing as a rule, much
    /// where panels are turned against each other. One standard deviation. \[A\]
    pub(super) fn short_scatter(&self, world: &World, (input, s): (usize, usize), sky: Sky) -> f64 {
        let chain = &world.strings[input][s].chain;
        let Some(curve) = self.curves.chain(chain, sky) else { return 0.0 };
        let panels = chain.elements.iter().filter_map(|e| e.first());
        let squares = panels.map(|p| self.curves.panel(*p, sky).v_oc().volts().powi(2));
        let off = LABEL_VOLTS * squares.sum::<f64>().sqrt();
        let at = |v: f64| curve.current_at(Volts(v)).amps();
        0.5 * (at(-off) - at(off))
    }
}
