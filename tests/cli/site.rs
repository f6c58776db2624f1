//! Site files small enough to follow by hand.

/// A goat barn: one kind, Voc 22.4 V without a coefficient, a controller that stands 100 V.
///
/// At -22 °C the code's table says 1.20 (US NEC table 690.7(A), secondary, check your book), so a
/// panel stands 26.88 V: three in series make 80.6 V, four make 107.5 V, a breach.
pub(crate) fn goat_barn(strings: &str, spares: &str) -> String {
    format!(
        "site:
  name: goat barn
  coldest_c: -22
  hottest_c: 30
kinds:
  - id: goat-160
    pmax_w: 160
    vmp_v: 18.4
    imp_a: 8.70
    voc_v: 22.4
    isc_a: 9.30
    max_fuse_a: 15
    max_system_v: 600
controllers:
  - id: barn
    type: mppt
    battery_v: 12
    charge_a: 60
    max_pv_v: 100
    window_v: [16, 90]
    max_pv_a: 30
    inputs: 1
    string_ports: 2
installed:
  - controller: barn
    input: 1
    strings:
{strings}
{spares}"
    )
}

/// Two panels in series: inside every limit.
pub(crate) fn sound() -> String {
    goat_barn("      - [goat-160, goat-160]", "spares:\n  - kind: goat-160\n    count: 1\n")
}

/// Four in series: too much on a cold morning.
pub(crate) fn too_cold() -> String {
    goat_barn(
        "      - [goat-160, goat-160, goat-160, goat-160]",
        "spares:\n  - kind: goat-160\n    count: 1\n",
    )
}
