//! `match`: a stock over many sites. Reads them all, asks the library, shows the answer.

mod journal;
mod lines;
mod place;
mod progress;
mod questions;
mod reports;
mod sites;
mod stock;

use super::exit::{Exit, Refusal};
use super::match_args::MatchArgs;
use super::streams::show;
use super::watch::watched;
use crate::model::StockItem;
use crate::plan::Allocation;
use crate::planner::{self, FleetFailure, FleetOptions};
use crate::report::{self, FleetAsked};
use journal::Journal;
use progress::Watch;
use sites::Sites;

/// Runs `match`.
pub(super) fn match_stock(args: &MatchArgs) -> Result<Exit, Refusal> {
    let stock = stock::read(&args.stock, args.skip_bad)?;
    if let Some(folder) = &args.reports {
        reports::may_fill(folder, args.overwrite)?;
    }
    let sites = Sites::read(args)?;
    let asked = FleetAsked {
        customers: &sites.customers,
        stock: &stock.items,
        unread: &sites.unread,
        skipped_rows: &stock.skipped,
        top: args.top,
    };
    let exit = match (&args.panel, args.replace.as_deref()) {
        (Some(id), _) => questions::who_can_use(args, &asked, id)?,
        (None, Some([site, string, position])) => {
            questions::substitutes(args, &asked, [site, string, position])?
        }
        _ => allocate(args, &sites, &asked)?,
    };
    sites.say_unread();
    Ok(match exit {
        Exit::Answered | Exit::No if !sites.unread.is_empty() => Exit::AnsweredInPart,
        other => other,
    })
}

fn allocate(args: &MatchArgs, sites: &Sites, asked: &FleetAsked<'_>) -> Result<Exit, Refusal> {
    let options = options(args);
    let keys = sites.keys(asked.stock, &options);
    let journal = Journal::open(args, &sites.customers, keys)?;
    let watch = Watch::new(journal.as_ref());
    let known = journal.as_ref().map_or(&[][..], Journal::known);
    let allocation = watched(args.seconds, |stop| {
        let options = FleetOptions { watch: stop, ..options };
        planner::allocate(&sites.customers, asked.stock, &options, known, &watch)
    });
    watch.done();
    let allocation = allocation.map_err(|failure| refuse(failure, asked))?;
    show(&report::allocation(asked, &allocation, args.format.into()))?;
    if let Some(journal) = &journal {
        journal.finish();
    }
    if let Some(folder) = &args.reports {
        reports::write_all(folder, args, sites, asked, &allocation)?;
    }
    Ok(exit_of(&allocation))
}

fn exit_of(allocation: &Allocation) -> Exit {
    if !allocation.sites.is_empty() {
        Exit::Answered
    } else if allocation.stopped {
        Exit::LimitReached
    } else {
        Exit::No
    }
}

fn options(args: &MatchArgs) -> FleetOptions {
    FleetOptions {
        aim: args.aim.into(),
        visit_cost: args.cost_per_visit,
        joint_cost: args.cost_per_joint,
        threshold_watts: args.threshold.threshold_watts,
        threshold_share: args.threshold.share(),
        ..FleetOptions::default()
    }
}

fn refuse(failure: FleetFailure, asked: &FleetAsked<'_>) -> Refusal {
    let label = |whose: String, error: &dyn std::fmt::Debug| {
        Refusal::unusable(
            &format!("no curve passes through the label of {whose} ({error:?})"),
            "check its five figures against the label: Vmp lies between half of Voc and Voc, Imp \
             between half of Isc and Isc",
        )
    };
    match failure {
        FleetFailure::Stock { stock, error } => {
            let StockItem { kind, .. } = &asked.stock[stock];
            label(format!("`{}` in the stock", kind.id), &error)
        }
        FleetFailure::Label { customer, kind, error } => {
            label(format!("`{kind}` in `{}`", asked.customers[customer].file), &error)
        }
        FleetFailure::Audit { customer, error } => Refusal {
            text: format!(
                "internal error: a wiring for `{}` did not stand its audit, so there is no answer: \
                 {error:?}\nhelp: this is a mistake in sungraft, not in your files; please report it \
                 with the site file and the stock",
                asked.customers[customer].file
            ),
            exit: Exit::Internal,
        },
    }
}
