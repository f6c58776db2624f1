//! One stock for many sites: a price for each kind of panel, every site planned by itself at these
//! prices, and the stock shared out so that the whole is most.
//!
//! Every customer is a site of [`crate::solve::master`]. What could be wired on each of its inputs is
//! listed once ([`ground`]); inputs that are alike in all that matters are asked once ([`class`]).

mod allocate;
mod aside;
mod asking;
mod by_kind;
mod ceiling;
mod class;
mod customer;
mod gates;
mod ground;
mod joints;
mod misses;
mod options;
mod outcome;
mod question;
mod rates;
mod recall;
mod replace;
mod sharing;
mod shelf;
mod stock;
mod tariff;
mod terms;
mod units;
mod weigh;
mod who;

pub use allocate::allocate;
pub use options::{FleetFailure, FleetOptions, Progress, Silent};
pub use replace::replacements;
pub use who::who_can_use;
