//! What every entry has, and the words that several kinds share.

use pulldown_cmark::Options;

use super::Name;

/// Markdown whose links to entries are known to lead somewhere.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Prose {
    pub markdown: String,
    /// The entries that the text links to, in order, each once.
    pub links: Vec<Name>,
}

impl Prose {
    /// What prose may have beyond plain Markdown. Checking, drawing and searching read it alike, or a link could hide from one
    /// of them.
    pub const SYNTAX: Options = Options::ENABLE_TABLES.union(Options::ENABLE_STRIKETHROUGH);
}

/// The fields of every kind of entry.
#[derive(Debug, Clone, Default)]
pub struct Common {
    pub id: String,
    pub title: String,
    /// One sentence.
    pub summary: String,
    /// Other names that people use.
    pub also: Vec<String>,
    pub body: Option<Prose>,
    pub see: Vec<Name>,
    pub sources: Vec<Citation>,
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Citation {
    /// A name of kind source.
    pub source: Name,
    /// Clause, table or page in it.
    pub at: Option<String>,
    /// Which figure.
    pub figure: Option<String>,
}

/// What the appliance must be when the work starts; also the order of rising hazard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    Isolated,
    Powered,
    GasOn,
    Firing,
}

/// What the work can hurt or be hurt by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Touches {
    LineVoltage,
    GasTrain,
    Combustion,
    HotSurface,
}

impl State {
    pub const ALL: [State; 4] = [State::Isolated, State::Powered, State::GasOn, State::Firing];

    /// The state in which an appliance is taken to be found: powered and not firing. What can be read with its covers on then
    /// costs no change of state.
    pub const AS_FOUND: State = State::Powered;

    /// The word that authors write.
    pub fn name(self) -> &'static str {
        match self {
            State::Isolated => "isolated",
            State::Powered => "powered",
            State::GasOn => "gas-on",
            State::Firing => "firing",
        }
    }

    /// The words that readers see.
    pub fn words(self) -> &'static str {
        match self {
            State::Isolated => "Isolated: power and gas off",
            State::Powered => "Powered: electricity on, gas off",
            State::GasOn => "Gas on: electricity and gas on, not firing",
            State::Firing => "Firing",
        }
    }
}

impl Touches {
    pub const ALL: [Touches; 4] = [Touches::LineVoltage, Touches::GasTrain, Touches::Combustion, Touches::HotSurface];

    /// The word that authors write.
    pub fn name(self) -> &'static str {
        match self {
            Touches::LineVoltage => "line-voltage",
            Touches::GasTrain => "gas-train",
            Touches::Combustion => "combustion",
            Touches::HotSurface => "hot-surface",
        }
    }

    /// The words that readers see.
    pub fn words(self) -> &'static str {
        match self {
            Touches::LineVoltage => "Line voltage",
            Touches::GasTrain => "Gas train",
            Touches::Combustion => "Combustion",
            Touches::HotSurface => "Hot surface",
        }
    }
}
