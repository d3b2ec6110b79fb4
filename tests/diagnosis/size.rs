//! Models as large as a handbook's, and larger.

use std::collections::BTreeSet;

use bluecone::diagnosis::{Model, Node, policy};

use super::*;

/// Like a handbook's: half of the checks prove one fault each, the others tell groups apart or are not sure; isolated checks
/// come after a guard.
#[allow(clippy::needless_range_loop)] // a suspect is a column of all three rows
fn handbook_like(n_suspects: usize, n_checks: usize, seed: u64) -> Model {
    let mut random = Random(seed);
    let mut guard = check("guard", 6.0, &[vec![0.5; n_suspects], vec![0.5; n_suspects]]);
    guard.guard = true;
    guard.state = State::Isolated;
    let mut checks = vec![guard];
    for place in 1..n_checks {
        let id = format!("check-{place:02}");
        let minutes = 3.0 + random.below(12) as f64;
        let mut one = if place <= n_suspects {
            looks_for(&id, minutes, &[place - 1], n_suspects)
        } else {
            let mut rows = vec![vec![0.0; n_suspects]; 3];
            for suspect in 0..n_suspects {
                match random.below(5) {
                    0 => rows[0][suspect] = 1.0,
                    1 => (rows[0][suspect], rows[1][suspect]) = (0.4, 0.6),
                    2 => (rows[1][suspect], rows[2][suspect]) = (0.7, 0.3),
                    _ => rows[2][suspect] = 1.0,
                }
            }
            check(&id, minutes, &rows)
        };
        one.state = State::ALL[random.below(4)];
        if one.state == State::Isolated {
            one.after = vec![0];
        }
        checks.push(one);
    }
    let chances: Vec<f64> = (0..n_suspects).map(|_| 2.0 + random.below(40) as f64).collect();
    let minutes = Minutes::from_changes(
        State::ALL.iter().flat_map(|&from| State::ALL.map(|to| (from, to, 1.0 + 2.0 * (from as usize).abs_diff(to as usize) as f64))),
        0.0,
    );
    Model::new(suspects(&chances), checks, minutes, State::Powered, (0..n_checks).collect()).expect("a sound model")
}

#[test]
fn forty_faults_and_sixty_checks_answer_within_the_budget_and_state_the_gap() {
    let model = handbook_like(40, 60, 3);
    let limits = Limits { situations: 1000, steps: 60, ..Limits::default() };
    let found = policy(&model, &limits);
    assert!(!found.exact);
    println!(
        "{:.1} min, at most {:.1} above the least, {} situations, {} nodes",
        found.expected_minutes,
        found.gap,
        found.situations,
        found.nodes.len()
    );
    assert!(found.situations <= 1000 + 60 * 200, "{}", found.situations);
    assert!(found.nodes.iter().filter(|node| matches!(node, Node::Ask(_))).count() <= 60);
    assert!(found.gap > 0.0 && found.gap < found.expected_minutes, "{}", found.gap);
    let reached = found.reached();
    let ends: f64 = found.nodes.iter().zip(&reached).filter(|(node, _)| !matches!(node, Node::Ask(_))).map(|(_, reached)| reached).sum();
    assert!((ends - 1.0).abs() < 1e-9, "every way ends: {ends}");
    assert_eq!(found, policy(&model, &limits), "the same again");
}

/// Every check is unsure of every fault, so nothing is ever ruled out: the dearest there is.
fn unsure(n_suspects: usize, n_checks: usize, n_outcomes: usize) -> Model {
    let mut random = Random(1);
    let checks = (0..n_checks).map(|place| {
        let mut rows = vec![vec![0.0; n_suspects]; n_outcomes];
        for suspect in 0..n_suspects {
            let shares: Vec<f64> = (0..n_outcomes).map(|_| 1.0 + random.below(20) as f64).collect();
            let whole: f64 = shares.iter().sum();
            shares.iter().zip(&mut rows).for_each(|(share, row)| row[suspect] = share / whole);
        }
        let mut one = check(&format!("check-{place:02}"), 3.0 + random.below(12) as f64, &rows);
        one.state = State::ALL[random.below(4)];
        one
    });
    let checks = checks.collect();
    flat(&(0..n_suspects).map(|_| 2.0 + random.below(40) as f64).collect::<Vec<_>>(), checks)
}

#[test]
fn where_every_check_is_unsure_the_work_is_bounded_too() {
    let model = unsure(40, 60, 6);
    let found = policy(&model, &Limits { situations: 30, steps: 20, ..Limits::default() });
    // At this size 30 situations are 4 and 20 steps 3, and 200 situations for each of these would be 600.
    assert!(found.situations < 100, "{} situations", found.situations);
    assert!(!found.exact && found.gap > 0.0 && found.gap < found.expected_minutes, "{}", found.gap);
}

/// What the bounded search promises holds where the truth is known.
#[test]
fn the_gap_of_the_bounded_search_holds() {
    let mut apart = BTreeSet::new();
    for seed in 0..12 {
        let model = handbook_like(5, 8, seed);
        let exact = policy(&model, &Limits::default());
        let bounded = policy(&model, &Limits { situations: 3, steps: 4, ..Limits::default() });
        assert!(exact.exact && !bounded.exact, "seed {seed}");
        assert!(bounded.expected_minutes >= exact.expected_minutes - 1e-9, "seed {seed}");
        assert!(bounded.expected_minutes - bounded.gap <= exact.expected_minutes + 1e-9, "seed {seed}: the gap is too small");
        apart.insert((bounded.expected_minutes - exact.expected_minutes > 1e-6) as u8);
    }
    assert!(apart.contains(&1), "the bounded search never falls short, so that its gap is not tried");
}

/// Seconds, situations and peak memory by size, with the budget that a press has; nothing is asserted.
///
/// `cargo test --release --test suite -- --ignored --exact diagnosis::size::what_a_press_takes --nocapture`
#[test]
#[ignore = "a measurement, not a check"]
fn what_a_press_takes() {
    for (n_suspects, n_checks) in [(8, 12), (12, 18), (16, 24), (24, 36), (40, 60)] {
        for seed in 0..3 {
            let model = handbook_like(n_suspects, n_checks, seed);
            let start = std::time::Instant::now();
            let found = policy(&model, &Limits::default());
            let peak = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
            let peak = peak.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap_or("unknown").trim().to_owned();
            println!(
                "{n_suspects} faults × {n_checks} checks: {:.2} s, {} situations, {}, {:.1} min, gap {:.1} min, peak so far {peak}",
                start.elapsed().as_secs_f64(),
                found.situations,
                if found.exact { "exact" } else { "bounded" },
                found.expected_minutes,
                found.gap
            );
        }
        for n_outcomes in [2, 3, 6] {
            let model = unsure(n_suspects, n_checks, n_outcomes);
            let start = std::time::Instant::now();
            let found = policy(&model, &Limits::default());
            println!(
                "{n_suspects} faults × {n_checks} checks, all unsure, {n_outcomes} outcomes: {:.2} s, {} situations",
                start.elapsed().as_secs_f64(),
                found.situations
            );
        }
    }
}
