//! Wirings that the site does not allow, told with true figures: what an optimiser answers that
//! ignores a rule.

use sungraft::model::{Element, InputWiring, Installation, KindIdx, Output, PanelString, Spare};
use sungraft::plan::{CheckRule, Outcome, Plan, Touch, charging_flows};
use sungraft::units::{Amps, Volts, Watts};

use crate::honest::{Honest, count};
use crate::random::Random;
use crate::refuses_all;
use crate::sites::{in_search_space, keeps_touch};

type Way = fn(&Honest, &mut Random) -> Option<Honest>;

/// An input with something wired that is not kept as it is.
fn wired(honest: &Honest, random: &mut Random) -> Option<usize> {
    let inputs = &honest.plan.state.inputs;
    let may =
        |k: &usize| !inputs[*k].strings.is_empty() && !honest.site.kept.contains(&inputs[*k].at);
    let wired: Vec<usize> = (0..inputs.len()).filter(may).collect();
    (!wired.is_empty()).then(|| wired[random.below(wired.len())])
}

/// A wiring with a breach, told as it is, called a pass, or not told at all.
fn hidden(mut honest: Honest, random: &mut Random) -> Honest {
    let checks = &mut honest.plan.state.checks;
    match random.below(3) {
        0 => {}
        1 => checks.iter_mut().for_each(|c| c.outcome = c.outcome.min(Outcome::Pass)),
        _ => checks.retain(|c| c.outcome != Outcome::Breach),
    }
    honest
}

fn with_spares(site: &mut Installation, kind: KindIdx, count: usize) {
    site.spares.push(Spare { kind, count, price: None, places: Vec::new() });
}

const STOCK: [(&str, Way); 4] = [
    ("a panel used twice", |honest, random| {
        let at = wired(honest, random)?;
        let kind = KindIdx(random.below(honest.site.kinds.len()));
        let mut wiring = honest.plan.state.wiring();
        let there = count(&honest.site.installed, kind) + honest.site.n_spare(kind);
        let more = there + 1 - count(&wiring, kind);
        let single = || Element::single(kind);
        let string = PanelString::new((0..more).map(|_| single()).collect());
        wiring[at].array.strings.push(string);
        Some(hidden(honest.rewired(&wiring), random))
    }),
    ("spares counted that are not there", |honest, random| {
        let used = |k: &KindIdx| {
            count(&honest.plan.state.wiring(), *k) > count(&honest.site.installed, *k)
        };
        let kinds: Vec<KindIdx> = (0..honest.site.kinds.len()).map(KindIdx).filter(used).collect();
        let kind = *kinds.get(random.below(kinds.len().max(1)))?;
        let mut fewer = honest.clone();
        fewer.site.spares.retain(|s| s.kind != kind);
        Some(fewer)
    }),
    ("a panel of no kind", |honest, random| {
        let at = wired(honest, random)?;
        let none = KindIdx(honest.site.kinds.len() + random.below(3));
        honest.with(|plan| {
            plan.state.inputs[at].strings[0].wiring = PanelString::new(vec![Element::single(none)]);
        })
    }),
    ("an input left out", |honest, random| {
        let at = random.below(honest.plan.state.inputs.len());
        honest.with(|plan| drop(plan.state.inputs.remove(at)))
    }),
];

#[test]
fn panels_that_are_not_there_are_refused() {
    refuses_all(&STOCK, 50);
}

/// Figure of a rule on the first input for which it is told.
fn figure(plan: &Plan, rule: CheckRule) -> Option<f64> {
    plan.state.checks.iter().find(|c| c.rule == rule)?.value
}

/// A limit that the wiring does not keep, set on every controller.
fn limited(
    honest: &Honest,
    random: &mut Random,
    rule: CheckRule,
    limit: impl Fn(&mut Installation, f64),
) -> Option<Honest> {
    let at = wired(honest, random)?;
    let own = honest.plan.state.inputs[at].at;
    let mut checks = honest.plan.state.checks.iter();
    let value = checks.find(|c| c.rule == rule && c.at == own)?.value?;
    let limit_value = value * random.between(0.5, 0.999);
    let changed = honest.on(|site| limit(site, limit_value));
    Some(hidden(changed, random))
}

