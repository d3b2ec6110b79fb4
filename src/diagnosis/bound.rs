//! A number of minutes that no policy can undercut.
//!
//! Of every useful check let the finding with the highest chance be the usual one, and look only at the way on which every
//! check finds what is usual. Each check takes some of the chance off this way, at most as much as if it were the first; the
//! minutes spent count with what is still on it. That is a set to be covered in falling order of rates (chance taken off ÷
//! minutes), and no order does better than a single machine that may split its jobs: the mean-busy-time bound of scheduling.
//! To enter a state is a job that takes nothing off and comes before those in it; it is taken together with as many of them
//! as give the highest rate (J. B. Sidney, "Decomposition algorithms for single-machine sequencing with precedence relations
//! and deferral costs", Operations Research 23, 1975).
//!
//! The way ends when so little is left on it that one fault can be named, or only suspects that no check parts; or else when
//! two suspects stay on it although checks part them, and then all of these checks have been done. Suspects that no usual
//! finding rules out all stay on it, and then all checks that part any two of them have been done.
//!
//! Before it is over, one check more is done in any case.

use super::board::{Board, SAME, Set, bit, places};
use super::model::{MAX_CHECKS, MAX_SUSPECTS};
use super::situation::{Situation, View};
use crate::handbook::State;

/// What a bound costs besides the chances that it looks at.
const WORK_A_BOUND: u64 = 500;

/// A check, by what it takes off the usual way.
#[derive(Clone, Copy)]
struct Job {
    mass: f64,
    minutes: f64,
    /// Chance taken off per minute.
    rate: f64,
    state: State,
}

/// What the usual findings of the useful checks say.
struct Usual {
    jobs: [Job; MAX_CHECKS],
    n_jobs: usize,
    /// What is left of each suspect that is possible, in their order.
    weights: [f64; MAX_SUSPECTS],
    /// For each of these the checks whose usual finding rules it out.
    rules_out: [Set; MAX_SUSPECTS],
    /// For each of these the minutes of the cheapest check that may find something else under it; 0 if there is none.
    cheapest: [f64; MAX_SUSPECTS],
}

