//! `sungraft` grafts spare panels onto a solar array that already stands.
//!
//! It is given the wiring as installed, a list of spares, and the limits of the controller. It answers
//! which spares to add, how to rewire, how many watts that brings, and which panels add nothing and why.
//! "Panel" is what standards call a PV module.
//!
//! # The pipeline
//!
//! Data goes one way, and each step hands the next a type of its own:
//!
//! ```text
//! bytes → Installation → Catalog → Pattern … → Problem → Outcome → Plan, audited → Advice → text
//!         input          electrical patterns    planner   solve     plan            planner  report
//! ```
//!
//! 1. [`input`] reads a site file. Either it is an [`Installation`](model::Installation), or every
//!    mistake in it is reported at once.
//! 2. [`electrical`] fits a single-diode model to each label and turns panels, blocks and strings into
//!    curves of current over voltage, at full sun, on the coldest morning and at the hottest noon.
//! 3. [`patterns`] lists the strings that could be built and that keep the limits of one string alone.
//! 4. [`solve`] knows numbers only: how many of each string, at which voltage, so that watts are most;
//!    with a bound that no choice can pass. Limits that add up are rows; limits that depend on the
//!    whole array are gates.
//! 5. [`plan`] builds the wiring, evaluates it on the true curves, judges every limit, counts the joints
//!    against today's wiring, and audits it all again from the diode equation. It knows no solver.
//! 6. [`planner`] puts these together: the plan of each level of disturbance, what each spare is worth,
//!    and what stands in the way of those that are not used.
//! 7. [`report`] writes the answer as a page, as JSON or as CSV; [`cli`] alone touches files and streams.
//!
//! # One scenario, end to end
//!
//! ```
//! use sungraft::planner::{self, Options};
//! use sungraft::report::{self, Format};
//!
//! let site = include_str!("../scenarios/seed-shed.yaml");
//! let installation = sungraft::input::read_site("seed-shed.yaml", site.as_bytes())
//!     .map_err(|mistakes| mistakes.to_string())?
//!     .value;
//! let advice = planner::advise(&installation, &Options::default())
//!     .map_err(|failure| format!("{failure:?}"))?;
//!
//! let best = &advice.plans[advice.best.ok_or("no wiring keeps every limit")?];
//! assert!(best.added.watts() > 150.0);
//! assert!(best.bound.proven);
//!
//! let creek = advice.spares.iter().find(|s| installation.kind(s.kind).id == "creek-90");
//! assert_eq!(creek.ok_or("it is among the spares")?.used, 2);
//!
//! let page = report::advice(&installation, &advice, Format::Table);
//! assert!(page.starts_with("Hollow Creek seed shed"));
//! # Ok::<(), String>(())
//! ```

pub mod cli;
pub mod diagnostic;
pub mod electrical;
pub mod energy;
pub mod input;
pub mod model;
pub mod patterns;
pub mod plan;
pub mod planner;
pub mod report;
pub mod solve;
pub mod sun;
pub mod units;
