//! The stable number of each sort of finding; `docs/input.md` shows each with a bad example and a remedy.
//!
//! A number is never given a new meaning; one that falls out of use stays unused.

macro_rules! codes {
    ($($(#[$doc:meta])+ $name:ident = $code:literal;)+) => {
        $($(#[$doc])+ pub(super) const $name: &str = $code;)+
    };
}

codes! {
    // E1xx: the file and its syntax. Nothing else can be said until it is mended.
    /// Nothing in it, or comments alone.
    EMPTY_FILE = "E101";
    /// More bytes, brackets, values, levels, or longer lines and keys than a site file can need.
    TOO_MUCH = "E102";
    /// Not text in UTF-8.
    NOT_TEXT = "E103";
    /// Not YAML.
    SYNTAX = "E104";
    /// A tab where YAML wants spaces.
    TAB = "E105";
    /// Several documents in one file.
    SEVERAL_DOCUMENTS = "E106";
    /// A feature of YAML that a site file does without.
    YAML_FEATURE = "E107";

    // E2xx: what stands where.
    /// A key that does not exist.
    UNKNOWN_KEY = "E201";
    /// A key that must be there.
    MISSING_KEY = "E202";
    /// The same key twice.
    DUPLICATE_KEY = "E203";
    /// A list, text, number or group where another sort of value belongs.
    WRONG_SORT = "E204";
    /// A required key without a value.
    NO_VALUE = "E205";
    /// Two kinds or two controllers with one id.
    DUPLICATE_ID = "E206";
    /// A kind that is not in `kinds`.
    UNKNOWN_KIND = "E207";
    /// A controller that is not in `controllers`.
    UNKNOWN_CONTROLLER = "E208";
    /// Two entries for one input.
    INPUT_TWICE = "E209";
    /// An input that the controller does not have.
    NO_SUCH_INPUT = "E210";
    /// Strings and blocks that are nested or written wrongly.
    WIRING_SHAPE = "E211";
    /// A kind twice among the spares.
    SPARE_TWICE = "E212";
    /// More kinds, controllers, strings or panels than is searched.
    TOO_MANY = "E213";
    /// A list of the wrong length.
    LIST_LENGTH = "E214";
    /// Keys that exclude or need each other.
    KEYS_CLASH = "E215";
    /// A word that is none of the choices.
    UNKNOWN_CHOICE = "E216";
    /// A name or id that is empty, too long or in typographic quotes.
    BAD_NAME = "E217";
    /// A run of cable twice.
    RUN_TWICE = "E218";
    /// A plane that is not in `planes`.
    UNKNOWN_PLANE = "E231";
    /// A string or a spare that stands on no plane where there are planes.
    NO_PLANE = "E232";
    /// A plane that a spare could go on, without room for it.
    NO_ROOM = "E233";
    /// Planes in a site that stock is shared out over.
    PLANES_IN_MATCH = "E234";
    /// Further errors are only counted.
    MORE_ERRORS = "E299";

    // E3xx: values.
    /// Text where a number belongs.
    NOT_A_NUMBER = "E301";
    /// A decimal comma, or separators between thousands.
    DECIMAL_COMMA = "E302";
    /// A unit behind the number.
    UNIT_IN_VALUE = "E303";
    /// Not a number or infinite.
    NOT_FINITE = "E304";
    /// Below or above what is possible.
    OUT_OF_RANGE = "E305";
    /// Half a panel.
    NOT_WHOLE = "E306";
    /// `vmp_v` against `voc_v`.
    VOLTAGES = "E307";
    /// `imp_a` against `isc_a`.
    CURRENTS = "E308";
    /// `pmax_w` against `vmp_v` × `imp_a`.
    LABEL_POWER = "E309";
    /// A temperature coefficient that cannot be.
    COEFFICIENT = "E310";
    /// `window_v` reversed, or above `max_pv_v`.
    WINDOW = "E311";
    /// `coldest_c` against `hottest_c`.
    TEMPERATURES = "E312";
    /// `charge_v` against `battery_v`.
    CHARGE_VOLTAGE = "E313";
    /// `start_v` against `max_pv_v`.
    START_VOLTAGE = "E314";
    /// A cross-section that is not made.
    CABLE_SIZE = "E315";
    /// More sun in a month than comes without the air.
    SUN_IMPOSSIBLE = "E320";
    /// A phase dated before the one above it.
    PHASE_ORDER = "E330";
    /// A date that is none.
    PHASE_DATE = "E331";
    /// A kind on offer after its last chance.
    LAST_CHANCE = "E332";
    /// A controller that cannot take the place of another.
    REPLACES = "E333";

    // W4xx: used as it is, but a person should look.
    /// `pmax_w` is a little off `vmp_v` × `imp_a`.
    LABEL_POWER_OFF = "W401";
    /// A coefficient that looks as if it were in another unit.
    COEFFICIENT_ODD = "W402";
    /// A label figure that fits badly to the others.
    LABEL_ODD = "W403";
    /// `battery_v` that is no usual nominal voltage.
    BATTERY_ODD = "W404";
    /// More strings than ports.
    MORE_STRINGS_THAN_PORTS = "W405";
    /// A block larger than `block_max`.
    LARGE_BLOCK = "W406";
    /// A key that has no effect here.
    NO_EFFECT = "W407";
    /// A temperature that fits badly to the place.
    TEMPERATURE_ODD = "W408";
    /// `charge_v` that fits badly to `battery_v`.
    CHARGE_VOLTAGE_ODD = "W409";
    /// A controller without a battery: meant so?
    NO_BATTERY = "W410";
    /// Neither installed nor spare panels.
    NO_PANELS = "W411";
    /// A run of cable so long that it may be in another unit.
    RUN_LONG = "W412";
    /// `window_v` that fits badly to the battery.
    WINDOW_ODD = "W413";
    /// A loss that may be a fraction.
    LOSS_ODD = "W414";
    /// A limit on watts below one panel.
    POWER_LIMIT_ODD = "W415";
    /// Strings of one kind with unlike numbers of panels.
    STRING_LENGTHS = "W416";
    /// Panels that face away from the sun.
    PLANE_ODD = "W417";
    /// A controller that charges another battery than the rest.
    OTHER_BATTERY = "W418";
    /// A key without which there is no year of sun.
    SUN_INCOMPLETE = "W420";
    /// More sun in a month than the clearest sky lets through.
    SUN_ODD = "W421";
    /// Times or irradiances of a weather file that do not fit the sun.
    WEATHER_SHIFTED = "W422";
    /// Missing hours of a weather file were filled.
    WEATHER_FILLED = "W423";
    /// A weather file from far away.
    WEATHER_FAR = "W424";
    /// A budget below every price.
    BUDGET_TOO_LOW = "W430";
    /// A tilt that may be in radians.
    TILT_ODD = "W431";
    /// Further warnings are only counted.
    MORE_WARNINGS = "W499";

    // E5xx: weather files.
    /// Neither EPW nor TMY3.
    OTHER_WEATHER_FILE = "E501";
    /// The line that says where the weather was.
    WEATHER_HEAD = "E502";
    /// A column that must be there.
    WEATHER_COLUMN = "E503";
    /// A date, time or figure that is none, or cannot be.
    WEATHER_VALUE = "E504";
    /// An hour that is missing, out of order or there twice.
    WEATHER_HOURS = "E505";
    /// Too much is missing.
    WEATHER_GAPS = "E506";
}
