//! The closed lists of words that fields may have.

use super::record::names;

names! {
    /// The state that the appliance must be in.
    pub enum State {
        /// Power and gas shut off and locked.
        Isolated = "isolated",
        /// Power on, gas shut.
        Powered = "powered",
        /// Power and gas on, no flame wanted.
        GasOn = "gas-on",
        /// The burner is running.
        Firing = "firing",
    }
}

names! {
    /// What the work touches that can hurt.
    pub enum Touches {
        LineVoltage = "line-voltage",
        GasTrain = "gas-train",
        Combustion = "combustion",
        HotSurface = "hot-surface",
    }
}

names! {
    /// What a band of readings asks for.
    pub enum Severity {
        /// Nothing to do.
        Good = "good",
        /// Look again soon.
        Watch = "watch",
        /// Mend it.
        Act = "act",
        /// Do not run the appliance.
        Stop = "stop",
    }
}

names! {
    /// The signal words of ANSI Z535.
    pub enum Signal {
        /// Will kill or maim if not avoided.
        Danger = "danger",
        /// Could kill or maim if not avoided.
        Warning = "warning",
        /// Could cause minor or moderate injury.
        Caution = "caution",
        /// No injury, but damage.
        Notice = "notice",
    }
}

names! {
    /// What sort of source a figure comes from.
    pub enum SourceKind {
        Standard = "standard",
        Handbook = "handbook",
        CommonPractice = "common-practice",
        /// From memory, not checked against a printed copy.
        Recalled = "recalled",
    }
}

names! {
    /// What a fault's weight rests on.
    pub enum Basis {
        ShopRecord = "shop-record",
        CommonPractice = "common-practice",
        Judgement = "judgement",
    }
}

names! {
    /// The units that a shop works in.
    pub enum Units {
        Us = "us",
        Si = "si",
    }
}

names! {
    /// What a table's column holds.
    pub enum ColumnKind {
        Number = "number",
        Text = "text",
    }
}

names! {
    /// The kinds of entries that safety rules hold for: those that are done.
    pub enum Work {
        Check = "check",
        Task = "task",
    }
}

names! {
    /// How a table is read at a value that stands between two rows.
    pub enum How {
        /// The smallest row whose order column is at or above the value.
        NextUp = "next-up",
        /// Linear interpolation, inside the table only.
        Between = "between",
    }
}

names! {
    /// What a drawing shows.
    pub enum DrawingKind {
        /// A quick-connect tab with its crimped conductor.
        Terminal = "terminal",
    }
}

names! {
    /// The topics of derived quiz items.
    pub enum Topic {
        Bands = "bands",
        Sums = "sums",
        Safety = "safety",
        Sequence = "sequence",
        Wiring = "wiring",
        Terms = "terms",
        FirstCheck = "first-check",
    }
}
