//! What a symptom comes to: who is suspected, what can be checked, and what each finding says.

use std::fmt;

use crate::handbook::{MOST_IN_ORDER, Name, State};

/// Suspects that a model can hold; sets of them are bits of one word.
pub const MAX_SUSPECTS: usize = MOST_IN_ORDER;
/// Checks that a model can hold.
pub const MAX_CHECKS: usize = MOST_IN_ORDER;

/// One symptom, ready to be solved. Exactly one of the suspects is at fault, and a check that is done again finds the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Model {
    pub suspects: Vec<SuspectModel>,
    /// In any order; a check whose `after` leads back to itself can never be done and is left alone.
    pub checks: Vec<CheckModel>,
    pub minutes: Minutes,
    /// The state in which the appliance is found.
    pub start: State,
    /// The order as the author wrote it: places in `checks`.
    pub written: Vec<usize>,
}

/// A fault that may be behind the symptom.
#[derive(Debug, Clone, PartialEq)]
pub struct SuspectModel {
    pub fault: Name,
    /// 0 to 1; all together 1.
    pub chance: f64,
}

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckModel {
    pub check: Name,
    pub state: State,
    /// Above 0, without the time to bring the appliance into its state.
    pub minutes: f64,
    /// Places in [`Model::checks`] of those that must have been done.
    pub after: Vec<usize>,
    /// States that erase what the check reads. It is done before the appliance is first brought into one of them, and not
    /// after; a check that cannot be done so early is never done. To go on without it, take it out of the model.
    pub erased_by: Vec<State>,
    /// Whether it only makes the work safe, such as a proof that a circuit is dead. It counts for a later check in the same
    /// state only as long as the appliance has not left that state; after that it is done again.
    pub guard: bool,
    pub outcomes: Vec<OutcomeModel>,
}

/// What may be found.
#[derive(Debug, Clone, PartialEq)]
pub struct OutcomeModel {
    /// The outcome's id within its check.
    pub id: String,
    /// Chance of this outcome under each suspect, 0 to 1, in the order of suspects. Under one suspect all outcomes of a check
    /// add up to 1.
    pub likelihood: Vec<f64>,
}

/// Minutes to bring the appliance from one state into another.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Minutes([[f64; 4]; 4]);

/// Why numbers make no model.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ModelError {
    NoSuspects,
    TooManySuspects(usize),
    TooManyChecks(usize),
    /// A chance that is negative, not a number, or all are 0.
    Chance(Name),
    /// Minutes that are not above 0.
    Minutes(Name),
    /// Likelihoods that are missing, negative or do not add up to 1 under a suspect.
    Likelihood(Name),
    /// An `after` or `written` that names no check of the model.
    Place(usize),
}

impl Model {
    /// Takes the parts, divides the chances by their sum, and looks whether all holds that is said of the fields.
    ///
    /// # Errors
    /// The first thing that does not hold.
    pub fn new(
        suspects: Vec<SuspectModel>,
        checks: Vec<CheckModel>,
        minutes: Minutes,
        start: State,
        written: Vec<usize>,
    ) -> Result<Self, ModelError> {
        let mut model = Self { suspects, checks, minutes, start, written };
        model.look()?;
        let whole: f64 = model.suspects.iter().map(|suspect| suspect.chance).sum();
        for suspect in &mut model.suspects {
            suspect.chance /= whole;
        }
        Ok(model)
    }

    fn look(&self) -> Result<(), ModelError> {
        let first = self.suspects.first().ok_or(ModelError::NoSuspects)?;
        if self.suspects.len() > MAX_SUSPECTS {
            return Err(ModelError::TooManySuspects(self.suspects.len()));
        }
        if self.checks.len() > MAX_CHECKS {
            return Err(ModelError::TooManyChecks(self.checks.len()));
        }
        if let Some(wrong) = self.suspects.iter().find(|suspect| !(suspect.chance >= 0.0 && suspect.chance.is_finite())) {
            return Err(ModelError::Chance(wrong.fault.clone()));
        }
        if !self.suspects.iter().any(|suspect| suspect.chance > 0.0) {
            return Err(ModelError::Chance(first.fault.clone()));
        }
        let places = self.checks.iter().flat_map(|check| &check.after).chain(&self.written);
        if let Some(&place) = places.into_iter().find(|&&place| place >= self.checks.len()) {
            return Err(ModelError::Place(place));
        }
        for check in &self.checks {
            if !(check.minutes > 0.0 && check.minutes.is_finite()) {
                return Err(ModelError::Minutes(check.check.clone()));
            }
            let whole = |suspect: usize| check.outcomes.iter().map(|outcome| outcome.likelihood[suspect]).sum::<f64>();
            let sound = !check.outcomes.is_empty()
                && check.outcomes.iter().all(|outcome| {
                    outcome.likelihood.len() == self.suspects.len() && outcome.likelihood.iter().all(|chance| (0.0..=1.0).contains(chance))
                })
                && (0..self.suspects.len()).all(|suspect| (whole(suspect) - 1.0).abs() < 1e-9);
            if !sound {
                return Err(ModelError::Likelihood(check.check.clone()));
            }
        }
        Ok(())
    }
}

impl Minutes {
    /// From single changes, by the shortest way through other states; a change that no way leads to takes `unstated` minutes.
    /// Changes of a negative or no number of minutes are left out.
    pub fn from_changes(changes: impl IntoIterator<Item = (State, State, f64)>, unstated: f64) -> Self {
        let mut table = [[f64::INFINITY; 4]; 4];
        for (from, to, minutes) in changes {
            if minutes >= 0.0 {
                let cell = &mut table[from as usize][to as usize];
                *cell = cell.min(minutes);
            }
        }
        shorten(&mut table);
        for (from, row) in table.iter_mut().enumerate() {
            for (to, cell) in row.iter_mut().enumerate() {
                *cell = match *cell {
                    _ if from == to => 0.0,
                    minutes if minutes.is_finite() => minutes,
                    _ => unstated,
                };
            }
        }
        Self(table)
    }

    /// The same with every change by the shortest way, also through changes that are not stated.
    pub(super) fn at_least(mut self) -> Self {
        shorten(&mut self.0);
        self
    }

    /// Minutes from one state to another; 0 from a state to itself.
    pub fn between(&self, from: State, to: State) -> f64 {
        self.0[from as usize][to as usize]
    }
}

fn shorten(table: &mut [[f64; 4]; 4]) {
    for through in 0..4 {
        for from in 0..4 {
            for to in 0..4 {
                table[from][to] = table[from][to].min(table[from][through] + table[through][to]);
            }
        }
    }
}

impl fmt::Display for ModelError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ModelError::NoSuspects => write!(out, "no fault is suspected"),
            ModelError::TooManySuspects(count) => write!(out, "expected at most {MAX_SUSPECTS} faults, found {count}"),
            ModelError::TooManyChecks(count) => write!(out, "expected at most {MAX_CHECKS} checks, found {count}"),
            ModelError::Chance(name) => write!(out, "expected chances above 0, found another at `{name}`"),
            ModelError::Minutes(name) => write!(out, "expected minutes above 0 at `{name}`"),
            ModelError::Likelihood(name) => write!(out, "expected likelihoods that add up to 1 under each fault at `{name}`"),
            ModelError::Place(place) => write!(out, "expected the place of a check, found {place}"),
        }
    }
}

impl std::error::Error for ModelError {}
