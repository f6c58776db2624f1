//! Which panel a person means, as the reports name it: string `2` or `B2`, position `3` or `3b`.

use crate::cli::exit::Refusal;
use crate::model::{Element, InputRef, Installation};
use crate::plan::{Customer, PanelPlace};

/// The customer that a word means: its file, with or without its ending, or its name.
pub(super) fn find_site(word: &str, customers: &[Customer]) -> Result<usize, Refusal> {
    let tests: [&dyn Fn(&Customer) -> bool; 3] = [
        &|c| c.file == word,
        &|c| c.file.rsplit_once('.').is_some_and(|(stem, _)| stem == word),
        &|c| c.installation.site.name.eq_ignore_ascii_case(word),
    ];
    for test in tests {
        let found: Vec<usize> = (0..customers.len()).filter(|k| test(&customers[*k])).collect();
        match found[..] {
            [] => {}
            [one] => return Ok(one),
            _ => {
                let files: Vec<String> =
                    found.iter().take(5).map(|k| format!("`{}`", customers[*k].file)).collect();
                return Err(Refusal::unusable(
                    &format!("{} sites are called `{word}`", found.len()),
                    &format!("name the file: {}", files.join(", ")),
                ));
            }
        }
    }
    let names = customers.iter().map(|c| c.file.as_str());
    let names = names.chain(customers.iter().map(|c| c.installation.site.name.as_str()));
    let help = match nearest(word, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "name a site by its file, relative to the folder, or by its name".to_owned(),
    };
    Err(Refusal::unusable(&format!("there is no site `{word}` among those that were read"), &help))
}

/// The nearest of some words, if it is near.
pub(super) fn nearest<'w>(typed: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    let words: Vec<&str> = words.collect();
    let typed = &typed.to_lowercase();
    // Whoever types the beginning of a name means it.
    let begun = || words.iter().copied().find(|known| known.to_lowercase().starts_with(typed));
    words
        .iter()
        .map(|known| (strsim::damerau_levenshtein(known, typed), known))
        .filter(|(slips, known)| *slips <= known.chars().count() / 3)
        .min()
        .map(|(_, known)| *known)
        .or_else(|| (typed.chars().count() >= 3).then(begun).flatten())
}

/// The place that a person means.
pub(super) fn find_place(
    string: &str,
    position: &str,
    installation: &Installation,
) -> Result<PanelPlace, Refusal> {
    let at = find_input(string, installation)?;
    let number = string.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let wiring = installation.installed.iter().find(|w| w.at == at);
    let strings = wiring.map_or(&[][..], |w| &w.array.strings);
    let n = count(number, strings.len(), "string", &format!("`{string}`"))?;
    let elements = strings[n].elements();
    let digits = position.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let element = count(digits, elements.len(), "position", &format!("`{position}`"))?;
    let member = find_member(&position[digits.len()..], &elements[element], position)?;
    Ok(PanelPlace { at, string: n, element, member })
}

/// The input by its letter, as reports give it; none where there is one alone.
fn find_input(string: &str, installation: &Installation) -> Result<InputRef, Refusal> {
    let letters: String = string.chars().take_while(char::is_ascii_alphabetic).collect();
    let inputs = &installation.installed;
    if letters.is_empty() {
        if let [one] = &inputs[..] {
            return Ok(one.at);
        }
        return Err(Refusal::unusable(
            &format!("string `{string}`: the site has {} inputs", inputs.len()),
            "put the input's letter before it: `A1` is string 1 of the first input in the site file",
        ));
    }
    // `A` to `Z`, then `AA`, as reports count.
    let number = letters.chars().fold(0_usize, |n, c| {
        n.saturating_mul(26).saturating_add(1 + (c.to_ascii_uppercase() as usize - 'A' as usize))
    });
    inputs.get(number - 1).map(|input| input.at).ok_or_else(|| {
        Refusal::unusable(
            &format!("string `{string}`: there is no input `{letters}`"),
            &format!("inputs are lettered from `A`; the site has {}", inputs.len()),
        )
    })
}

fn find_member(letter: &str, element: &Element, typed: &str) -> Result<usize, Refusal> {
    let members = element.members().len();
    let member = match letter.as_bytes() {
        [] if members == 1 => return Ok(0),
        [] => None,
        [one] => Some(usize::from(one.to_ascii_lowercase() - b'a')).filter(|m| *m < members),
        _ => None,
    };
    member.filter(|_| members > 1).ok_or_else(|| {
        let help = if members > 1 {
            format!(
                "a block of {members} stands there: say which, `a` to `{}`",
                char::from(b'a' + members as u8 - 1)
            )
        } else {
            "a single panel stands there: write the number alone".to_owned()
        };
        Refusal::unusable(&format!("position `{typed}` names no panel"), &help)
    })
}

/// A number from 1 to `n`, as an index from 0.
fn count(text: &str, n: usize, what: &str, typed: &str) -> Result<usize, Refusal> {
    match text.parse::<usize>() {
        Ok(number) if (1..=n).contains(&number) => Ok(number - 1),
        _ if n == 0 => Err(Refusal::unusable(
            &format!("there is no {what} {typed}: nothing is wired there"),
            "",
        )),
        _ => Err(Refusal::unusable(
            &format!("there is no {what} {typed}"),
            &format!("they are numbered from 1 to {n}"),
        )),
    }
}
