//! How long it takes to share a stock out, and what comes of it: `cargo bench --bench fleet`, or
//! `cargo bench --bench fleet -- 100 1000` for other numbers of sites.

#[path = "../support/fleet.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod fleet;
#[path = "../support/random.rs"]
#[allow(dead_code, reason = "each test file uses a part of the support")]
mod random;

use std::time::Instant;

use fleet::FleetSize;
use sungraft::plan::Stage;
use sungraft::planner::{FleetOptions, Progress, allocate};

/// Says when each stage was reached.
struct Timed(Instant);

impl Progress for Timed {
    fn at(&self, stage: Stage) {
        let seconds = self.0.elapsed().as_secs_f64();
        match stage {
            Stage::Alone { done, of } if done == of => {
                eprintln!("{seconds:8.2} s  {of} sorts laid out")
            }
            Stage::Prices { round, gap } => {
                eprintln!("{seconds:8.2} s  round {round}, gap {gap:.5}")
            }
            Stage::Whole { gap } => eprintln!("{seconds:8.2} s  whole, gap {gap:.5}"),
            Stage::Audit { done, of } if done == of => eprintln!("{seconds:8.2} s  {of} audited"),
            _ => {}
        }
    }
}

/// Most memory held so far by this process, in MiB, where the system tells it.
fn peak_mib() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn main() {
    run();
}

/// Every size asked for.
pub(crate) fn run() {
    let sizes: Vec<usize> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let sizes = if sizes.is_empty() { vec![100, 1_000] } else { sizes };
    for sites in sizes {
        let size = FleetSize { sites, kinds: 60, panels: 2 * sites };
        let customers = fleet::customers(1, size);
        let stock = fleet::stock(1, size);
        let before = peak_mib();
        let start = Instant::now();
        let allocation = allocate(&customers, &stock, &FleetOptions::default(), &[], &Timed(start))
            .expect("labels are legal and wirings pass the audit");
        let seconds = start.elapsed().as_secs_f64();
        let placed: usize = allocation.stock.iter().map(|s| s.placed).sum();
        println!(
            "{sites} sites, {} panels of 60 kinds: {seconds:.2} s ({:.1} ms a site), {placed} placed at {} sites, {:.0} W added, gap {:.3} %, memory {:.0} MiB (before {:.0})",
            size.panels,
            1e3 * seconds / sites as f64,
            allocation.sites.len(),
            allocation.added.watts(),
            100.0 * allocation.gap,
            peak_mib().unwrap_or(f64::NAN),
            before.unwrap_or(f64::NAN),
        );
        for note in &allocation.notes {
            println!("  {note}");
        }
    }
}
