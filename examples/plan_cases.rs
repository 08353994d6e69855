//! Proposes plans for invented households: `plan_cases bench` times a week of two children, three meals a day and
//! fifteen batches; `plan_cases write DIR COUNT` writes models, data and plans to be held against another solver.

use std::error::Error;
use std::time::Instant;

use trayful::planning::propose::{Effort, Quality, propose};

#[allow(
    clippy::unwrap_used,
    reason = "an invented case that is wrong is a bug"
)]
#[path = "../tests/plan/cases.rs"]
mod cases;

#[expect(clippy::print_stdout, reason = "a program for the command line")]
fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize, usual: u64| {
        arguments
            .get(at)
            .and_then(|a| a.parse().ok())
            .unwrap_or(usual)
    };
    let mut effort = Effort::default();
    effort.nodes = number(1, effort.nodes);
    effort.window_nodes = number(2, effort.window_nodes);
    effort.rounds = number(3, 2) as u32;
    for seed in 0..10 {
        let request = cases::case(seed, cases::WEEK);
        let start = Instant::now();
        match propose(&request, effort) {
            Ok(p) => println!(
                "{seed} {:.2}s objective {:.3} {:?}",
                start.elapsed().as_secs_f64(),
                p.objective,
                p.quality
            ),
            Err(e) => println!("{seed} {:.2}s {e}", start.elapsed().as_secs_f64()),
        }
        let _ = Quality::Optimal;
    }
    Ok(())
}
