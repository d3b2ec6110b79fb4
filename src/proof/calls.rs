//! The shop's record: a table of past calls, each row held against the handbook.

use std::collections::BTreeSet;

use csv::{ReaderBuilder, StringRecord, Trim};

use crate::diagnostic::{Code, Diagnostic, Once, Problems};
use crate::handbook::{Call, Entry, Handbook, Kind, Name};
use crate::source::{SourceId, Span};

/// The columns that a record has, in any order.
const COLUMNS: [&str; 5] = ["date", "appliance", "symptom", "fault", "minutes"];

/// Rows with problems that are told one by one.
const MOST_PROBLEMS: usize = 100;

/// The calls of a record, in comma-separated values (RFC 4180) with a row of titles. Lines that begin with `#` are remarks;
/// other columns are passed over. `in_doubt` are entries with problems of their own: what a call says of them cannot be held
/// against them.
pub fn calls(source: SourceId, text: &str, handbook: &Handbook, in_doubt: &BTreeSet<Name>, problems: &mut Problems) -> Vec<Call> {
    let text_from = text.len() - text.trim_start_matches('\u{feff}').len();
    let mut reader = ReaderBuilder::new()
        .flexible(true)
        .trim(Trim::All)
        .comment(Some(b'#'))
        .has_headers(true)
        .from_reader(&text.as_bytes()[text_from..]);
    let titles = match reader.headers() {
        Ok(titles) => titles.clone(),
        Err(_) => return Vec::new(), // the text is UTF-8, and memory does not fail to be read
    };
    let titles_at = text_from + titles.position().map_or(0, |position| position.byte() as usize);
    let columns = match columns(&titles) {
        Ok(columns) => columns,
        Err(found) => {
            for (message, hint) in found {
                let diagnostic = Diagnostic::new(Code::RecordRow, line(source, text, titles_at), message);
                problems.add(if let Some(hint) = hint { diagnostic.hint(hint) } else { diagnostic });
            }
            return Vec::new();
        }
    };
    let mut calls = Vec::new();
    let mut record = StringRecord::new();
    let mut told = 0;
    let mut met: BTreeSet<String> = BTreeSet::new();
    while reader.read_record(&mut record).unwrap_or(false) {
        let start = text_from + record.position().map_or(0, |position| position.byte() as usize);
        let row = Row { source, text, start: start + text[start..].len() - text[start..].trim_start().len(), record: &record, columns };
        let mut found = Problems::default();
        calls.extend(row.call(titles.len(), handbook, in_doubt, &mut found));
        // A name that the handbook lacks is lacking once, however often it is used.
        told += found.iter().filter(|problem| problem.once == Once::PerPlace || met.insert(problem.message.clone())).count();
        problems.append(found);
        if told >= MOST_PROBLEMS {
            let message = format!("{told} problems so far; the rest of the record was not looked at");
            problems.add(Diagnostic::new(Code::RecordRow, line(source, text, row.start), message));
            break;
        }
    }
    calls
}

/// Where each of the columns stands in the row of titles, or what is wrong with it: message and hint.
fn columns(titles: &StringRecord) -> Result<[usize; COLUMNS.len()], Vec<(String, Option<String>)>> {
    let all = COLUMNS.map(|name| format!("`{name}`")).join(", ");
    let at = |column: &str| titles.iter().position(|title| title.eq_ignore_ascii_case(column));
    let places = COLUMNS.map(at);
    if places.iter().all(Option::is_none) {
        let other = [';', '\t', '|'].into_iter().find(|mark| {
            let cells: Vec<&str> = titles.iter().flat_map(|title| title.split(*mark)).map(str::trim).collect();
            COLUMNS.iter().filter(|column| cells.iter().any(|cell| cell.eq_ignore_ascii_case(column))).count() > 1
        });
        return Err(vec![match other {
            Some(mark) => {
                let shown = if mark == '\t' { "a tab".to_owned() } else { format!("`{mark}`") };
                (format!("expected cells parted by commas, found {shown}"), Some("save the list with commas between the cells".to_owned()))
            }
            None => (format!("expected a row of titles with {all}, found none of them"), None),
        }]);
    }
    let missing = COLUMNS.iter().zip(&places).filter(|(_, place)| place.is_none()).map(|(column, _)| {
        let near = crate::diagnostic::nearest(column, titles.iter());
        (format!("expected the columns {all}, found no `{column}`"), near.map(|near| format!("is `{near}` meant to be `{column}`?")))
    });
    let missing: Vec<_> = missing.collect();
    if missing.is_empty() { Ok(places.map(Option::unwrap_or_default)) } else { Err(missing) }
}

