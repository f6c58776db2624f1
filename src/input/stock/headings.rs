//! What a column holds, told by its heading: a key's own name, or the trade's words with or without a unit.

use super::keys::STOCK;
use crate::input::findings::quoted;
use crate::input::keys::{Holds, Unit};
use crate::input::meant::{also_called, letters_of, nearest};
use crate::input::typed_units::unit_of;

/// What was made of a heading.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Heading {
    /// This key's figures stand below it.
    Of(&'static str),
    /// Nothing that we ask for.
    Unused,
    /// Meant for us, but it cannot be used as it is.
    Wrong(Wrong),
}

/// What is wrong with a heading.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wrong {
    pub(super) message: String,
    pub(super) help: String,
    /// The key that is probably meant.
    pub(super) meant: Option<&'static str>,
}

/// Other words for a column, letters alone in lower case. Words of the trade, in no maker's spelling.
const WORDS: [(&str, &str); 65] = [
    ("kind", "id"),
    ("panel", "id"),
    ("module", "id"),
    ("article", "id"),
    ("item", "id"),
    ("sku", "id"),
    ("model", "id"),
    ("maximumpower", "pmax_w"),
    ("maxpower", "pmax_w"),
    ("ratedpower", "pmax_w"),
    ("nominalpower", "pmax_w"),
    ("peakpower", "pmax_w"),
    ("pm", "pmax_w"),
    ("pstc", "pmax_w"),
    ("wpeak", "pmax_w"),
    ("vpm", "vmp_v"),
    ("vpmax", "vmp_v"),
    ("vm", "vmp_v"),
    ("umpp", "vmp_v"),
    ("ump", "vmp_v"),
    ("voltageatmaximumpower", "vmp_v"),
    ("voltageatmaxpower", "vmp_v"),
    ("voltageatpmax", "vmp_v"),
    ("maximumpowervoltage", "vmp_v"),
    ("maxpowervoltage", "vmp_v"),
    ("ipm", "imp_a"),
    ("ipmax", "imp_a"),
    ("im", "imp_a"),
    ("currentatmaximumpower", "imp_a"),
    ("currentatmaxpower", "imp_a"),
    ("currentatpmax", "imp_a"),
    ("maximumpowercurrent", "imp_a"),
    ("maxpowercurrent", "imp_a"),
    ("uoc", "voc_v"),
    ("opencircuitvoltage", "voc_v"),
    ("opencircuitvoltagevoc", "voc_v"),
    ("opencircuit", "voc_v"),
    ("shortcircuitcurrent", "isc_a"),
    ("shortcircuitcurrentisc", "isc_a"),
    ("shortcircuit", "isc_a"),
    ("numberofcells", "cells"),
    ("ncells", "cells"),
    ("cellsinseries", "cells"),
    ("numberofbypassdiodes", "bypass_diodes"),
    ("fuse", "max_fuse_a"),
    ("maximumseriesfuse", "max_fuse_a"),
    ("maxseriesfuserating", "max_fuse_a"),
    ("maximumseriesfuserating", "max_fuse_a"),
    ("maximumfuse", "max_fuse_a"),
    ("maximumsystemvoltage", "max_system_v"),
    ("powertolerance", "tolerance_percent"),
    ("years", "age_years"),
    ("instock", "count"),
    ("stock", "count"),
    ("onhand", "count"),
    ("available", "count"),
    ("pcs", "count"),
    ("pieces", "count"),
    ("askingprice", "price"),
    ("unitprice", "price"),
    ("priceeach", "price"),
    ("priceperpanel", "price"),
    ("eachprice", "price"),
    ("asking", "price"),
    ("nominaloperatingcelltemperature", "noct_c"),
];

/// Signs and words that make a heading one of a temperature coefficient.
const COEFFICIENT: [&str; 9] =
    ["coef", "tempco", "tempcoeff", "tk", "tc", "alpha", "beta", "gamma", "percentperc"];

/// What is said in brackets behind a figure at standard test conditions and changes nothing.
const REMARKS: [&str; 9] = ["stc", "atstc", "label", "each", "ea", "nominal", "no", "n", "series"];