const LIMITS: [(&str, Way); 9] = [
    ("too many panels in series", |honest, random| {
        let at = wired(honest, random)?;
        let (s, kind) = {
            let strings = &honest.plan.state.inputs[at].strings;
            let s = random.below(strings.len());
            (s, strings[s].wiring.panels().next()?)
        };
        let max = honest.site.controller(honest.plan.state.inputs[at].at).max_pv.volts();
        let n_more = 1 + (max / honest.site.kind(kind).label.v_oc.volts()) as usize;
        let mut wiring = honest.plan.state.wiring();
        let mut elements = wiring[at].array.strings[s].elements().to_vec();
        elements.extend((0..n_more).map(|_| Element::single(kind)));
        wiring[at].array.strings[s] = PanelString::new(elements);
        let mut stocked = honest.clone();
        with_spares(&mut stocked.site, kind, n_more);
        stocked.plan.touch = Touch::Free;
        Some(hidden(stocked.rewired(&wiring), random))
    }),
    ("the controller's highest voltage", |honest, random| {
        limited(honest, random, CheckRule::ColdVoc, |site, limit| {
            site.controllers.iter_mut().for_each(|c| c.max_pv = Volts(limit));
        })
    }),
    ("a label's system voltage", |honest, random| {
        limited(honest, random, CheckRule::SystemVoltage, |site, limit| {
            site.kinds.iter_mut().for_each(|k| k.max_system = Some(Volts(limit)));
        })
    }),
    ("the input's current", |honest, random| {
        limited(honest, random, CheckRule::InputCurrent, |site, limit| {
            site.controllers.iter_mut().for_each(|c| c.max_pv_current = Some(Amps(limit)));
        })
    }),
    ("the input's power", |honest, random| {
        let at = wired(honest, random)?;
        let label = honest.plan.state.inputs[at].label;
        let limit = label * random.between(0.5, 0.999);
        let changed = honest
            .on(|site| site.controllers.iter_mut().for_each(|c| c.max_pv_power = Some(limit)));
        Some(hidden(changed, random))
    }),
    ("ports", |honest, random| {
        let at = wired(honest, random)?;
        let n = honest.plan.state.inputs[at].strings.len();
        let changed =
            honest.on(|site| site.controllers.iter_mut().for_each(|c| c.string_ports = n - 1));
        Some(hidden(changed, random))
    }),
    ("no fuse fits", |honest, random| {
        let at = wired(honest, random)?;
        (honest.plan.state.inputs[at].strings.len() > 1).then_some(())?;
        figure(&honest.plan, CheckRule::FaultReverseCurrent)?;
        let low = Amps(random.between(0.1, 0.9));
        let changed = honest.on(|site| site.kinds.iter_mut().for_each(|k| k.max_fuse = Some(low)));
        Some(hidden(changed, random))
    }),
    ("the start voltage", |honest, random| {
        limited(honest, random, CheckRule::StartVoltage, |site, value| {
            let start = Volts(value / 0.4);
            for controller in &mut site.controllers {
                if let Output::Battery(bank) = &mut controller.output {
                    bank.charge = Some(start);
                }
            }
        })
    }),
    ("the battery's charging current", |honest, random| {
        let wiring = honest.plan.state.wiring();
        let flow: f64 = charging_flows(&honest.site, &wiring).iter().map(|f| f.1.amps()).sum();
        (flow > 0.1).then_some(())?;
        let limit = Amps(flow * random.between(0.3, 0.999));
        let changed = honest.on(|site| site.site.battery_charge = Some(limit));
        Some(hidden(changed, random))
    }),
];

#[test]
fn limits_that_are_ignored_are_refused() {
    refuses_all(&LIMITS, 50);
}

