//! The two questions about single panels: who can use this one, and what may stand where one broke.

use super::place::{find_place, find_site, nearest};
use super::progress::Watch;
use super::{options, refuse};
use crate::cli::exit::{Exit, Refusal};
use crate::cli::match_args::MatchArgs;
use crate::cli::streams::show;
use crate::cli::watch::watched;
use crate::planner::{self, FleetOptions};
use crate::report::{self, Broken, FleetAsked};

/// Who can use a panel of the stock?
pub(super) fn who_can_use(
    args: &MatchArgs,
    asked: &FleetAsked<'_>,
    id: &str,
) -> Result<Exit, Refusal> {
    let ids = || asked.stock.iter().map(|item| item.kind.id.as_str());
    let Some(stock) = ids().position(|known| known == id) else {
        let help = match nearest(id, ids()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => {
                "name a kind by its id; a panel that is not in stock may stand in a file of one row"
                    .to_owned()
            }
        };
        return Err(Refusal::unusable(&format!("there is no `{id}` in the stock"), &help));
    };
    let watch = Watch::new(None);
    let found = watched(args.seconds, |stop| {
        let options = FleetOptions { watch: stop, ..options(args) };
        planner::who_can_use(asked.customers, &asked.stock[stock], &options, &watch)
    });
    watch.done();
    let found = found.map_err(|failure| refuse(failure, asked))?;
    show(&report::who_can_use(asked, stock, &found, args.format.into()))?;
    Ok(match (found.ranked.is_empty(), found.unasked) {
        (false, _) => Exit::Answered,
        (true, 0) => Exit::No,
        (true, _) => Exit::LimitReached,
    })
}

/// What may stand in place of a broken panel?
pub(super) fn substitutes(
    args: &MatchArgs,
    asked: &FleetAsked<'_>,
    [site, string, position]: [&String; 3],
) -> Result<Exit, Refusal> {
    let customer = find_site(site, asked.customers)?;
    let installation = &asked.customers[customer].installation;
    let place = find_place(string, position, installation)?;
    let found = planner::replacements(installation, place, asked.stock)
        .map_err(|failure| refuse(failure, asked))?
        .expect("the place was looked up in this very wiring");
    let place = format!("{string}.{position}");
    let broken = Broken { customer, place: &place, found: &found };
    show(&report::substitutes(asked, broken, args.format.into()))?;
    Ok(if found.ranked.iter().any(|s| s.fits) { Exit::Answered } else { Exit::No })
}
