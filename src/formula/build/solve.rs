//! One unknown out of several quantities: a choice among the inputs, and for each quantity a step with the formula turned round.

use super::{Builder, comparable};
use crate::diagnostic::{Code, Diagnostic};
use crate::formula::compile::compile;
use crate::formula::draft::{InputDraft, SolveDraft};
use crate::formula::inverse::{inverse, places};
use crate::formula::parser;
use crate::formula::program::{Choice, How, Input, InputKind, Solve, Step};
use crate::formula::titles::Titles;
use crate::formula::tree::{Kind, Operator};
use crate::formula::typing::{Expression, Formula, Type};
use crate::source::{Inset, Placed};

impl<'a> Builder<'a> {
    fn unknowns(&self) -> Option<&'a SolveDraft> {
        self.draft.solve.as_ref()
    }

    /// Before the first quantity that can be unknown stands the choice of the unknown.
    pub(super) fn solve_choice(&mut self, next: &str) {
        let Some(draft) = self.unknowns() else { return };
        let first = self.draft.inputs.iter().find(|input| draft.unknown.iter().any(|unknown| unknown.value == input.id.value));
        if self.names.contains_key(&draft.id.value) || first.is_none_or(|first| first.id.value != next) {
            return;
        }
        self.name(&draft.id);
        let title = |id: &str| self.draft.inputs.iter().find(|input| input.id.value == id).map(|input| input.title.value.clone());
        let choice = |unknown: &Placed<String>| Some(Choice { id: unknown.value.clone(), title: title(&unknown.value)? });
        let choices: Vec<Choice> = draft.unknown.iter().filter_map(choice).collect();
        let start = choices.iter().position(|choice| choice.id == draft.start.value).unwrap_or(0);
        let kind = InputKind::Text { choices, start };
        let input = Input { id: draft.id.value.clone(), title: draft.title.value.clone(), kind, when: None };
        self.scope.name(input.id.clone(), self.program.inputs.len(), input.kind_type());
        self.program.inputs.push(input);
    }

    /// A quantity counts as given only where it is not the unknown.
    pub(super) fn solve_when(&mut self, input: &InputDraft) -> Option<Formula> {
        let draft = self.unknowns()?;
        draft.unknown.iter().find(|unknown| unknown.value == input.id.value)?;
        if let Some(when) = &input.when {
            self.report(Code::WrongValue, when.whole(), format!("`{}` can be unknown, so it cannot have a `when`", input.id.value));
        }
        let choice = self.program.inputs.iter().position(|known| known.id == draft.id.value)?;
        let expression = Expression::Binary {
            operator: Operator::NotEqual,
            left: Expression::Name(choice).into(),
            right: Expression::Text(input.id.value.clone()).into(),
        };
        let text = format!("{} != \"{}\"", draft.id.value, input.id.value);
        Some(Formula { text, kind: Type::Truth, span: input.id.span, expression })
    }

    pub(super) fn solve(&mut self) {
        let Some(draft) = self.unknowns() else { return };
        let steps = self.solved_steps(draft);
        match steps {
            Some((solve, steps)) => {
                self.program.steps = steps;
                self.program.solve = Some(solve);
            }
            None => self.sound = false,
        }
    }

    fn solved_steps(&mut self, draft: &SolveDraft) -> Option<(Solve, Vec<Step>)> {
        if draft.unknown.len() < 2 {
            self.report(
                Code::WrongValue,
                draft.id.span,
                format!("expected at least two quantities under `unknown`, found {}", draft.unknown.len()),
            );
        }
        if !draft.unknown.iter().any(|unknown| unknown.value == draft.start.value) {
            let known = draft.unknown.iter().map(|unknown| unknown.value.as_str());
            let problem =
                Diagnostic::new(Code::WrongValue, draft.start.span, format!("expected one of `unknown`, found `{}`", draft.start.value));
            self.problems.add(problem.nearest(&draft.start.value, known));
        }
        let unknowns = self.quantities(draft);
        let sides = self.sides(&draft.formula)?;
        let digits = self.digits(draft.digits.as_ref());
        let unknowns = unknowns?;
        let (left, right) = ((&sides.0.0, &sides.0.1.expression), (&sides.1.0, &sides.1.1.expression));
        let mut steps = Vec::new();
        for (place, unknown) in &unknowns {
            let input = &self.program.inputs[*place];
            let name = input.id.as_str();
            if places(left.0, name).is_empty() && places(right.0, name).is_empty() {
                let problem = Diagnostic::new(Code::NoSingleInverse, unknown.span, format!("`{name}` does not stand in the formula"));
                self.problems.add(problem.also(draft.formula.whole(), "this formula"));
                continue;
            }
            match inverse(name, *place, &self.program.inputs, left, right) {
                Ok(expression) => {
                    let kind = input.kind_type();
                    let formula = Formula { text: draft.formula.text.clone(), kind: kind.clone(), span: draft.formula.whole(), expression };
                    let InputKind::Number { units, .. } = &input.kind else { continue };
                    steps.push(Step {
                        id: input.id.clone(),
                        title: input.title.clone(),
                        kind,
                        unit: units[0].clone(),
                        digits,
                        when: None,
                        how: How::Formula(formula),
                        solves: Some(*place),
                        titles: Titles::default(),
                    });
                }
                Err(none) => {
                    let mut problem = Diagnostic::new(Code::NoSingleInverse, draft.formula.span(none.range), none.message).hint(none.hint);
                    if let Some(also) = none.also {
                        problem = problem.also(draft.formula.span(also), "it stands here too");
                    }
                    self.problems.add(problem.also(unknown.span, "for this unknown"));
                }
            }
        }
        let choice = self.program.inputs.iter().position(|input| input.id == draft.id.value)?;
        let unknowns: Vec<usize> = unknowns.into_iter().map(|(place, _)| place).collect();
        (steps.len() == unknowns.len()).then_some((Solve { choice, unknowns, sides: [sides.0.1, sides.1.1] }, steps))
    }

    /// The places of the inputs that can be unknown.
    fn quantities<'d>(&mut self, draft: &'d SolveDraft) -> Option<Vec<(usize, &'d Placed<String>)>> {
        let mut found: Vec<(usize, &Placed<String>)> = Vec::new();
        for unknown in &draft.unknown {
            let Some(place) = self.program.inputs.iter().position(|input| input.id == unknown.value) else {
                if !self.scope.broken.contains(&unknown.value) {
                    let known = self.program.inputs.iter().map(|input| input.id.as_str());
                    let problem = Diagnostic::new(Code::UnknownName, unknown.span, format!("there is no input `{}`", unknown.value));
                    self.problems.add(problem.nearest(&unknown.value, known));
                }
                continue;
            };
            let refused = match &self.program.inputs[place].kind {
                InputKind::Text { .. } => Some("is a choice"),
                InputKind::Number { whole: true, .. } => Some("takes whole numbers only"),
                InputKind::Number { .. } => None,
            };
            if let Some(refused) = refused {
                self.report(Code::WrongValue, unknown.span, format!("`{}` {refused}, so it cannot be worked out", unknown.value));
            } else if found.iter().any(|(before, _)| *before == place) {
                self.report(Code::DuplicateName, unknown.span, format!("`{}` stands twice under `unknown`", unknown.value));
            } else {
                found.push((place, unknown));
            }
        }
        (found.len() == draft.unknown.len() && !found.is_empty()).then_some(found)
    }

    /// The two sides of `left == right`, each with the nodes that it was made from.
    fn sides(&mut self, inset: &Inset) -> Option<((crate::formula::tree::Node, Formula), (crate::formula::tree::Node, Formula))> {
        let formula = compile(inset, &self.scope, self.problems)?;
        let node = parser::parse(inset).ok()?;
        let (Kind::Binary { left, right, .. }, Expression::Binary { operator: Operator::Equal, left: first, right: second }) =
            (node.kind, formula.expression)
        else {
            let problem = Diagnostic::new(Code::TypeMismatch, inset.whole(), "expected two sides with `==` between them");
            self.problems.add(problem.hint("write the formula as in `voltage == current * resistance`"));
            return None;
        };
        let number = |expression: &Expression| !matches!(expression, Expression::Text(_) | Expression::Truth(_));
        if !number(&first) || !number(&second) || !comparable(&formula.kind, &Type::Truth) {
            self.report(Code::TypeMismatch, inset.whole(), "expected numbers on both sides");
            return None;
        }
        let side = |expression: Box<Expression>| Formula {
            text: formula.text.clone(),
            kind: Type::PLAIN,
            span: formula.span,
            expression: *expression,
        };
        Some(((*left, side(first)), (*right, side(second))))
    }
}
