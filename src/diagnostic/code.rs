//! The table of codes: one row each, from which come the messages' names, their severity and the guide's page.

use super::{Once, Severity};

/// What the authors' guide says about one code.
#[derive(Debug, Clone, Copy)]
pub struct Lesson {
    /// One line: what is wrong.
    pub title: &'static str,
    /// Markdown: why it matters and how to mend it.
    pub text: &'static str,
    /// A piece of an entry that brings this problem, and the same piece mended.
    pub wrong: &'static str,
    pub right: &'static str,
}

macro_rules! codes {
    ($($variant:ident $name:literal $severity:ident { $title:literal $text:literal $wrong:literal => $right:literal })*) => {
        /// The stable name of a kind of problem.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $($variant),* }

        impl Code {
            /// Every code, in the order of the guide's page.
            pub const ALL: &'static [Code] = &[$(Code::$variant),*];

            /// The name shown to authors, also the anchor on the guide's page.
            pub fn name(self) -> &'static str {
                match self { $(Code::$variant => $name),* }
            }

            pub fn severity(self) -> Severity {
                match self { $(Code::$variant => Severity::$severity),* }
            }

            pub fn lesson(self) -> Lesson {
                match self { $(Code::$variant => Lesson { title: $title, text: $text, wrong: $wrong, right: $right }),* }
            }
        }
    };
}

impl Code {
    /// Within what the same message of this code is told once, unless the message itself says otherwise: a reference may stand in
    /// any entry, a name only in its own.
    pub(super) fn once(self) -> Once {
        match self {
            Self::BrokenLink => Once::PerHandbook,
            Self::UnknownName | Self::UnlistedFault | Self::UnknownField | Self::MissingField | Self::RaggedRow => Once::PerFile,
            _ => Once::PerPlace,
        }
    }
}

