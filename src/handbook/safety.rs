//! A hazard, how it is controlled, and when it must be shown.

use super::{Common, Prose};

#[derive(Debug, Clone)]
pub struct SafetyNote {
    pub common: Common,
    pub signal: Signal,
    pub hazard: Prose,
    pub controls: Vec<Prose>,
    pub when: Prose,
}

/// Signal words of ANSI Z535, gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Signal {
    Danger,
    Warning,
    Caution,
    Notice,
}

impl Signal {
    pub fn word(self) -> &'static str {
        match self {
            Signal::Danger => "DANGER",
            Signal::Warning => "WARNING",
            Signal::Caution => "CAUTION",
            Signal::Notice => "NOTICE",
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution => "caution",
            Signal::Notice => "notice",
        }
    }
}
