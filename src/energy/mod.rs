//! What an array brings over a year: its power by the curves, under every hour's sun.
//!
//! ```text
//! site → hours on the planes → table of each input's power over sun and air → controllers → months
//! ```
//!
//! Architecture invariant: nothing here knows what a plan or a limit is; wirings come in, energy goes out.

mod cells;
mod light;
mod losses;
mod model;
mod split;
mod table;
mod typical;
mod year;

pub use light::{LightSource, SunHour, light_of};
pub use losses::{USUAL_EFFICIENCY, kept_share, losses_of, usual_losses};
pub use model::EnergyModel;
pub use typical::{Grain, Slopes, Span, TypicalHour};
pub use year::{EnergyAnswer, MonthEnergy, YearEnergy};
