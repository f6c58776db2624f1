//! The JSON answers' schemas, as they stand in `docs/`.

/// JSON Schema (2020-12) of `advise --format json`.
pub const ADVICE: &str = include_str!("../../docs/advice.schema.json");

/// JSON Schema (2020-12) of `check --format json`.
pub const CHECK: &str = include_str!("../../docs/check.schema.json");

/// JSON Schema (2020-12) of `match --format json`, for each of its three questions.
pub const MATCH: &str = include_str!("../../docs/match.schema.json");

/// JSON Schema (2020-12) of `label --format json`.
pub const LABEL: &str = include_str!("../../docs/label.schema.json");

/// JSON Schema (2020-12) of `phases --format json`.
pub const PHASES: &str = include_str!("../../docs/phases.schema.json");
/// JSON Schema (2020-12) of `check --readings --format json`.
pub const VERIFY: &str = include_str!("../../docs/verify.schema.json");
