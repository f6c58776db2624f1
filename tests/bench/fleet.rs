//! How long it takes to share a stock out, how near the bound it comes, and what taking the best
//! customer first would lose: `cargo bench --bench fleet`, or `cargo bench --bench fleet -- 100 1000`
//! for these numbers of sites. Figures: docs/performance.md.

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a bench tells what it measured")]

#[path = "../support/fleet.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod fleet;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;

use std::time::Instant;

use fleet::{FleetSize, best_first};
use sungraft::model::StockItem;
use sungraft::plan::{Allocation, Customer, Stage};
use sungraft::planner::{FleetOptions, Progress, allocate};

/// Says when each stage was reached.
struct Timed(Instant);

impl Progress for Timed {
    fn at(&self, stage: Stage) {
        let at = self.0.elapsed().as_secs_f64();
        match stage {
            Stage::Alone { done, of } if done == of => eprintln!("{at:8.2} s  {of} sorts laid out"),
            Stage::Prices { round, gap } => eprintln!("{at:8.2} s  round {round}, gap {gap:.5}"),
            Stage::Whole { gap } => eprintln!("{at:8.2} s  whole, gap {gap:.5}"),
            Stage::Audit { done, of } if done == of => eprintln!("{at:8.2} s  {of} audited"),
            _ => {}
        }
    }
}

/// Most memory held so far by this process, in MiB, where the system tells it.
fn peak_mib() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM:"));
    let kib = line.and_then(|l| l.split_whitespace().nth(1)?.parse::<f64>().ok());
    kib.map_or(f64::NAN, |kib| kib / 1024.0)
}

/// Seconds of processor time so far, of all threads, where the system tells it (in hundredths).
fn cpu_seconds() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields: Vec<&str> = stat.rsplit(") ").next().unwrap_or("").split(' ').collect();
    let ticks = |at: usize| fields.get(at).and_then(|f| f.parse::<f64>().ok());
    ticks(11).zip(ticks(12)).map_or(f64::NAN, |(user, system)| (user + system) / 100.0)
}

fn shared(customers: &[Customer], stock: &[StockItem], progress: &dyn Progress) -> Allocation {
    allocate(customers, stock, &FleetOptions::default(), &[], progress)
        .expect("labels are legal and wirings pass the audit")
}

/// Sites beyond which best customer first, one by one, takes too long to be worth its figure.
const COMPARED: usize = 100;

fn main() {
    let sizes: Vec<usize> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let sizes = if sizes.is_empty() { vec![100, 1_000] } else { sizes };
    for sites in sizes {
        let size = FleetSize { sites, kinds: 60, panels: 2 * sites };
        let customers = fleet::customers(1, size);
        let stock = fleet::stock(1, size);
        let (start, cpu) = (Instant::now(), cpu_seconds());
        let allocation = shared(&customers, &stock, &Timed(start));
        let (seconds, cpu) = (start.elapsed().as_secs_f64(), cpu_seconds() - cpu);
        let placed: usize = allocation.stock.iter().map(|s| s.placed).sum();
        println!(
            "{sites} sites, {} panels of 60 kinds: {seconds:.1} s, {cpu:.1} s of processor time \
             ({:.0} ms a site), {placed} placed at {} sites, {:.0} W added, gap {:.2} %, {:.0} MiB",
            size.panels,
            1e3 * cpu / sites as f64,
            allocation.sites.len(),
            allocation.added.watts(),
            100.0 * allocation.gap,
            peak_mib(),
        );
        if sites <= COMPARED {
            let greedy = best_first(&customers, &stock);
            println!(
                "  best customer first: {greedy:.0} W, {:.1} % less",
                100.0 * (1.0 - greedy / allocation.value)
            );
        }
    }
}
