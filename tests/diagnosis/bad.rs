//! What an author may write and should not.

use bluecone::diagnosis::{MAX_CHECKS, MAX_SUSPECTS, ModelError, Node, policy};

use super::*;

#[test]
fn no_checks_leave_everything_open() {
    let found = policy(&flat(&[3.0, 1.0], Vec::new()), &Limits::default());
    let Node::Open { suspects } = found.root() else { panic!("nothing parts them") };
    assert_eq!(suspects.iter().map(|odds| odds.probability).collect::<Vec<_>>(), [0.75, 0.25]);
    assert_eq!((found.expected_minutes, found.exact, found.written_minutes), (0.0, true, Some(0.0)));
}

#[test]
fn a_single_suspect_is_named_at_once() {
    let found = policy(&flat(&[2.0], vec![check("look", 1.0, &[vec![0.4], vec![0.6]])]), &Limits::default());
    assert_eq!(found.root(), &Node::Found { suspect: 0, probability: 1.0, others: Vec::new() });
}

/// An outcome that cannot come under any suspect has no branch, and does no harm.
#[test]
fn an_outcome_that_keeps_none_of_the_suspects_has_no_branch() {
    let rows = [vec![0.0, 0.0], vec![1.0, 0.0], vec![0.0, 1.0]];
    let found = policy(&flat(&[1.0, 1.0], vec![check("look", 3.0, &rows)]), &Limits::default());
    let Node::Ask(ask) = found.root() else { panic!("it parts them") };
    assert_eq!(ask.branches.iter().map(|branch| branch.outcomes.clone()).collect::<Vec<_>>(), [[1], [2]]);
    assert_eq!((ask.ends, ask.minutes), (1.0, 3.0));
}

/// Two checks of which each rules out what the other found: the way on is never empty, as such findings have no chance.
#[test]
fn contradicting_checks_come_to_an_end() {
    let rows = [vec![1.0, 0.0], vec![0.0, 1.0]];
    let turned = [vec![0.0, 1.0], vec![1.0, 0.0]];
    let found = policy(&flat(&[1.0, 1.0], vec![check("one", 3.0, &rows), check("two", 2.0, &turned)]), &Limits::default());
    assert_eq!(found.expected_minutes, 2.0);
    assert!(found.nodes[1..].iter().all(|node| matches!(node, Node::Found { probability: 1.0, .. })));
}

#[test]
fn a_check_that_waits_for_itself_is_left_alone() {
    let mut circle = looks_for("circle", 1.0, &[0], 2);
    circle.after = vec![1];
    let mut other = looks_for("other", 1.0, &[0], 2);
    other.after = vec![0];
    let mut behind = looks_for("behind", 1.0, &[0], 2);
    behind.after = vec![0];
    let found = policy(&flat(&[1.0, 1.0], vec![circle, other, behind]), &Limits::default());
    assert!(matches!(found.root(), Node::Open { .. }));
    assert!(found.exact);
}

#[test]
fn numbers_that_make_no_model_are_refused() {
    let build =
        |chances: &[f64], checks: Vec<CheckModel>| Model::new(suspects(chances), checks, Minutes::default(), State::Powered, Vec::new());
    let look = |minutes: f64| vec![check("look", minutes, &[vec![1.0], vec![0.0]])];
    assert_eq!(build(&[], Vec::new()), Err(ModelError::NoSuspects));
    assert!(matches!(build(&[1.0, -1.0], Vec::new()), Err(ModelError::Chance(name)) if name.id == "fault-01"));
    assert!(matches!(build(&[0.0], Vec::new()), Err(ModelError::Chance(_))));
    assert!(matches!(build(&[f64::NAN], Vec::new()), Err(ModelError::Chance(_))));
    for minutes in [0.0, -2.0, f64::INFINITY] {
        assert!(matches!(build(&[1.0], look(minutes)), Err(ModelError::Minutes(_))));
    }
    assert!(matches!(build(&[1.0], vec![check("look", 1.0, &[vec![0.5], vec![0.4]])]), Err(ModelError::Likelihood(_))));
    assert!(matches!(build(&[1.0], vec![check("look", 1.0, &[vec![0.5, 0.5], vec![0.5]])]), Err(ModelError::Likelihood(_))));
    assert!(matches!(build(&[1.0], vec![check("look", 1.0, &[])]), Err(ModelError::Likelihood(_))));
    assert_eq!(build(&[1.0; MAX_SUSPECTS + 1], Vec::new()), Err(ModelError::TooManySuspects(MAX_SUSPECTS + 1)));
    let many: Vec<CheckModel> = (0..=MAX_CHECKS).flat_map(|_| look(1.0)).collect();
    assert_eq!(build(&[1.0], many), Err(ModelError::TooManyChecks(MAX_CHECKS + 1)));
    let wrong = Model::new(suspects(&[1.0]), look(1.0), Minutes::default(), State::Powered, vec![1]);
    assert_eq!(wrong, Err(ModelError::Place(1)));
    // A suspect of no chance is never possible, and no reason to refuse the others.
    let found = policy(&flat(&[1.0, 0.0], vec![looks_for("look", 1.0, &[0], 2)]), &Limits::default());
    assert_eq!(found.root(), &Node::Found { suspect: 0, probability: 1.0, others: Vec::new() });
}
