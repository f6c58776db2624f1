//! Who can use one panel, what replaces one, and a search that is stopped and taken up again.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use sungraft::model::{InputRef, StockItem};
use sungraft::plan::{Customer, OfferRecord, Outcome, PanelPlace};
use sungraft::planner::{FleetOptions, Progress, Silent, allocate, replacements, who_can_use};
use sungraft::solve::{Board, Watch};

use crate::fleet::{FleetSize, customers, stock};

const SIZE: FleetSize = FleetSize { sites: 20, kinds: 8, panels: 30 };

fn fleet() -> (Vec<Customer>, Vec<StockItem>) {
    (customers(11, SIZE), stock(11, SIZE))
}

#[test]
fn who_can_use_a_panel_gets_of_it_what_an_allocation_of_it_alone_gives_the_first() {
    let (customers, stock) = fleet();
    let mut asked = 0;
    for item in &stock {
        let item = StockItem { count: 1, ..item.clone() };
        let who = who_can_use(&customers, &item, &FleetOptions::default(), &Silent)
            .expect("labels are legal and wirings pass the audit");
        let one = std::slice::from_ref(&item);
        let shared = allocate(&customers, one, &FleetOptions::default(), &[], &Silent)
            .expect("labels are legal and wirings pass the audit");
        let values: Vec<f64> = who.ranked.iter().map(|r| r.allotment.value).collect();
        assert!(values.is_sorted_by(|a, b| a >= b), "{values:?}");
        for site in &who.ranked {
            assert_eq!(site.allotment.placed.len(), 1);
            assert_eq!(site.allotment.placed[0].count, 1);
        }
        // Besides the one panel an allocation may wire spares that sites have themselves.
        let got = shared.sites.iter().find(|s| !s.placed.is_empty());
        match (who.ranked.first(), got) {
            (Some(best), Some(got)) => {
                asked += 1;
                let close = (best.allotment.value - got.value).abs() <= 0.02 * got.value + 1.0;
                assert!(close || got.own.len() + best.allotment.own.len() > 0);
            }
            (None, Some(_)) => panic!("somebody gets {} whom nobody named", item.kind.id),
            (None, None) => assert!(who.breaching <= customers.len()),
            (Some(_), None) => {}
        }
        if who.ranked.is_empty() && who.breaching > 0 {
            let miss = who.nearest_miss.expect("what stands in the way is named");
            assert!(miss.sites > 0 && (miss.value - miss.limit).abs() > 0.0, "{miss:?}");
        }
    }
    assert!(asked >= 4, "too few panels that anybody can use: {asked}");
}

#[test]
fn a_panel_of_the_same_kind_replaces_one_without_loss() {
    let (customers, mut stock) = fleet();
    let site = &customers[0].installation;
    let at = InputRef { controller: 0, input: 1 };
    let place = PanelPlace { at, string: 0, element: 0, member: 0 };
    let broken = site.installed[0].array.strings[0].elements()[0].members()[0];
    let same = StockItem { kind: site.kind(broken).clone(), count: 1, price: None };
    stock.push(same);
    let answer = replacements(site, place, &stock).expect("legal labels").expect("a panel there");
    assert_eq!(answer.kind, broken);
    let twin = answer.ranked.iter().find(|s| s.stock == stock.len() - 1).expect("in stock");
    assert!((twin.watts - answer.sound).watts().abs() < 1e-6);
    for substitute in &answer.ranked {
        let breach = substitute.checks.iter().any(|c| c.outcome == Outcome::Breach);
        assert!(!(substitute.fits && breach));
        assert!(!substitute.checks.is_empty());
    }
    let fits: Vec<bool> = answer.ranked.iter().map(|s| s.fits).collect();
    assert!(fits.is_sorted_by(|a, b| a >= b), "what fits stands first");
    let nowhere = PanelPlace { string: 99, ..place };
    assert!(replacements(site, nowhere, &stock).expect("legal labels").is_none());
}

/// Stops after so many rounds, and keeps what is to be kept.
struct Impatient {
    rounds: AtomicUsize,
    board: &'static Board,
    journal: Mutex<Vec<OfferRecord>>,
}

impl Progress for Impatient {
    fn at(&self, stage: sungraft::plan::Stage) {
        if matches!(stage, sungraft::plan::Stage::Prices { .. }) {
            let left = self.rounds.fetch_sub(1, Ordering::Relaxed);
            if left == 1 {
                self.board.stop("after two rounds");
            }
        }
    }
    fn met(&self, offer: &OfferRecord) {
        self.journal.lock().expect("nobody panics").push(offer.clone());
    }
}

#[test]
fn a_stopped_search_answers_with_what_it_knows_and_goes_on_from_there() {
    let (customers, stock) = fleet();
    let options = FleetOptions::default();
    let board: &'static Board = Box::leak(Box::default());
    let impatient =
        Impatient { rounds: AtomicUsize::new(2), board, journal: Mutex::new(Vec::new()) };
    let until = FleetOptions { watch: Watch::on(board), ..options.clone() };
    let early = allocate(&customers, &stock, &until, &[], &impatient)
        .expect("labels are legal and wirings pass the audit");
    assert!(early.stopped);
    assert!(early.value > 0.0 && early.value <= early.bound);
    let journal = impatient.journal.into_inner().expect("nobody panics");
    assert!(!journal.is_empty());
    let whole = allocate(&customers, &stock, &options, &[], &Silent).expect("as before");
    let resumed = allocate(&customers, &stock, &options, &journal, &Silent).expect("as before");
    assert!(!whole.stopped && !resumed.stopped);
    let near = 2.0 * options.gap.max(whole.gap) * whole.value;
    assert!((resumed.value - whole.value).abs() <= near, "{} {}", resumed.value, whole.value);
}
