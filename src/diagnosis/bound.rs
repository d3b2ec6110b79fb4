//! A number of minutes that no policy can undercut.
//!
//! Let g be the likeliest suspect. Until a check is done whose outcomes have other chances under a fault than under g, that
//! fault and g see the same findings and so the same checks. Along this common way the faults are to be parted from g as a
//! set is to be covered, and the time until each is parted is at least that of a single machine that may split its jobs,
//! with the rate of each check (chance that it parts ÷ minutes) in falling order: the mean-busy-time bound of scheduling.
//! Some of those ways end early, with another fault named although g is there: their share is bounded too.

use super::situation::{Board, Set, Situation, View, places};
use crate::handbook::State;

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
        let mut jobs: Vec<(f64, f64)> = Vec::new();
        let mut coverable = 0;
        let mut cheapest = [f64::INFINITY; 64];
        for check in places(useful) {
            let minutes = self.model.checks[check].minutes;
            let parted = self.differs[check][likeliest] & at.possible;
            entry = entry.min(self.entry(at, check));
            coverable |= parted;
            jobs.push((weight(parted), minutes));
            for suspect in places(parted) {
                cheapest[suspect] = cheapest[suspect].min(minutes);
            }
        }
        jobs.sort_by(|a, b| (b.0 * a.1).total_cmp(&(a.0 * b.1)));

        // g may be named while a little of the others is left.
        let left_over = at.weights[likeliest] * (1.0 - self.certainty) / self.certainty;
        let all = weight(coverable);
        let mut need = (all - left_over).max(0.0);
        let mut under_way = at.whole;
        let mut sum = 0.0;
        for (mass, minutes) in jobs {
            if need <= 0.0 || mass <= 0.0 {
                break;
            }
            let part = (need / mass).min(1.0);
            sum += part * minutes * (under_way - part * mass / 2.0).max(0.0);
            under_way -= part * mass;
            need -= part * mass;
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
        let can = |h: &usize| {
            let favour: f64 = places(useful).map(|check| self.favour[check][*h][g]).product();
            *h != g && at.weights[*h] * favour * spare >= at.weights[g] * (1.0 - 1e-9)
        };
        let mass: f64 = places(at.possible).filter(can).map(|h| at.weights[h]).sum();
        (spare * mass / at.weights[g]).min(1.0)
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