struct Row<'a> {
    source: SourceId,
    text: &'a str,
    /// Where the row begins.
    start: usize,
    record: &'a StringRecord,
    columns: [usize; COLUMNS.len()],
}

impl Row<'_> {
    fn call(&self, n_columns: usize, handbook: &Handbook, in_doubt: &BTreeSet<Name>, problems: &mut Problems) -> Option<Call> {
        if self.record.len() != n_columns {
            let message = format!("expected {n_columns} cells as in the row of titles, found {}", self.record.len());
            problems.add(Diagnostic::new(Code::RecordRow, line(self.source, self.text, self.start), message));
            return None;
        }
        let [date, appliance, symptom, fault, minutes] = self.columns.map(|column| self.record.get(column).unwrap_or_default());
        if !is_date(date) {
            self.tell(0, format!("expected a date as year-month-day, found `{date}`"), problems);
        }
        if appliance.is_empty() {
            self.tell(1, "expected the kind of appliance, found an empty cell".to_owned(), problems);
        }
        let symptoms = handbook.symptoms.iter().map(|entry| entry.common.id.as_str());
        let symptom = self.name(2, Kind::Symptom, symptom, symptoms, in_doubt, problems);
        let faults = handbook.faults.iter().map(|entry| entry.common.id.as_str());
        let fault = self.name(3, Kind::Fault, fault, faults, in_doubt, problems);
        let spent = minutes.parse::<f64>().ok().filter(|minutes| *minutes > 0.0 && minutes.is_finite());
        if spent.is_none() {
            self.tell(4, format!("expected minutes above 0, found `{minutes}`"), problems);
        }
        let (symptom, fault, minutes) = (symptom?, fault?, spent?);
        if let Some(Entry::Symptom(entry)) = handbook.entry(&symptom)
            && !in_doubt.contains(&symptom)
            && !entry.suspects.iter().any(|suspect| suspect.fault == fault)
        {
            let message = format!("`{symptom}` does not list `{fault}`, so that this call does not count");
            let diagnostic = Diagnostic::new(Code::UnlistedFault, self.place(3), message);
            problems.add(diagnostic.hint("if the call is right, add the fault to the symptom with a small weight"));
        }
        is_date(date).then(|| Call { date: date.to_owned(), appliance: appliance.to_owned(), symptom, fault, minutes })
    }

    /// The entry that a cell names, with its kind before it or without.
    fn name<'n>(
        &self,
        column: usize,
        kind: Kind,
        text: &str,
        known: impl Iterator<Item = &'n str> + Clone,
        in_doubt: &BTreeSet<Name>,
        problems: &mut Problems,
    ) -> Option<Name> {
        let prefix = format!("{}:", COLUMNS[column]);
        let id = text.strip_prefix(&prefix).unwrap_or(text);
        if known.clone().any(|known| known == id) {
            return Some(Name::new(kind, id));
        }
        if in_doubt.contains(&Name::new(kind, id)) {
            return None;
        }
        let message = format!("there is no {} `{id}`", COLUMNS[column]);
        let problem = Diagnostic::new(Code::RecordRow, self.place(column), message).once(Once::PerFile);
        problems.add(problem.nearest(id, known));
        None
    }

    fn tell(&self, column: usize, message: String, problems: &mut Problems) {
        problems.add(Diagnostic::new(Code::RecordRow, self.place(column), message));
    }

    /// Where a cell stands: the reader gives only the place of its row.
    fn place(&self, column: usize) -> Span {
        let (mut at, mut left, mut quoted) = (self.start, self.columns[column], false);
        let mut end = None;
        for (offset, byte) in self.text.bytes().enumerate().skip(self.start) {
            match byte {
                b'"' => quoted = !quoted,
                b',' | b'\n' | b'\r' if !quoted && left == 0 => {
                    end = Some(offset);
                    break;
                }
                b',' if !quoted => {
                    left -= 1;
                    at = offset + 1;
                }
                _ => {}
            }
        }
        let cell = &self.text[at..end.unwrap_or(self.text.len())];
        let from = at + cell.len() - cell.trim_start().len();
        Span::new(self.source, from, from + cell.trim().len())
    }
}

/// The line that begins at an offset.
fn line(source: SourceId, text: &str, start: usize) -> Span {
    let end = text[start..].find(['\n', '\r']).map_or(text.len(), |length| start + length);
    Span::new(source, start, end)
}

/// A day of the Gregorian calendar as `2026-11-25`.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return false };
    if !(year.len() == 4 && month.len() == 2 && day.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-')) {
        return false;
    }
    let number = |text: &str| text.parse::<u32>().unwrap_or(0);
    let (year, month, day) = (number(year), number(month), number(day));
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}