/// Tells what a column holds.
pub(super) fn read_heading(typed: &str) -> Heading {
    let lower = typed.trim().to_lowercase();
    if let Some(key) = STOCK.keys.iter().find(|k| k.name == lower) {
        return Heading::Of(key.name);
    }
    let (name, behind) = split_unit(&lower);
    let bare = letters_of(&name.replace('α', "alpha").replace('β', "beta").replace('γ', "gamma"));
    let key = coefficient(&bare, name, behind).or_else(|| figure(&bare));
    match key {
        Some(key) => in_unit(typed, key, behind),
        None => unknown(typed, &bare, behind),
    }
}

/// The key of a figure, by its name alone.
fn figure(bare: &str) -> Option<&'static str> {
    let bare =
        bare.strip_suffix("stc").map_or(bare, |head| head.strip_suffix("at").unwrap_or(head));
    let bare = if bare.is_empty() || bare == "p" { "pstc" } else { bare };
    let word = WORDS.iter().find(|(word, _)| *word == bare).map(|(_, key)| *key);
    word.or_else(|| also_called(bare, &STOCK)).or_else(|| {
        let stem = |name: &str| match name.rsplit_once('_') {
            Some((head, "v" | "a" | "w" | "c" | "percent" | "years")) => letters_of(head),
            _ => letters_of(name),
        };
        let is = |name: &str| letters_of(name) == bare || stem(name) == bare;
        STOCK.keys.iter().map(|k| k.name).find(|name| is(name))
    })
}

/// The key of a coefficient, if the heading or its unit says that it is one.
fn coefficient(bare: &str, name: &str, behind: Option<&str>) -> Option<&'static str> {
    let mut words = name.split(|c: char| !c.is_alphanumeric());
    let said = bare.contains("coef")
        || bare.contains("temperaturec")
        || words.any(|word| COEFFICIENT.contains(&word));
    if !said && !behind.is_some_and(is_per_degree) {
        return None;
    }
    let has = |marks: &[&str]| marks.iter().any(|mark| bare.contains(mark));
    // The voltage and current at maximum power have coefficients, too, which we do not ask for.
    if has(&["vmp", "imp", "vpm", "ipm", "umpp"]) {
        return None;
    }
    if has(&["voc", "uoc", "open"]) {
        return Some("voc_percent_per_c");
    }
    if has(&["isc", "short"]) {
        return Some("isc_percent_per_c");
    }
    if has(&["pmax", "pmp", "pmpp", "power", "watt", "gamma"]) {
        return Some("pmax_percent_per_c");
    }
    if has(&["beta", "voltage", "volt"]) {
        return Some("voc_percent_per_c");
    }
    has(&["alpha", "current"]).then_some("isc_percent_per_c")
}

/// `V/K`, `mV/°C`, `%/°C`, `% per °C`.
fn is_per_degree(unit: &str) -> bool {
    let below = unit.rsplit_once('/').or_else(|| unit.rsplit_once(" per "));
    let above = ["v", "mv", "a", "ma", "w", "mw", "%", "ppm"];
    below.is_some_and(|(head, below)| {
        above.contains(&head.trim()) && {
            matches!(
                below.trim().trim_start_matches('°').trim(),
                "c" | "k" | "deg c" | "degc" | "f"
            )
        }
    })
}

/// A heading's name and the unit or remark behind it: in brackets, or behind a blank or a stroke.
fn split_unit(lower: &str) -> (&str, Option<&str>) {
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let Some((name, inside)) =
            lower.strip_suffix(close).and_then(|rest| rest.rsplit_once(open))
            && !name.trim().is_empty()
        {
            return (name.trim(), Some(inside.trim()));
        }
    }
    let is_unit = |text: &str| unit_of(text).is_some() || is_per_degree(text);
    let split = lower.match_indices([' ', '/', '_', ',', '-']).find_map(|(at, sign)| {
        let (name, behind) = (lower[..at].trim(), lower[at + sign.len()..].trim());
        let behind = behind.strip_prefix("in ").unwrap_or(behind);
        (!name.is_empty() && is_unit(behind)).then_some((name, Some(behind)))
    });
    split.unwrap_or((lower, None))
}

