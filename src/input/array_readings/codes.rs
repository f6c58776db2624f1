//! The stable number of each sort of finding about readings of an array; `docs/verify.md` shows each with
//! a remedy. Those about keys and numbers as such are the site file's, see `codes.rs` one level up.

macro_rules! codes {
    ($($(#[$doc:meta])+ $name:ident = $code:literal;)+) => {
        $($(#[$doc])+ pub(super) const $name: &str = $code;)+
    };
}

codes! {
    /// Another file: a site file, or none of ours.
    OTHER_FILE = "E701";
    /// Not one figure in the whole file.
    NOTHING_READ = "E702";
    /// None, or more than one, of the temperatures.
    WARMTH = "E703";
    /// An input or string that is not wired in the site file.
    NOT_WIRED = "E704";
    /// An input or string twice under one sun.
    TWICE = "E705";
    /// Volts and amperes in each other's place.
    SWAPPED = "E706";
    /// A figure of a size that no way to wire these panels gives.
    SIZE = "E707";
    /// More sets of readings than are held against each other.
    TOO_MANY_SETS = "E708";
    /// Sun so weak that currents say little.
    WEAK_SUN = "W701";
    /// A temperature that may be in another unit, or that of the air.
    WARMTH_ODD = "W702";
}
