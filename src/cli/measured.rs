//! Reads the sun and the cells' temperature while somebody measures, as a person types them.

use crate::plan::Measured;
use crate::units::{Celsius, Irradiance};

/// Sunlight that can be: dusk, and more than was ever recorded at the ground (1528 W/m²: Yordanov and
/// others, 2013). \[W/m²\]
const IRRADIANCE: (f64, f64) = (10.0, 1600.0);
/// Cells in the sun on earth. \[°C\]
const TEMP_CELL: (f64, f64) = (-60.0, 110.0);

/// `780 W/m2, 41 C`: irradiance and cell temperature, in this order, each with its unit.
///
/// # Errors
/// What is wrong, and how it is written.
pub(super) fn measured(text: &str) -> Result<Measured, String> {
    let parts: Vec<&str> =
        text.split([',', ';']).map(str::trim).filter(|p| !p.is_empty()).collect();
    let [sun, cells] = parts[..] else {
        return Err(match parts.len() {
            n if n > 2 => {
                "write decimal points, not commas, and one comma between the two figures: \
                           \"780 W/m2, 41.5 C\""
                    .into()
            }
            _ => "write the sun and the cells' temperature: \"780 W/m2, 41 C\"".into(),
        });
    };
    Ok(Measured { irradiance: irradiance(sun)?, temp_cell: temp_cell(cells)? })
}

fn irradiance(text: &str) -> Result<Irradiance, String> {
    let (number, unit) = number_and_unit(text)?;
    let e = match unit.to_ascii_lowercase().replace('²', "2").replace('^', "").as_str() {
        "w/m2" => number,
        "kw/m2" => 1000.0 * number,
        "" => return Err(format!("`{text}` needs its unit: `{text} W/m2`")),
        "c" | "°c" | "f" | "°f" => {
            return Err(format!("the sun comes first, then the cells: `{text}` is a temperature"));
        }
        other => return Err(format!("`{other}` is no unit of sunlight: write `W/m2`")),
    };
    within(e, IRRADIANCE, "W/m2").map(Irradiance)
}

fn temp_cell(text: &str) -> Result<Celsius, String> {
    let (number, unit) = number_and_unit(text)?;
    let t = match unit.trim_start_matches('°').to_ascii_lowercase().as_str() {
        "c" => number,
        "f" => (number - 32.0) / 1.8,
        "" => return Err(format!("`{text}` needs its unit: `{text} C` (or F)")),
        other => return Err(format!("`{other}` is no unit of temperature: write `C` or `F`")),
    };
    within(t, TEMP_CELL, "C").map(Celsius)
}

fn within(x: f64, (lo, hi): (f64, f64), unit: &str) -> Result<f64, String> {
    if (lo..=hi).contains(&x) {
        Ok(x)
    } else {
        Err(format!("{x:.0} {unit} cannot be: it lies from {lo} to {hi} {unit}"))
    }
}

fn number_and_unit(text: &str) -> Result<(f64, &str), String> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    let number = number.parse().map_err(|_| format!("`{text}` does not begin with a number"))?;
    Ok((number, unit.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (f64, f64) {
        let m = measured(text).expect("it can be read");
        (m.irradiance.watts_per_m2(), m.temp_cell.celsius())
    }

    #[test]
    fn sun_and_cells_are_read_as_people_type_them() {
        for text in ["780 W/m2, 41 C", "780W/m²;41°C", " 0.78 kW/m2 , 41c", "780 W/m^2, 105.8 F"]
        {
            let (sun, cells) = read(text);
            assert!((sun - 780.0).abs() < 1e-9 && (cells - 41.0).abs() < 1e-9, "{text}");
        }
    }

    #[test]
    fn mistakes_are_told_with_how_to_mend_them() {
        let told = |text: &str, part: &str| {
            let said = measured(text).expect_err("it is a mistake");
            assert!(said.contains(part), "{text}: {said}");
        };
        told("780 W/m2", "the cells' temperature");
        told("", "\"780 W/m2, 41 C\"");
        told("780 W/m2, 41,5 C", "decimal points");
        told("41 C, 780 W/m2", "the sun comes first");
        told("780, 41", "needs its unit");
        told("780 W/m2, 41", "needs its unit");
        told("780 lux, 41 C", "no unit of sunlight");
        told("780 W/m2, 41 K", "no unit of temperature");
        told("7800 W/m2, 41 C", "cannot be");
        told("780 W/m2, 410 C", "cannot be");
        told("sun, 41 C", "does not begin with a number");
        told("nan W/m2, 41 C", "does not begin with a number");
    }
}
