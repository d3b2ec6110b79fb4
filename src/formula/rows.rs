//! A list of rows as the reader gives it, and its working row by row.
//!
//! As one text the rows are parted by `;` and the fields of a row by `,`: `draw=40 VA, kind=igniter; draw=10 VA`. A value without
//! a name is that of the field at its position.

use super::aggregate::{ListValues, RowValues};
use super::evaluate::{Result, World};
use super::program::{InputKind, Program, RowList};
use super::sentence;
use super::work::{WorkedList, WorkedRow, WorkedStep};
use crate::diagnostic::nearest;

/// What part rows, fields and names in a list's text.
pub(super) const PARTING: [char; 3] = [';', ',', '='];

impl RowList {
    /// A text as rows: for each field what was typed, if anything.
    ///
    /// # Errors
    /// A plain sentence: a field that there is not, one given twice, more values than fields.
    pub fn read(&self, text: &str) -> std::result::Result<Vec<Vec<Option<String>>>, String> {
        if text.trim().is_empty() {
            return Ok(Vec::new());
        }
        text.split(';').map(|row| self.read_row(row)).collect()
    }

    fn read_row(&self, text: &str) -> std::result::Result<Vec<Option<String>>, String> {
        let mut row = vec![None; self.fields.len()];
        for (at, part) in text.split(',').enumerate().filter(|(_, part)| !part.trim().is_empty()) {
            let (place, value) = match part.split_once('=') {
                None if at < row.len() => (at, part),
                None => return Err(format!("“{}” is more than a row has; its fields are {}.", part.trim(), self.field_names())),
                Some((name, value)) => match self.fields.iter().position(|field| field.id == name.trim()) {
                    Some(place) => (place, value),
                    None => {
                        let meant = nearest(name.trim(), self.fields.iter().map(|field| field.id.as_str()));
                        let meant = meant.map(|name| format!("; did you mean “{name}”?")).unwrap_or_default();
                        return Err(format!("A row has no “{}”{meant} Its fields are {}.", name.trim(), self.field_names()));
                    }
                },
            };
            if row[place].replace(value.trim().to_owned()).is_some() {
                return Err(format!("“{}” is given twice in a row.", self.fields[place].id));
            }
        }
        Ok(row)
    }

    fn field_names(&self) -> String {
        self.fields.iter().map(|field| field.id.as_str()).collect::<Vec<_>>().join(", ")
    }

    /// Rows as one text, which [`read`](Self::read) takes.
    pub fn write(&self, rows: &[Vec<Option<String>>]) -> String {
        let field = |(at, text): (usize, &Option<String>)| Some(format!("{}={}", self.fields.get(at)?.id, text.as_ref()?));
        let row = |row: &Vec<Option<String>>| row.iter().enumerate().filter_map(field).collect::<Vec<_>>().join(", ");
        rows.iter().map(row).collect::<Vec<_>>().join("; ")
    }

    /// Every title that a row can have, such as `Load 2: Gas valve`; none if a number is part of it, since then it can be any.
    pub(super) fn row_titles(&self) -> Vec<String> {
        let called = self.called.map(|place| &self.fields[place]);
        let (choices, bare) = match called.map(|field| (&field.kind, field.when.is_some())) {
            None => (&[][..], true),
            Some((InputKind::Text { choices, .. }, when)) => (choices.as_slice(), when),
            Some((InputKind::Number { .. }, _)) => return Vec::new(),
        };
        let mut titles = Vec::new();
        for at in 1..=self.most {
            let title = format!("{} {at}", self.row);
            titles.extend(choices.iter().map(|choice| format!("{title}: {}", choice.title)));
            titles.extend(bare.then_some(title));
        }
        titles
    }

    /// Works every row. `shown` are the values of inputs and solved steps as shown, by place.
    pub(super) fn work(&self, program: &Program, text: Option<&str>, world: &World, shown: &[String]) -> WorkedList {
        let given = match text {
            Some(text) => self.read(text),
            None => Ok(self.start.clone()),
        };
        let (given, says) = match given {
            Ok(rows) if rows.len() < self.least || rows.len() > self.most => (rows, Some(sentence::rows(self.least, self.most))),
            Ok(rows) => (rows, None),
            Err(says) => (Vec::new(), Some(says)),
        };
        // More rows than may be are not worked: their number is the reader's.
        let rows = given.iter().take(self.most).enumerate().map(|(at, row)| self.work_row(program, at, row, world, shown));
        WorkedList { id: self.id.clone(), rows: rows.collect(), says }
    }

    fn work_row(&self, program: &Program, at: usize, given: &[Option<String>], world: &World, shown: &[String]) -> WorkedRow {
        let mut values: Vec<Result> = Vec::new();
        let mut texts: Vec<String> = Vec::new();
        let mut inputs = Vec::new();
        for (place, (field, text)) in self.fields.iter().zip(given).enumerate() {
            let words = !world.wordless || self.called == Some(place);
            let worked = field.work(text.as_deref(), &World { fields: &values, ..*world }, words);
            values.push(worked.as_needed(&field.title));
            texts.push(worked.shown.clone());
            inputs.push(worked);
        }
        let mut steps: Vec<WorkedStep> = Vec::new();
        for step in &self.steps {
            let worked = step.work(program, Some(self), &World { fields: &values, ..*world }, shown, &texts);
            values.push(worked.as_needed(&step.title));
            texts.push(worked.shown.clone());
            steps.push(worked);
        }
        let mut title = format!("{} {}", self.row, at + 1);
        if let Some(called) = self.called.and_then(|place| inputs.get(place)).filter(|input| input.counts && !input.shown.is_empty()) {
            title = format!("{title}: {}", called.shown);
        }
        WorkedRow { title, inputs, steps }
    }

    /// The rows as aggregates see them.
    pub(super) fn values(&self, worked: &WorkedList) -> Result<ListValues> {
        if worked.says.is_some() {
            return Err(sentence::needs(&self.title).into());
        }
        let row = |row: &WorkedRow| {
            let inputs = row.inputs.iter().map(|input| input.value.as_ref().ok().filter(|_| input.counts));
            let values = inputs.chain(row.steps.iter().map(|step| step.value.as_ref().ok()));
            let needed = values
                .enumerate()
                .map(|(place, value)| value.cloned().ok_or_else(|| sentence::needs_in_row(self.title(place), &row.title).into()));
            RowValues { title: row.title.clone(), values: needed.collect() }
        };
        Ok(ListValues { title: self.title.clone(), rows: worked.rows.iter().map(row).collect() })
    }
}
