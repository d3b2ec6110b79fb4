//! The walk's odds against those of a Bayesian network library; `outside/make.sh` renews its answers.

use bluecone::diagnosis::{Diagnosis, Event, Next, Walk, policy};
use serde_json::Value;

use super::*;

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().expect("a list").iter().map(|number| number.as_f64().expect("a number")).collect()
}

#[test]
fn the_odds_are_those_of_a_bayesian_network() {
    let text = include_str!("outside/odds.jsonl");
    let mut lines = text.lines().map(|line| serde_json::from_str::<Value>(line).expect("JSON"));
    let source = lines.next().expect("a first line");
    assert_eq!((source["library"].as_str(), source["version"].as_str()), (Some("pyAgrum"), Some("3.3.1")));
    let (mut n_odds, mut n_contradictions, mut worst) = (0, 0, 0.0_f64);
    for case in lines {
        let checks = case["checks"].as_array().expect("checks").iter().enumerate();
        let checks: Vec<CheckModel> = checks
            .map(|(place, rows)| {
                let rows: Vec<Vec<f64>> = rows.as_array().expect("rows").iter().map(numbers).collect();
                check(&format!("check-{place}"), 1.0, &rows)
            })
            .collect();
        let found = numbers(&case["found"]);
        let model = flat(&numbers(&case["chances"]), checks);
        let policy = policy(&model, &Limits { situations: 10, steps: 3, ..Limits::default() });
        let diagnosis = Diagnosis { model, policy, certainty: 1.0 };
        let history: Vec<Event> =
            found.iter().enumerate().map(|(check, outcome)| Event::Found { check, outcome: *outcome as usize }).collect();
        let look = Walk::new(&diagnosis).look(&history).expect("an allowed history");
        if case["odds"].is_null() {
            assert!(matches!(look.next, Next::Contradiction { .. }) && look.odds.is_empty(), "{case}");
            n_contradictions += 1;
            continue;
        }
        for (suspect, theirs) in numbers(&case["odds"]).into_iter().enumerate() {
            let ours = look.odds.iter().find(|odds| odds.suspect == suspect).map_or(0.0, |odds| odds.probability);
            worst = worst.max((ours - theirs).abs());
            assert!((ours - theirs).abs() < 1e-12, "suspect {suspect} has {ours}, the library says {theirs}: {case}");
            n_odds += 1;
        }
    }
    println!("{n_odds} odds, at most {worst:e} apart; {n_contradictions} contradictions");
    assert!(n_odds > 300 && n_contradictions > 5, "{n_odds} odds, {n_contradictions} contradictions");
}
