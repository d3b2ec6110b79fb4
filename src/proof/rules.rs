//! The safety grammar: what an entry touches and in which state decides what it must carry.
//!
//! The rules are the handbook's own data; here is only how a rule is read.

use std::collections::BTreeSet;

use super::places::Places;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Check, Entry, Handbook, Kind, Name, SafetyRule, State, Task, Touches};
use crate::source::Span;

/// Holds every check and task against every rule of the handbook.
pub fn rules(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for rule in &handbook.book.safety_rules {
        for check in &handbook.checks {
            let work = Work::of_check(check, handbook);
            if work.falls_under(rule, Kind::Check) {
                work.hold(rule, handbook, places, problems);
            }
        }
        for task in &handbook.tasks {
            let work = Work::of_task(task);
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
    closing: &'a [Name],
}

impl<'a> Work<'a> {
    fn of_check(check: &'a Check, handbook: &'a Handbook) -> Self {
        let name = Name::new(Kind::Check, check.common.id.clone());
        let mut before = BTreeSet::new();
        let mut open: Vec<&Name> = check.after.iter().collect();
        while let Some(earlier) = open.pop() {
            if before.insert(earlier)
                && let Some(Entry::Check(check)) = handbook.entry(earlier)
            {
                open.extend(&check.after);
            }
        }
        Self { name, state: check.state, touches: &check.touches, safety: &check.safety, before, closing: &check.closing }
    }

    fn of_task(task: &'a Task) -> Self {
        let name = Name::new(Kind::Task, task.common.id.clone());
        let before = task.steps.iter().flat_map(|step| &step.used).filter(|name| name.kind == Kind::Check).collect();
        Self { name, state: task.state, touches: &task.touches, safety: &task.safety, before, closing: &task.closing }
    }

    fn falls_under(&self, rule: &SafetyRule, kind: Kind) -> bool {
        rule.applies_to.contains(&kind)
            && rule.touches.is_none_or(|touches| self.touches.contains(&touches))
            && (rule.states.is_empty() || rule.states.contains(&self.state))
    }

    fn hold(&self, rule: &SafetyRule, handbook: &Handbook, places: &Places, problems: &mut Problems) {
        for needed in rule.needs_safety.iter().filter(|needed| !self.safety.contains(needed)) {
            let span = places.of(&self.name, &["safety", "touches"]);
            problems.add(self.missing(Code::MissingSafety, span, rule, needed, handbook, "the safety note", "safety"));
        }
        for needed in rule.needs_before.iter().filter(|needed| **needed != self.name && !self.before.contains(needed)) {
            let (field, span) = match self.name.kind {
                Kind::Task => ("use` of an early step (tasks have no `after`), `steps", places.of(&self.name, &["steps", "touches"])),
                _ => ("after", places.of(&self.name, &["after", "touches"])),
            };
            problems.add(self.missing(Code::MissingBefore, span, rule, needed, handbook, "to come first", field));
        }
        for needed in rule.needs_closing.iter().filter(|needed| **needed != self.name && !self.closing.contains(needed)) {
            let span = places.of(&self.name, &["closing", "touches"]);
            problems.add(self.missing(Code::MissingClosing, span, rule, needed, handbook, "as closing test", "closing"));
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn missing(
        &self,
        code: Code,
        span: Span,
        rule: &SafetyRule,
        needed: &Name,
        handbook: &Handbook,
        what: &str,
        field: &str,
    ) -> Diagnostic {
        let title = handbook.title(needed).unwrap_or(&needed.id);
        let message = match code {
            Code::MissingSafety => format!("expected {what} `{needed}` ({title}), found none"),
            _ => format!("expected `{needed}` ({title}) {what}, found none"),
        };
        Diagnostic::new(code, span, message)
            .label(self.because(rule))
            .hint(format!("add `{needed}` under `{field}`"))
            .hint(format!("rule `{}` of handbook.yaml: {}", rule.id, rule.why))
    }

    fn because(&self, rule: &SafetyRule) -> String {
        let kind = self.name.kind.word().to_lowercase();
        match (rule.touches, rule.states.is_empty()) {
            (Some(touches), true) => format!("this {kind} touches {}", touches.name()),
            (Some(touches), false) => format!("this {kind} touches {} while {}", touches.name(), self.state.name()),
            (None, true) => format!("every {kind} needs it"),
            (None, false) => format!("this {kind} starts {}", self.state.name()),
        }
    }
}
