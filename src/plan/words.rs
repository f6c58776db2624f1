//! Figures and lists as they stand in sentences.

/// A figure rounded half away from zero, as everywhere in the answers: 23.25 is 23.3.
pub(super) fn fixed(x: f64, digits: usize) -> String {
    let scale = 10_f64.powi(i32::try_from(digits).expect("a handful of digits"));
    format!("{:.digits$}", (x * scale).round() / scale)
}

/// Two figures with as many digits as it takes to tell them apart, at least one.
pub(super) fn tell_apart(a: f64, b: f64) -> (String, String) {
    (1..=6)
        .map(|digits| (fixed(a, digits), fixed(b, digits)))
        .find(|(a, b)| a != b)
        .unwrap_or_else(|| (fixed(a, 1), fixed(b, 1)))
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn join_words(words: impl IntoIterator<Item = String>) -> String {
    let mut words: Vec<String> = words.into_iter().collect();
    match words.pop() {
        None => String::new(),
        Some(last) if words.is_empty() => last,
        Some(last) => format!("{} and {last}", words.join(", ")),
    }
}