impl Board<'_> {
    /// At most the least expected minutes from here on, in minutes times [`Situation::whole`].
    pub fn bound(&self, at: &Situation, view: &View) -> f64 {
        if self.over(at, view) {
            return 0.0;
        }
        let useful = self.useful(at, view);
        let n_pairs = (view.alive.len() * view.alive.len()) as u64;
        self.work.set(self.work.get() + WORK_A_BOUND + view.chances(useful) + n_pairs);
        let (mut entry, mut one_check) = (f64::INFINITY, f64::INFINITY);
        for check in places(useful).filter(|&check| self.before[check] & useful == 0) {
            let minutes = self.entry(at, check);
            entry = entry.min(minutes);
            one_check = one_check.min(minutes + self.model.checks[check].minutes);
        }
        let mut usual = self.usual(at, view, useful);
        let jobs = &mut usual.jobs[..usual.n_jobs];
        jobs.sort_unstable_by(|a, b| b.rate.total_cmp(&a.rate));
        for state in State::ALL {
            enter(jobs, state, self.setup(at, useful, state) - entry);
        }
        jobs.sort_unstable_by(|a, b| b.rate.total_cmp(&a.rate));

        let (left, together) = self.left(at, view, useful, &usual);
        let (sum, short) = covered(&usual.jobs[..usual.n_jobs], at.whole, left, together);
        // The machine that splits its jobs counts a check's mass half-way through; it goes only when the check is done.
        let n_alive = view.alive.len();
        let (weights, cheapest) = (&usual.weights[..n_alive], &usual.cheapest[..n_alive]);
        let halves = weights.iter().zip(cheapest).map(|(weight, minutes)| weight * minutes).sum::<f64>() / 2.0;
        let dearest = cheapest.iter().copied().fold(0.0, f64::max) / 2.0;
        let apart = sum + (halves - left * dearest).max(0.0);
        let with_two = if together.is_finite() { short.min(sum) } else { f64::INFINITY };
        (entry * at.whole + apart.min(with_two)).max(one_check * at.whole)
    }

    fn usual(&self, at: &Situation, view: &View, useful: Set) -> Usual {
        let none = Job { mass: 0.0, minutes: 0.0, rate: 0.0, state: State::Isolated };
        let mut usual = Usual {
            jobs: [none; MAX_CHECKS],
            n_jobs: 0,
            weights: [0.0; MAX_SUSPECTS],
            rules_out: [0; MAX_SUSPECTS],
            cheapest: [f64::INFINITY; MAX_SUSPECTS],
        };
        let n_alive = view.alive.len();
        let weights = &mut usual.weights[..n_alive];
        view.alive.iter().zip(weights.iter_mut()).for_each(|(&suspect, weight)| *weight = at.weights[suspect as usize]);
        for check in places(useful) {
            let model = &self.model.checks[check];
            let mut likeliest: (&[f64], f64) = (&[], f64::NEG_INFINITY);
            for row in view.rows_of(check) {
                let mass = row.iter().zip(weights.iter()).map(|(chance, weight)| chance * weight).sum::<f64>();
                if mass > likeliest.1 {
                    likeliest = (row, mass);
                }
            }
            let (row, stays) = likeliest;
            for ((&chance, rules_out), cheapest) in row.iter().zip(&mut usual.rules_out).zip(&mut usual.cheapest) {
                if chance <= 0.0 {
                    *rules_out |= bit(check);
                }
                if chance < 1.0 - SAME {
                    *cheapest = cheapest.min(model.minutes);
                }
            }
            let mass = at.whole - stays;
            if mass > SAME * at.whole {
                usual.jobs[usual.n_jobs] = Job { mass, minutes: model.minutes, rate: mass / model.minutes, state: model.state };
                usual.n_jobs += 1;
            }
        }
        for minutes in &mut usual.cheapest[..n_alive] {
            *minutes = if minutes.is_finite() { *minutes } else { 0.0 };
        }
        usual
    }

    /// The most that can be left on the usual way at its end, unless two suspects stay on it that checks part; and the
    /// minutes, at least, of the checks that have been done if two such suspects stay.
    fn left(&self, at: &Situation, view: &View, useful: Set, usual: &Usual) -> (f64, f64) {
        let minutes = |checks: Set| places(checks).map(|check| self.model.checks[check].minutes).sum::<f64>();
        let mut left = self.leader(at).1 * at.whole / self.certainty;
        let mut together = f64::INFINITY;
        // What parts those that stay in any case.
        let mut parting_staying = 0;
        for (a, &suspect) in view.alive.iter().enumerate() {
            let mut alike = 0.0;
            for (b, &other) in view.alive.iter().enumerate() {
                let parting = self.parting[suspect as usize][other as usize] & useful;
                if parting == 0 {
                    alike += usual.weights[b];
                } else if a < b && parting & (usual.rules_out[a] | usual.rules_out[b]) == 0 {
                    together = together.min(minutes(parting));
                    if usual.rules_out[a] | usual.rules_out[b] == 0 {
                        parting_staying |= parting;
                    }
                }
            }
            left = left.max(alike);
        }
        (left, if parting_staying == 0 { together } else { minutes(parting_staying) })
    }

    /// Minutes to enter a state for its useful checks, at least: the way from the nearest other state, and the guards of the
    /// state that all of these checks need.
    fn setup(&self, at: &Situation, useful: Set, state: State) -> f64 {
        let here = useful & self.in_state[state as usize];
        if here == 0 {
            return 0.0;
        }
        let holds = places(here).fold(!useful, |set, check| set & self.holds[check]);
        let guards = |set: Set| places(set).map(|guard| self.model.checks[guard].minutes).sum::<f64>();
        if state == at.state { guards(holds & !at.fresh) } else { guards(holds) + self.nearest[state as usize] }
    }

    /// Minutes before a check can begin, at least: the way to its state, and the guards that are missing.
    fn entry(&self, at: &Situation, check: usize) -> f64 {
        let model = self.model;
        let state = model.checks[check].state;
        let missing = self.before[check] & !at.done;
        let stays = missing == 0 || places(missing).all(|earlier| model.checks[earlier].state == at.state);
        let fresh = if state == at.state && stays { at.fresh } else { 0 };
        let guards = missing | self.holds[check] & !fresh;
        let minutes: f64 = places(guards).map(|guard| model.checks[guard].minutes).sum();
        minutes + self.way(at.state, state, missing)
    }

    /// The shortest way from a state to another by way of the states of the checks that are missing, at least.
    fn way(&self, from: State, to: State, missing: Set) -> f64 {
        let between = |a, b| self.least_minutes.between(a, b);
        let by = |earlier: usize| {
            let state = self.model.checks[earlier].state;
            between(from, state) + between(state, to)
        };
        places(missing).map(by).fold(between(from, to), f64::max)
    }
}

/// Adds the minutes to enter a state to its jobs, which stand in the order of falling rates: to the first, and to as many
/// after it as still raise the rate. These then all have that rate.
fn enter(jobs: &mut [Job], state: State, minutes: f64) {
    if minutes <= 0.0 {
        return;
    }
    let (mut mass, mut together) = (0.0, minutes);
    let mut n_taken = 0;
    for job in jobs.iter().filter(|job| job.state == state) {
        if n_taken > 0 && job.rate <= mass / together {
            break;
        }
        mass += job.mass;
        together += job.minutes;
        n_taken += 1;
    }
    for job in jobs.iter_mut().filter(|job| job.state == state).take(n_taken) {
        job.rate = mass / together;
        job.minutes = job.mass / job.rate;
    }
}

/// Minutes times what is on the way, until no more than `left` is; and the same until the time `together`, if that is earlier.
fn covered(jobs: &[Job], whole: f64, left: f64, together: f64) -> (f64, f64) {
    let mut need = (whole - left).max(0.0);
    let (mut under_way, mut time, mut sum, mut short) = (whole, 0.0, 0.0, f64::INFINITY);
    for job in jobs {
        if need <= 0.0 {
            break;
        }
        let spent = |part: f64| part * job.minutes * (under_way - part * job.mass / 2.0).max(0.0);
        let part = (need / job.mass).min(1.0);
        if short.is_infinite() && time + part * job.minutes > together {
            short = sum + spent((together - time) / job.minutes);
        }
        sum += spent(part);
        time += part * job.minutes;
        under_way -= part * job.mass;
        need -= part * job.mass;
    }
    (sum, short)
}
