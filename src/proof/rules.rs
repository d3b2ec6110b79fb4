//! The safety grammar: what an entry touches and in which state decides what it must carry.
//!
//! The rules are the handbook's own data; here is only how a rule is read.

use std::collections::BTreeSet;

use super::names::word;
use super::places::Places;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Check, Entry, Handbook, Kind, Name, SafetyRule, State, Task, Touches};
use crate::source::Span;

/// Holds every check and task against every rule of the handbook.
pub fn rules(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for rule in &handbook.book.safety_rules {
        for check in &handbook.checks {
            let work = Work::of_check(check, handbook, places);
            if work.falls_under(rule, Kind::Check) {
                work.hold(rule, handbook, places, problems);
            }
        }
        for task in &handbook.tasks {
            let work = Work::of_task(task, places);
            if work.falls_under(rule, Kind::Task) {
                work.hold(rule, handbook, places, problems);
            }
        }
    }
}

/// What a rule looks at in a check or a task.
struct Work<'a> {
    name: Name,
    state: State,
    touches: &'a [Touches],
    safety: &'a [Name],
    /// Every check that certainly comes before the work.
    before: BTreeSet<&'a Name>,
    /// An entry that comes before has problems of its own, so that what comes before it is not known.
    in_doubt: bool,
    closing: &'a [Name],
}

impl<'a> Work<'a> {
    fn of_check(check: &'a Check, handbook: &'a Handbook, places: &Places) -> Self {
        let name = Name::new(Kind::Check, check.common.id.clone());
        let mut before = BTreeSet::new();
        let mut in_doubt = false;
        let mut open: Vec<&Name> = check.after.iter().collect();
        while let Some(earlier) = open.pop() {
            if before.insert(earlier) {
                match handbook.entry(earlier) {
                    Some(Entry::Check(check)) => open.extend(&check.after),
                    _ => in_doubt = true,
                }
            }
        }
        in_doubt |= places.n_items(&name, "after") > check.after.len();
        Self { name, state: check.state, touches: &check.touches, safety: &check.safety, before, in_doubt, closing: &check.closing }
    }

    fn of_task(task: &'a Task, places: &Places) -> Self {
        let name = Name::new(Kind::Task, task.common.id.clone());
        // What comes first is done while the appliance is still in the state in which the task starts.
        let first = task.steps.iter().take_while(|step| step.state.is_none_or(|state| state == task.state));
        let before = first.flat_map(|step| &step.used).filter(|name| name.kind == Kind::Check).collect();
        let used: BTreeSet<&Name> = task.steps.iter().flat_map(|step| &step.used).collect();
        let in_doubt = places.n_items(&name, "use") > used.len();
        Self { name, state: task.state, touches: &task.touches, safety: &task.safety, before, in_doubt, closing: &task.closing }
    }

    fn falls_under(&self, rule: &SafetyRule, kind: Kind) -> bool {
        rule.applies_to.contains(&kind)
            && rule.touches.is_none_or(|touches| self.touches.contains(&touches))
            && (rule.states.is_empty() || rule.states.contains(&self.state))
    }

    fn hold(&self, rule: &SafetyRule, handbook: &Handbook, places: &Places, problems: &mut Problems) {
        let mut tell = |code, field, message: String, hint: String| {
            let diagnostic = Diagnostic::new(code, self.place(field, rule, places), message).label(self.because(rule)).hint(hint);
            problems.add(diagnostic.hint(format!("rule `{}` of handbook.yaml: {}", rule.id, rule.why)));
        };
        // A reference that leads nowhere may be the one that is needed.
        let whole = |field, named: &[Name]| places.n_items(&self.name, field) <= named.len();
        let shown = |needed: &Name| format!("`{needed}` ({})", handbook.title(needed).unwrap_or(&needed.id));
        let safety = rule.needs_safety.iter().filter(|_| whole("safety", self.safety));
        for needed in safety.filter(|needed| !self.safety.contains(needed)) {
            let message = format!("expected the safety note {}, found none", shown(needed));
            tell(Code::MissingSafety, "safety", message, format!("add `{needed}` under `safety`"));
        }
        let before = |needed: &&Name| **needed != self.name && !self.in_doubt && !self.before.contains(*needed);
        for needed in rule.needs_before.iter().filter(before) {
            let message = format!("expected {} before this work, found none", shown(needed));
            if self.name.kind == Kind::Task {
                let hint = format!("add `{needed}` under `use` of a step before the dangerous ones");
                tell(Code::MissingBefore, "steps", message, hint);
            } else {
                tell(Code::MissingBefore, "after", message, format!("add `{needed}` under `after`"));
            }
        }
        let closing = rule.needs_closing.iter().filter(|_| whole("closing", self.closing));
        for needed in closing.filter(|needed| **needed != self.name && !self.closing.contains(needed)) {
            let message = format!("expected {} as closing test, found none", shown(needed));
            tell(Code::MissingClosing, "closing", message, format!("add `{needed}` under `closing`"));
        }
    }

    /// The field that lacks something; if it was left out, what brought the rule about.
    fn place(&self, field: &'static str, rule: &SafetyRule, places: &Places) -> Span {
        match rule.touches {
            Some(touches) if places.of(&self.name, &[field]) == places.of(&self.name, &[]) => {
                places.item(&self.name, "touches", touches.name())
            }
            _ => places.of(&self.name, &[field]),
        }
    }

    fn because(&self, rule: &SafetyRule) -> String {
        let kind = word(self.name.kind);
        match (rule.touches, rule.states.is_empty()) {
            (Some(touches), true) => format!("this {kind} touches {}", touches.name()),
            (Some(touches), false) => format!("this {kind} touches {} while {}", touches.name(), self.state.name()),
            (None, true) => format!("every {kind} needs it"),
            (None, false) => format!("this {kind} starts {}", self.state.name()),
        }
    }
}