codes! {
    // Files and YAML.
    NotText "not-text" Error {
        "the file is not UTF-8 text"
        "Entries are UTF-8. Save the file again as UTF-8 in your editor."
        "title: Caf\\xE9 heater" => "title: Café heater"
    }
    EmptyFile "empty-file" Error {
        "the file is empty"
        "An entry needs at least its required fields. Fill it in or delete the file."
        "" => "title: Igniter stays dark"
    }
    FileTooLarge "file-too-large" Error {
        "the file is larger than an entry may be"
        "One entry is one page; the limit keeps a mistaken file from filling the memory. Split it, or take it out of the folder."
        "" => ""
    }
    YamlSyntax "yaml-syntax" Error {
        "this is not valid YAML"
        "The rest of the file cannot be read until this is mended. The usual causes: a tab instead of spaces, a missing space after `:`, text that begins with a special character and needs quotes."
        "title: Check: the fuse" => "title: 'Check: the fuse'"
    }
    YamlLimit "yaml-limit" Error {
        "the file is nested or repeated beyond what an entry needs"
        "Deep nesting, very many nodes and aliases that multiply are refused, since they can exhaust the machine."
        "a: &a [*a]" => "a: [1, 2]"
    }
    DuplicateField "duplicate-field" Error {
        "a field stands twice"
        "Only one of the two could count, so neither is taken silently."
        "minutes: 5\nminutes: 8" => "minutes: 8"
    }
    UnknownField "unknown-field" Error {
        "this kind of entry has no such field"
        "A field that nobody reads is a mistake waiting to be believed."
        "tittle: Igniter open" => "title: Igniter open"
    }
    MissingField "missing-field" Error {
        "a required field is missing"
        "Every required field is listed on the guide's page of the kind."
        "title: Igniter open" => "title: Igniter open\nsummary: The element is broken."
    }
    WrongType "wrong-type" Error {
        "the value is of another type than the field"
        "Numbers are written without quotes, lists with `-` or `[ ]`, text that looks like a number in quotes."
        "minutes: five" => "minutes: 5"
    }
    WrongValue "wrong-value" Error {
        "the value is not one that the field may have"
        "The message lists what is possible."
        "state: off" => "state: isolated"
    }
    // Folder and names.
    BadId "bad-id" Error {
        "the file's name cannot be an id"
        "An id is the file's name without `.yaml`: small letters a to z, digits, single hyphens between words, at most 64 characters. It becomes part of an address that must work on every machine."
        "checks/Prove Dead.yaml" => "checks/prove-dead.yaml"
    }
    DuplicateId "duplicate-id" Error {
        "two files would have the same id"
        "Two entries of a kind must differ by more than the case of letters or the ending, because some disks cannot tell them apart."
        "checks/prove-dead.yaml and checks/prove-dead.yml" => "checks/prove-dead.yaml"
    }
    StrayFile "stray-file" Warning {
        "the file is not part of the handbook"
        "Files outside the kinds' folders, or with other endings, are not read. If they belong elsewhere, move them away."
        "content/notes/todo.txt" => ""
    }
    UnreadEntry "unread-entry" Error {
        "an entry stands where it is not read"
        "The file's or the folder's name is nearly right, or the entry stands in a folder inside its kind's folder. Left out, it would be missed only later. Links to the entries in it are not told of as well: they hold once the name is mended."
        "content/Checks/prove-dead.yml" => "content/checks/prove-dead.yaml"
    }
    OutsideBook "outside-book" Error {
        "a link on the disk leads out of the handbook's folder"
        "A handbook is one folder, so that it can be copied and checked as a whole. Copy the file in."
        "" => ""
    }
    NoHandbook "no-handbook" Error {
        "there is no readable `handbook.yaml`"
        "The folder given is not a handbook: `handbook.yaml` at its top says title, shop and rules."
        "" => ""
    }
    // Prose.
    RawHtml "raw-html" Error {
        "HTML in prose is not taken"
        "Prose is Markdown. HTML could carry scripts or break the page, so it is refused rather than passed on."
        "body: <b>Danger</b>" => "body: '**Danger**'"
    }
    UnsafeLink "unsafe-link" Error {
        "a link must lead to an entry or to an ordinary address"
        "Links may be references such as `check:prove-dead`, `https:` or `mailto:` addresses, or `#` anchors."
        "body: '[go](javascript:x)'" => "body: '[go](check:prove-dead)'"
    }
    // Links.
    BadReference "bad-reference" Error {
        "this is not a reference"
        "A reference is the kind, a colon and the id, such as `check:prove-dead`."
        "proved-by: prove-dead" => "proved-by: check:prove-dead"
    }
    WrongKind "wrong-kind" Error {
        "the reference leads to another kind of entry than the field takes"
        "Each field says which kinds it may refer to."
        "mend: check:prove-dead" => "mend: task:replace-igniter"
    }
    BrokenLink "broken-link" Error {
        "there is no such entry"
        "The name has no file in the handbook."
        "mend: task:replace-ignitor" => "mend: task:replace-igniter"
    }
    RepeatedReference "repeated-reference" Error {
        "the same entry stands in a list twice"
        "A list of entries names each once; a second mention is a slip or means another entry."
        "safety: [safety:prove-dead-first, safety:prove-dead-first]" => "safety: [safety:prove-dead-first]"
    }
    ReferenceCycle "reference-cycle" Error {
        "entries require one another in a circle"
        "What must come before a check cannot also come after it."
        "a.yaml: after: [check:b]\nb.yaml: after: [check:a]" => "a.yaml: after: [check:b]"
    }
    Orphan "orphan" Warning {
        "no other entry refers to this one"
        "Readers find an orphan only by search. Link it from a symptom, a fault, a task or a course."
        "" => ""
    }
    UnreachableFault "unreachable-fault" Error {
        "no check listed by the symptom can find this fault"
        "A diagnosis must be able to end on each of its faults: list a check whose outcomes keep it or drop it."
        "" => ""
    }
    DuplicateTitle "duplicate-title" Warning {
        "two entries of a kind have the same title"
        "Readers cannot tell them apart in lists and search."
        "" => ""
    }
    // Meaning.
    OutOfRange "out-of-range" Error {
        "the number is outside what the field allows"
        "The message gives the range."
        "weight: -3" => "weight: 3"
    }
    BandGap "band-gap" Error {
        "no band covers part of the range"
        "A reading there would have no meaning on the page. Bands must cover the whole range."
        "- {to: 1}\n- {from: 2}" => "- {to: 1}\n- {from: 1}"
    }
    BandOverlap "band-overlap" Error {
        "two bands cover the same readings"
        "A reading must mean one thing."
        "- {to: 2}\n- {from: 1}" => "- {to: 2}\n- {from: 2}"
    }
    RaggedRow "ragged-row" Error {
        "the row has more or fewer cells than the table has columns"
        "Use `null` for a cell without a figure."
        "columns: [a, b]\nrows:\n  - [1]" => "rows:\n  - [1, null]"
    }
    UnsortedTable "unsorted-table" Error {
        "the rows do not rise in the order column"
        "`next size up` and interpolation walk the rows in order, so each must be larger than the one before."
        "rows:\n  - [2]\n  - [1]" => "rows:\n  - [1]\n  - [2]"
    }
    DuplicateRow "duplicate-row" Error {
        "two rows of a table have the same key"
        "A look-up by key must find one row."
        "key: awg\nrows:\n  - [18, 6]\n  - [18, 7]" => "key: awg\nrows:\n  - [18, 6]\n  - [16, 8]"
    }
    BandWithoutOutcome "band-without-outcome" Warning {
        "a check has no outcome for a band of its measurement"
        "A reading in that band would tell the technician nothing."
        "" => ""
    }
    MissingSource "missing-source" Error {
        "figures stand here without a source"
        "Every figure names where it comes from: a published source, `source:common-practice` or `source:recalled`."
        "" => "sources:\n  - {from: source:common-practice}"
    }
    // Safety grammar.
    MissingSafety "missing-safety" Error {
        "a safety note that the handbook's rules ask for is missing"
        "The rule in `handbook.yaml` and what the entry touches call for it."
        "touches: [gas-train]\nsafety: []" => "touches: [gas-train]\nsafety: [safety:gas-smell-leave]"
    }
    MissingTouch "missing-touch" Error {
        "a check measures where something can hurt, but does not say that it touches it"
        "The measurement says what its place touches. A check that leaves the word out escapes the safety rules for it."
        "touches: []\nmeasures: measurement:igniter-voltage" => "touches: [line-voltage]\nmeasures: measurement:igniter-voltage"
    }
    OtherState "other-state" Error {
        "a check measures in another state than the measurement is taken in"
        "The safety rules go by the check's state. A reading that is taken on an isolated appliance is taken there and nowhere else, and no check is done in a state that says less than the reading needs."
        "state: powered\nmeasures: measurement:igniter-resistance" => "state: isolated\nmeasures: measurement:igniter-resistance"
    }
    MissingBefore "missing-before" Error {
        "a check that must come first does not"
        "The rule asks for it before the work: for a check list it under `after`, in a task `use` it in an earlier step."
        "touches: [line-voltage]" => "touches: [line-voltage]\nafter: [check:prove-dead]"
    }
    MissingClosing "missing-closing" Error {
        "the work does not end with the test that the rules ask for"
        "Put the check under `closing`."
        "touches: [gas-train]\nclosing: []" => "touches: [gas-train]\nclosing: [check:gas-leak-test]"
    }
    ReadTooLate "read-too-late" Error {
        "a check comes when what it reads is erased already"
        "Some readings are lost once the appliance is brought into another state: a control that is switched off can forget its code. The check that reads it says so under `erased-by`, and no check in such a state may come before it, neither in a symptom's list nor through `after`."
        "checks: [check:igniter-resistance, check:lockout-history]" => "checks: [check:lockout-history, check:igniter-resistance]"
    }
    OutOfOrder "out-of-order" Error {
        "a symptom lists a check before one that must come first"
        "The order as written is what a reader follows on paper. A check that another one names under `after`, often because a safety rule asks for it, stands before it in the list too."
        "checks: [check:igniter-resistance, check:prove-dead]" => "checks: [check:prove-dead, check:igniter-resistance]"
    }
    // Diagnosis.
    NothingToFind "nothing-to-find" Error {
        "under a fault no outcome of a check is possible"
        "Each outcome drops the fault or keeps others only. Whatever is found would rule it out, though nobody looked for it."
        "- {id: open, keeps: [fault:igniter-open]}\n- {id: good, drops: [fault:lead-loose]}" => "- {id: open, keeps: [fault:igniter-open, fault:lead-loose]}\n- {id: good, drops: [fault:igniter-open]}"
    }
    NoOrder "no-order" Warning {
        "a symptom has too many faults or checks for an order to be worked out"
        "The page then shows the checks as they are listed, and has neither the quickest safe order nor the walk. Checks that come before listed ones count too."
        "title: Anything wrong with the heater" => "title: Igniter stays dark"
    }
    PartsNothing "parts-nothing" Warning {
        "a check says nothing that parts the faults of its symptoms"
        "In every symptom that uses the check, each fault gives each outcome with the same chance. To do it would cost minutes and tell nothing."
        "- {id: good, seen: It is clean}" => "- {id: good, seen: It is clean, drops: [fault:burner-dirty]}"
    }
    KeepsNothing "keeps-nothing" Warning {
        "an outcome keeps no fault of any symptom that uses the check"
        "Who finds it stands without a fault to go on with."
        "keeps: [fault:door-open]" => "keeps: [fault:door-open, fault:limit-open]"
    }
    UnpartedFaults "unparted-faults" Warning {
        "no check of the symptom parts two of its faults"
        "The diagnosis then ends with both of them open. List a check that finds one and not the other."
        "checks: [check:igniter-look]" => "checks: [check:igniter-look, check:igniter-resistance]"
    }
    WeightsSum "weights-sum" Warning {
        "weights that look like per cent do not come to 100"
        "Weights are relative and may have any sum. If they come close to 100 and miss it, one was most likely mistyped or left out."
        "weight: 45\nweight: 45" => "weight: 55\nweight: 45"
    }
    StageWithoutSymptom "stage-without-symptom" Warning {
        "no symptom stops at a stage of the sequence"
        "A technician whose appliance stops there finds nothing to begin with."
        "" => ""
    }
    // The shop's record.
    RecordRow "record-row" Error {
        "a row of the record of calls cannot be read"
        "A record has the columns date, appliance, symptom, fault and minutes. Dates are year-month-day, symptom and fault are ids of the handbook, minutes are above 0. A row that is guessed at would weigh faults wrongly, so nothing is taken until all rows are right."
        "25/11/2026,furnace,igniter-stays-dark,igniter-open,40" => "2026-11-25,furnace,igniter-stays-dark,igniter-open,40"
    }
    UnlistedFault "unlisted-fault" Warning {
        "a call ended on a fault that its symptom does not list"
        "The call is not counted. It may be a slip in the record; or the symptom lacks a fault that does occur."
        "2026-11-25,furnace,igniter-stays-dark,burner-dirty,40" => "2026-11-25,furnace,igniter-stays-dark,igniter-open,40"
    }
    // Formulas.
    FormulaSyntax "formula-syntax" Error {
        "the formula cannot be read"
        "See the guide's page on formulas."
        "formula: load * (2" => "formula: load * 2"
    }
    UnknownName "unknown-name" Error {
        "the formula uses a name that does not stand before it"
        "A formula may use inputs and the steps above it."
        "formula: pin_volts / scale" => "formula: pin_voltage / scale"
    }
    RowOutsideRows "row-outside-rows" Error {
        "the formula uses a row where there is none"
        "What belongs to each row of a list has one value a row. Outside the rows, go over them: with `sum`, `count`, `min`, `max` or `first_failing`."
        "formula: draw * 1.25" => "formula: sum(draw in loads) * 1.25"
    }
    NoSingleInverse "no-single-inverse" Error {
        "the formula cannot be turned round to this unknown"
        "A quantity can be worked out of the others only if it stands in the formula once and one value of it fits: a square has two roots, the smaller of two values can be either. A range that begins at zero leaves one root of a square."
        "formula: 'power == voltage * voltage / resistance'" => "formula: 'power == voltage ^ 2 / resistance'"
    }
    UnknownUnit "unknown-unit" Error {
        "no such unit"
        "Units are UCUM codes; the trade's spellings are accepted too. The guide lists them."
        "unit: inwc" => "unit: in. w.c."
    }
    UnitMismatch "unit-mismatch" Error {
        "the units do not go together"
        "Only quantities of the same dimension can be added, compared or chosen between."
        "formula: 5 [V] + 2 [A]" => "formula: 5 [V] / 2 [A]"
    }
    TypeMismatch "type-mismatch" Error {
        "a number, a text or a truth stands where another is needed"
        "`if` needs a truth, arithmetic needs numbers, text can only be compared with `==` and `!=`."
        "formula: if 3 then 1 else 2" => "formula: if load > 3 [A] then 1 else 2"
    }
    WrongArguments "wrong-arguments" Error {
        "the function takes another number of values"
        "The guide lists each function."
        "formula: sqrt(1, 2)" => "formula: sqrt(2)"
    }
    DuplicateName "duplicate-name" Error {
        "the name stands for something else already"
        "Inputs and steps share one set of names."
        "" => ""
    }
    NoValue "no-value" Error {
        "the sum has no value"
        "A division by zero, a root or logarithm of a negative number, or a table without a fitting row: in a worked example this is an error."
        "formula: 1 / 0" => "formula: 1 / 2"
    }
    ExampleFails "example-fails" Error {
        "a worked example does not come out"
        "Either the formula or the expected figure is wrong. The message shows both and the tolerance."
        "" => ""
    }
    TooFewExamples "too-few-examples" Error {
        "a calculator has no worked example"
        "A calculator is published only when at least one worked example with a source comes out."
        "" => ""
    }
    FormulaTooDeep "formula-too-deep" Error {
        "the formula is nested deeper than anyone can check"
        "Split it into named steps."
        "" => ""
    }
    // The theme.
    ThemeTemplate "theme-template" Error {
        "a template of the theme cannot be used"
        "Templates are Tera. The usual causes: a tag that is not closed, a variable that the page does not have, a filter or a part whose name is wrong. The built-in templates show what each page has."
        "<h1>{{ titel }}</h1>" => "<h1>{{ page.title }}</h1>"
    }
    ThemeFile "theme-file" Warning {
        "a file or folder of the theme changes nothing"
        "A file stands in for a built-in one only under the very same path. One with a path of its own is added, and a template that no other names is never used."
        "our-look/templates/chekc.html" => "our-look/templates/check.html"
    }
}