/// Two strings joined end to end.
fn joined(wiring: &mut [InputWiring], at: usize) -> Option<()> {
    let strings = &mut wiring[at].array.strings;
    (strings.len() > 1).then_some(())?;
    let (second, first) = (strings.pop()?, strings.pop()?);
    strings.push(PanelString::new([first.elements(), second.elements()].concat()));
    Some(())
}

const RULES: [(&str, Way); 6] =
    [
        ("an input that was to stay is touched", |honest, random| {
            let at = wired(honest, random)?;
            let (input, today) = (&honest.plan.state.inputs[at], &honest.site.installed);
            let planned = &honest.plan.state.wiring()[at].array;
            let stands = &today.iter().find(|w| w.at == input.at)?.array;
            (planned.canonical() != stands.canonical()).then_some(())?;
            let mut kept = honest.clone();
            kept.site.kept.push(input.at);
            Some(kept)
        }),
        ("strings that must stay are rewired", |honest, random| {
            let touch = if random.chance(0.5) { Touch::None } else { Touch::Extend };
            let lawful =
                honest.plan.state.wiring().iter().zip(&honest.site.installed).all(
                    |(planned, today)| keeps_touch(&planned.array, &today.array.strings, touch),
                );
            (!lawful).then_some(())?;
            honest.with(|plan| plan.touch = touch)
        }),
        ("installed strings are left out", |honest, random| {
            let at = wired(honest, random)?;
            let own = honest.plan.state.inputs[at].at;
            let today = honest.site.installed.iter().find(|w| w.at == own)?;
            (!today.array.strings.is_empty()).then_some(())?;
            let mut wiring = honest.site.installed.clone();
            wiring[at].array.strings.pop();
            let mut extended = honest.rewired(&wiring);
            extended.plan.touch = if random.chance(0.5) { Touch::None } else { Touch::Extend };
            Some(extended)
        }),
        ("a block that is too large or of panels too far apart", |honest, random| {
            let at = wired(honest, random)?;
            let n = honest.site.kinds.len();
            let members: Vec<KindIdx> =
                (0..2 + random.below(3)).map(|_| KindIdx(random.below(n))).collect();
            let mut stocked = honest.clone();
            members.iter().for_each(|k| with_spares(&mut stocked.site, *k, 1));
            let mut wiring = honest.plan.state.wiring();
            wiring[at].array.strings.push(PanelString::new(vec![Element::block(members)]));
            (!in_search_space(&wiring[at].array, &honest.site)).then_some(())?;
            stocked.plan.touch = Touch::Free;
            Some(hidden(stocked.rewired(&wiring), random))
        }),
        ("a spare controller given more than its output is for", |honest, random| {
            let used =
                honest.plan.state.inputs.iter().find(|i| {
                    honest.site.controller(i.at).spare.is_some() && !i.strings.is_empty()
                })?;
            let at = used.at;
            let limit = Amps(used.label.watts() / 1.26 * random.between(0.3, 1.0));
            Some(honest.on(|site| {
                if let Output::Battery(bank) = &mut site.controllers[at.controller].output {
                    bank.charge_limit = Some(Amps(limit.amps() / bank.charging_voltage().volts()));
                }
            }))
        }),
        ("two strings joined into one, told with the watts of two", |honest, random| {
            let at = wired(honest, random)?;
            let mut wiring = honest.plan.state.wiring();
            joined(&mut wiring, at)?;
            let joined = honest.rewired(&wiring);
            let claimed = honest.plan.state.inputs[at].power;
            let true_power = joined.plan.state.inputs[at].power;
            ((claimed - true_power).watts().abs() > 0.002 * claimed.watts() + 0.1).then_some(())?;
            joined.with(|plan| {
                let more = claimed - true_power;
                plan.state.inputs[at].power = claimed;
                plan.added += more;
                plan.charged += more;
                plan.bound.watts = plan.bound.watts.max(Watts(0.0)) + more;
            })
        }),
    ];

#[test]
fn rules_of_what_may_be_wired_are_refused_where_they_are_broken() {
    refuses_all(&RULES[..4], 50);
    refuses_all(&RULES[5..], 20);
    refuses_all(&RULES[4..5], 3);
}
