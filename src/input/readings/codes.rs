//! The stable number of each sort of finding about readings; `docs/label.md` shows each with a remedy.
//!
//! Those about numbers as such are the site file's, see `codes.rs` one level up.

macro_rules! codes {
    ($($(#[$doc:meta])+ $name:ident = $code:literal;)+) => {
        $($(#[$doc])+ pub(super) const $name: &str = $code;)+
    };
}

codes! {
    /// A file of readings with a header and nothing below it, or not even that.
    NO_READINGS = "E601";
    /// A column that does not exist, or stands twice.
    COLUMN = "E602";
    /// A column or figure that must be there.
    FIGURE_MISSING = "E603";
    /// More or fewer fields than the header.
    RAGGED = "E604";
    /// A figure that no panel shows, or in another unit.
    READING_RANGE = "E605";
    /// Nothing says how strong the light was.
    NO_LIGHT_KNOWN = "E606";
    /// Volts and amperes in each other's place.
    SWAPPED = "E607";
    /// Volts that do not fit the number of cells.
    CELLS = "E608";
    /// A loaded point that is half there, or outside the curve.
    LOAD = "E609";
    /// A twin without its label, or a label without a twin.
    TWIN = "E610";
    /// More readings than are combined.
    TOO_MANY = "E611";
    /// A temperature that may be in another unit.
    TEMPERATURE_ODD = "W601";
    /// Light so weak that it says little about full sun.
    WEAK_LIGHT = "W602";
    /// A loaded point that says little.
    LOAD_ODD = "W603";
}
