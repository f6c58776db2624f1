//! The stable number of each sort of finding about a stock file; `docs/match.md` shows each with a remedy.
//!
//! Those about labels and numbers as such are the site file's, see `codes.rs` one level up.

macro_rules! codes {
    ($($(#[$doc:meta])+ $name:ident = $code:literal;)+) => {
        $($(#[$doc])+ pub(super) const $name: &str = $code;)+
    };
}

codes! {
    /// No heading that is understood, or nothing below it.
    NO_STOCK = "E701";
    /// A heading that is not understood, or in another unit.
    HEADING = "E702";
    /// Two columns for one figure.
    COLUMN_TWICE = "E703";
    /// A column that must be there.
    COLUMN_MISSING = "E704";
    /// More fields than there are columns.
    RAGGED = "E705";
    /// A quote that nothing closes.
    OPEN_QUOTE = "E706";
    /// Two rows with one id.
    ROW_TWICE = "E707";
    /// A formula of the spreadsheet that failed.
    FORMULA = "E708";
    /// More rows than are read.
    TOO_MANY = "E709";
    /// A point or comma that parts decimals or thousands, nobody knows which.
    THOUSANDS = "E710";
    /// A column that is not used.
    COLUMN_UNUSED = "W701";
    /// Rows above the headings.
    ROWS_ABOVE = "W702";
}