/// A key that was recognised, with what stands behind its name.
fn in_unit(typed: &str, key: &'static str, behind: Option<&str>) -> Heading {
    let Some(behind) = behind.filter(|b| !b.is_empty()) else { return Heading::Of(key) };
    let wanted = match STOCK.key(key).holds {
        Holds::Number(unit, _) => unit,
        _ => Unit::None,
    };
    let wrong = |help: String| {
        let message = format!("column {} is not in the unit of `{key}`", quoted(typed));
        Heading::Wrong(Wrong { message, help, meant: Some(key) })
    };
    match unit_of(behind) {
        Some((unit, factor)) if same_unit(unit, wanted) => {
            if factor == 1.0 {
                return Heading::Of(key);
            }
            let symbol = wanted.symbol();
            let sum = if factor < 1.0 {
                format!("divide it by {}", (1.0 / factor).round())
            } else {
                format!("multiply it by {factor}")
            };
            wrong(format!("`{key}` is in {symbol}: {sum}, and head the column `{key}`"))
        }
        _ if wanted == Unit::PercentPerC && is_per_degree(behind) => wrong(format!(
            "`{key}` is in %/°C: divide volts by `voc_v`, amperes by `isc_a` or watts by `pmax_w`, times 100 (and mV, mA or mW by 10 instead), and head the column `{key}`"
        )),
        _ if wanted == Unit::Celsius && matches!(behind, "°f" | "f" | "deg f") => wrong(format!(
            "`{key}` is in °C: take 32 off and divide by 1.8, and head the column `{key}`"
        )),
        Some((unit, _)) if wanted != Unit::None || unit != Unit::None => {
            let takes = if wanted == Unit::None { "a bare number" } else { wanted.plural() };
            wrong(format!("`{key}` takes {takes}, not {}: is it another figure?", unit.plural()))
        }
        // A currency, whether tax is in it, whose number it is.
        _ if matches!(key, "price" | "id") => Heading::Of(key),
        _ if REMARKS.contains(&letters_of(behind).as_str()) => Heading::Of(key),
        Some(_) => Heading::Of(key),
        None => Heading::Wrong(Wrong {
            message: format!("column {}: {} is not understood", quoted(typed), quoted(behind)),
            help: format!(
                "figures must be those of the label at standard test conditions; head the column `{key}` if they are, or take it out"
            ),
            meant: Some(key),
        }),
    }
}

fn same_unit(unit: Unit, wanted: Unit) -> bool {
    // A bare % is of whatever the key takes.
    unit == wanted || (unit == Unit::PercentPerC && wanted == Unit::Percent)
}

/// A heading that names none of our figures.
fn unknown(typed: &str, bare: &str, behind: Option<&str>) -> Heading {
    let message = format!("column {} is not understood", quoted(typed));
    let names = || STOCK.keys.iter().map(|k| k.name);
    if bare.chars().count() >= 3
        && let Some(meant) = nearest(typed, names()).or_else(|| nearest_stem(bare))
    {
        let help = format!("did you mean `{meant}`? If not, take it out");
        return Heading::Wrong(Wrong { message, help, meant: Some(meant) });
    }
    let electrical = |unit| matches!(unit, Unit::Volt | Unit::Amp | Unit::Watt);
    match behind.and_then(unit_of) {
        Some((unit, _)) if electrical(unit) => {
            let of_unit = |holds| matches!(holds, Holds::Number(its, _) if its == unit);
            let keys: Vec<String> = STOCK
                .keys
                .iter()
                .filter(|k| of_unit(k.holds))
                .map(|k| format!("`{}`", k.name))
                .collect();
            let help = format!(
                "figures in {} are {}: head it so if it is one of them, or take it out",
                unit.plural(),
                keys.join(", ")
            );
            Heading::Wrong(Wrong { message, help, meant: None })
        }
        _ => Heading::Unused,
    }
}

/// `Vov`, `Iscc`: a slip in the part before the unit.
fn nearest_stem(bare: &str) -> Option<&'static str> {
    let stems = ["pmax", "count", "price", "bypassdiodes", "maxfuse", "maxsystem", "tolerance"];
    let stem = nearest(bare, stems.into_iter())?;
    STOCK.keys.iter().map(|k| k.name).find(|name| letters_of(name).starts_with(stem))
}
