//! The `site` group: climate, and what the planner may do.

use super::codes::{TEMPERATURE_ODD, TEMPERATURES};
use super::fields::{Fields, Typed};
use super::findings::Findings;
use super::planes::Planes;
use super::sun::read_sun;
use crate::model::{MoneyData, Site, SunData};
use crate::units::{Amps, Celsius};

/// Most panels in one block where the file does not say it.
const DEFAULT_BLOCK_MAX: usize = 2;
/// Factor on short-circuit current where the file does not say it: US NEC 690.8(A), from memory, check your edition.
const DEFAULT_ISC_FACTOR: f64 = 1.25;
/// Poleward of this latitude a design low above [`MILD`] is suspicious: common practice, no source.
const COLD_LATITUDE: f64 = 40.0;
const MILD: f64 = 5.0;

/// Place and climate; `None` if a finding says why not.
pub(super) fn read_site_group(
    fields: &Fields,
    planes: Planes,
    findings: &mut Findings,
) -> Option<Site> {
    let name = fields.text("name", findings);
    let coldest = fields.number("coldest_c", findings);
    let hottest = fields.number("hottest_c", findings);
    let block_max = fields.count("block_max", findings);
    let isc_factor = fields.number("isc_factor", findings);
    let battery_charge = fields.number("battery_charge_a", findings);
    let worth_per_kwh = fields.number("worth_per_kwh", findings);
    let worth_years = fields.number("worth_years", findings);
    let sun = read_sun(fields, planes, findings);
    if let (Some(coldest), Some(hottest)) = (&coldest, &hottest) {
        check_order(coldest, hottest, findings);
    }
    if let Some(coldest) = &coldest {
        check_mild(coldest, &sun, findings);
    }
    check_months(coldest.as_ref(), hottest.as_ref(), &sun, findings);
    Some(Site {
        name: name?.value,
        coldest: Celsius(coldest?.value),
        hottest: Celsius(hottest?.value),
        block_max: block_max.map_or(DEFAULT_BLOCK_MAX, |n| n.value),
        isc_factor: isc_factor.map_or(DEFAULT_ISC_FACTOR, |x| x.value),
        battery_charge: battery_charge.map(|x| Amps(x.value)),
        sun,
        money: MoneyData {
            worth_per_kwh: worth_per_kwh.map(|x| x.value),
            worth_years: worth_years.map(|x| x.value),
            ..MoneyData::default()
        },
    })
}

fn check_order(coldest: &Typed<f64>, hottest: &Typed<f64>, findings: &mut Findings) {
    if coldest.value < hottest.value {
        return;
    }
    let (low, high) = (&coldest.as_typed, &hottest.as_typed);
    let message = format!("`coldest_c` must be below `hottest_c` ({low} is not below {high})");
    let help = if coldest.value > 0.0 && -coldest.value < hottest.value {
        "are the two swapped, or does `coldest_c` lack its minus sign?"
    } else {
        "are the two swapped, or is a minus sign wrong?"
    };
    findings.error(TEMPERATURES, coldest.at, message, help);
}

/// A lost minus sign would let a plan destroy the controller on a cold morning.
fn check_mild(coldest: &Typed<f64>, sun: &SunData, findings: &mut Findings) {
    let Some(latitude) = sun.latitude_deg.filter(|l| l.abs() >= COLD_LATITUDE) else { return };
    if coldest.value > MILD {
        let typed = &coldest.as_typed;
        let message =
            format!("`coldest_c` is {typed} °C at latitude {latitude}°, where frost is usual");
        let help = "does it lack its minus sign? It is the design low of the air, which decides whether the array can destroy the controller";
        findings.warning(TEMPERATURE_ODD, coldest.at, message, help);
    }
}

/// No monthly mean lies beyond the design low or high.
fn check_months(
    coldest: Option<&Typed<f64>>,
    hottest: Option<&Typed<f64>>,
    sun: &SunData,
    findings: &mut Findings,
) {
    let Some(air) = sun.air_c else { return };
    let lowest = air.into_iter().fold(f64::INFINITY, f64::min);
    let highest = air.into_iter().fold(f64::NEG_INFINITY, f64::max);
    if let Some(coldest) = coldest.filter(|c| c.value > lowest) {
        let typed = &coldest.as_typed;
        let message = format!(
            "`coldest_c` is above the mean of a month in `air_c` ({typed} is above {lowest})"
        );
        let help = "the design low is the lowest temperature of a year, far below the mean of its coldest month";
        findings.warning(TEMPERATURE_ODD, coldest.at, message, help);
    }
    if let Some(hottest) = hottest.filter(|h| h.value < highest) {
        let typed = &hottest.as_typed;
        let message = format!(
            "`hottest_c` is below the mean of a month in `air_c` ({typed} is below {highest})"
        );
        let help = "the design high is the highest temperature of a year, far above the mean of its hottest month";
        findings.warning(TEMPERATURE_ODD, hottest.at, message, help);
    }
}
