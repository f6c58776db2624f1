//! Figures and lists as they stand in sentences.

/// Two figures with as many digits as it takes to tell them apart, at least one.
pub(super) fn tell_apart(a: f64, b: f64) -> (String, String) {
    (1..=6)
        .map(|digits| (format!("{a:.digits$}"), format!("{b:.digits$}")))
        .find(|(a, b)| a != b)
        .unwrap_or_else(|| (format!("{a:.1}"), format!("{b:.1}")))
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
