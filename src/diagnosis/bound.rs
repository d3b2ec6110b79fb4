//! A number of minutes that no policy can undercut.
//!
//! Let g be the likeliest suspect. Until a check is done whose outcomes have other chances under a fault than under g, that
//! fault and g see the same findings and so the same checks. Along this common way the faults are to be parted from g as a
//! set is to be covered, and the time until each is parted is at least that of a single machine that may split its jobs,
//! with the rate of each check (chance that it parts ÷ minutes) in falling order: the mean-busy-time bound of scheduling.
//! To enter a state is a job that parts nothing and comes before those in it; it is taken together with as many of them as
//! give the highest rate (J. B. Sidney, "Decomposition algorithms for single-machine sequencing with precedence relations and
//! deferral costs", Operations Research 23, 1975). Some of the ways end early, with another fault named although g is there:
//! their share is bounded too.

use std::cmp::Ordering;

use super::board::{Board, Set, places};
use super::model::{MAX_CHECKS, MAX_SUSPECTS};
use super::situation::{Situation, View};
use crate::handbook::State;

/// Checks that together part so much in so many minutes.
#[derive(Clone, Copy)]
struct Job {
    mass: f64,
    minutes: f64,
    state: State,
}

impl Default for Job {
    fn default() -> Self {
        Self { mass: 0.0, minutes: 0.0, state: State::Isolated }
    }
}

impl Job {
    fn faster(a: &Job, b: &Job) -> Ordering {
        (b.mass * a.minutes).total_cmp(&(a.mass * b.minutes))
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
        if n_taken > 0 && job.mass * together <= mass * job.minutes {
            break;
        }
        mass += job.mass;
        together += job.minutes;
        n_taken += 1;
    }
    for job in jobs.iter_mut().filter(|job| job.state == state).take(n_taken) {
        job.minutes = together * job.mass / mass;
    }
}

impl Board<'_> {
    /// At most the least expected minutes from here on, in minutes times [`Situation::whole`].
    pub fn bound(&self, at: &Situation, view: &View) -> f64 {
        let useful = self.useful(at, view);
        let (likeliest, chance) = self.leader(at);
        if useful == 0 || chance >= self.certainty - 1e-12 {
            return 0.0;
        }
        let weight = |set: Set| places(set).map(|suspect| at.weights[suspect]).sum::<f64>();

        let mut entry = f64::INFINITY;
        let mut jobs = [Job::default(); MAX_CHECKS];
        let mut n_jobs = 0;
        let mut coverable = 0;
        let mut cheapest = [f64::INFINITY; MAX_SUSPECTS];
        for check in places(useful) {
            let minutes = self.model.checks[check].minutes;
            let parted = self.differs[check][likeliest] & at.possible;
            entry = entry.min(self.entry(at, check));
            coverable |= parted;
            if parted != 0 {
                jobs[n_jobs] = Job { mass: weight(parted), minutes, state: self.model.checks[check].state };
                n_jobs += 1;
            }
            for suspect in places(parted) {
                cheapest[suspect] = cheapest[suspect].min(minutes);
            }
        }
        let jobs = &mut jobs[..n_jobs];
        jobs.sort_unstable_by(Job::faster);
        for state in State::ALL {
            enter(jobs, state, self.setup(at, useful, state) - entry);
        }
        jobs.sort_unstable_by(Job::faster);

        // g may be named while a little of the others is left.
        let left_over = at.weights[likeliest] * (1.0 - self.certainty) / self.certainty;
        let all = weight(coverable);
        let mut need = (all - left_over).max(0.0);
        let mut under_way = at.whole;
        let mut sum = 0.0;
        for job in jobs {
            if need <= 0.0 {
                break;
            }
            let part = (need / job.mass).min(1.0);
            sum += part * job.minutes * (under_way - part * job.mass / 2.0).max(0.0);
            under_way -= part * job.mass;
            need -= part * job.mass;
        }
        let halves = places(coverable).map(|suspect| at.weights[suspect] * cheapest[suspect]).sum::<f64>() / 2.0;
        let dearest = places(coverable).map(|suspect| cheapest[suspect]).fold(0.0, f64::max) / 2.0;
        let covering = sum + (halves - left_over * dearest).max(0.0);
        entry * at.whole + covering * (1.0 - self.misled(at, useful, likeliest))
    }

    /// The chance, at most, that a diagnosis under suspect g ends with another fault named.
    ///
    /// Where h is named the others hold at most (1 − certainty) ÷ certainty of its chance. And h can only be named in spite
    /// of g if the findings that are possible under g can favour h by that much.
    fn misled(&self, at: &Situation, useful: Set, g: usize) -> f64 {
        let spare = (1.0 - self.certainty) / self.certainty;
        if spare <= 0.0 {
            return 0.0;
        }
        let can = |h: &usize| {
            // Only checks that favour h count: the others need not be done.
            let favour: f64 = places(useful & self.favouring[*h][g]).map(|check| self.favour[check][*h][g]).product();
            *h != g && at.weights[*h] * favour * spare >= at.weights[g] * (1.0 - 1e-9)
        };
        let mass: f64 = places(at.possible).filter(can).map(|h| at.weights[h]).sum();
        (spare * mass / at.weights[g]).min(1.0)
    }

    /// Minutes to enter a state for its useful checks, at least: the way from the nearest other state, and the guards of the
    /// state that all of these checks need.
    fn setup(&self, at: &Situation, useful: Set, state: State) -> f64 {
        let here = useful & self.in_state[state as usize];
        if here == 0 {
            return 0.0;
        }
        let holds = places(here).fold(Set::MAX, |set, check| set & self.holds[check]);
        let guards = |set: Set| places(set).map(|guard| self.model.checks[guard].minutes).sum::<f64>();
        match state == at.state {
            true => guards(holds & !at.fresh),
            false => guards(holds) + self.nearest[state as usize],
        }
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
