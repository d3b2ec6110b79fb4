//! Calculators and tables of the tests: YAML as authors write it, to drafts with places.

use std::collections::BTreeMap;

use bluecone::formula::*;
use bluecone::source::{Inset, Placed, Source, SourceId, Sources, Span};
use serde_json::Value as Yaml;

pub struct Read {
    pub sources: Sources,
    id: SourceId,
    text: String,
}

/// Reads a calculator; the second value maps spans back to text.
pub fn draft(path: &str, text: &str) -> (Draft, Sources) {
    let yaml: Yaml = serde_yaml::from_str(text).unwrap_or_else(|error| panic!("{path}: {error}"));
    let mut sources = Sources::default();
    let id = sources.add(Source::new(path, text));
    let reader = Read { sources, id, text: text.to_owned() };
    (reader.draft(&yaml), reader.sources)
}

pub fn table(id: &str, text: &str) -> Table {
    let yaml: Yaml = serde_yaml::from_str(text).unwrap();
    let columns: Vec<Column> = list(&yaml["columns"])
        .iter()
        .map(|column| Column {
            name: words(&column["id"]),
            title: words(&column["title"]),
            kind: match (&column["kind"], &column["unit"]) {
                (Yaml::String(kind), _) if kind == "text" => ColumnKind::Text,
                (_, Yaml::String(unit)) => ColumnKind::Number(Unit::parse(unit).unwrap()),
                _ => ColumnKind::Number(Unit::one()),
            },
        })
        .collect();
    let cell = |cell: &Yaml| match cell {
        Yaml::Null => Cell::Empty,
        Yaml::Number(number) => Cell::Number(number.as_f64().unwrap()),
        other => Cell::Text(words(other)),
    };
    let rows = list(&yaml["rows"]).iter().map(|row| list(row).iter().map(cell).collect()).collect();
    let order = yaml["order"].as_str().and_then(|order| columns.iter().position(|column| column.name == order));
    Table { id: id.into(), title: words(&yaml["title"]), columns, rows, order }
}

/// Every table of the tests, by id.
pub fn tables() -> BTreeMap<String, Table> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/formula/tables");
    let mut tables = BTreeMap::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let id = path.file_stem().unwrap().to_str().unwrap().to_owned();
        tables.insert(id.clone(), table(&id, &std::fs::read_to_string(&path).unwrap()));
    }
    tables
}

fn list(yaml: &Yaml) -> &[Yaml] {
    yaml.as_array().map_or(&[], Vec::as_slice)
}

fn words(yaml: &Yaml) -> String {
    match yaml {
        Yaml::String(text) => text.clone(),
        Yaml::Null => String::new(),
        other => other.to_string(),
    }
}

impl Read {
    /// The first place where the scalar stands after a sign that can come before one.
    fn span(&self, text: &str) -> Span {
        let at = self.text.match_indices(text).map(|(at, _)| at).find(|at| {
            let before = self.text[..*at].chars().next_back();
            let after = self.text[at + text.len()..].chars().next();
            before.is_none_or(|sign| " [{'\"\n".contains(sign)) && after.is_none_or(|sign| " ,]}'\":\n".contains(sign))
        });
        let at = at.or_else(|| self.text.find(text)).unwrap_or(0);
        Span::new(self.id, at, at + text.len())
    }

    fn text(&self, yaml: &Yaml) -> Placed<String> {
        let text = words(yaml);
        let span = self.span(&text);
        Placed::new(text, span)
    }

    fn some(&self, yaml: &Yaml) -> Option<Placed<String>> {
        (!yaml.is_null()).then(|| self.text(yaml))
    }

    fn inset(&self, yaml: &Yaml) -> Inset {
        let text = words(yaml);
        let start = self.span(&text).start as usize;
        Inset::plain(self.id, text, start)
    }

    fn formula(&self, yaml: &Yaml) -> Option<Inset> {
        (!yaml.is_null()).then(|| self.inset(yaml))
    }

    fn number(&self, yaml: &Yaml) -> Placed<f64> {
        Placed::new(yaml.as_f64().unwrap(), self.span(&words(yaml)))
    }

    fn pairs(&self, yaml: &Yaml) -> Vec<(Placed<String>, Placed<String>)> {
        let fields = yaml.as_object().into_iter().flatten();
        fields.map(|(name, text)| (Placed::new(name.clone(), self.span(name)), self.text(text))).collect()
    }

    fn draft(&self, yaml: &Yaml) -> Draft {
        Draft {
            inputs: list(&yaml["inputs"]).iter().map(|input| self.input(input)).collect(),
            solve: yaml.get("solve").map(|solve| SolveDraft {
                id: self.text(&solve["id"]),
                title: self.text(&solve["title"]),
                formula: self.inset(&solve["formula"]),
                unknown: list(&solve["unknown"]).iter().map(|unknown| self.text(unknown)).collect(),
                start: self.text(&solve["start"]),
                digits: self.count(&solve["digits"]).map(|digits| Placed::new(digits.value as u8, digits.span)),
            }),
            rows: list(&yaml["rows"]).iter().map(|rows| self.rows(rows)).collect(),
            steps: list(&yaml["steps"]).iter().map(|step| self.step(step)).collect(),
            verdicts: list(&yaml["verdicts"]).iter().map(|verdict| self.verdict(verdict)).collect(),
            result: list(&yaml["result"]).iter().map(|part| self.result(part)).collect(),
            plot: None,
            timeline: yaml.get("timeline").map(|timeline| TimelineDraft {
                title: self.text(&timeline["title"]),
                lanes: list(&timeline["lanes"])
                    .iter()
                    .map(|lane| LaneDraft { id: self.text(&lane["id"]), title: self.text(&lane["title"]) })
                    .collect(),
                phases: list(&timeline["phases"]).iter().map(|phase| self.phase(phase)).collect(),
            }),
            drawing: yaml.get("drawing").map(|drawing| self.drawing(drawing)),
            examples: list(&yaml["examples"])
                .iter()
                .map(|example| ExampleDraft {
                    title: self.text(&example["title"]),
                    given: self.given(&example["given"]),
                    expect: self
                        .pairs(&example["expect"])
                        .into_iter()
                        .map(|(name, text)| (name, Placed::new(Some(text.value), text.span)))
                        .collect(),
                    within: self.some(&example["within"]),
                    span: self.span(&words(&example["title"])),
                })
                .collect(),
        }
    }

    fn given(&self, yaml: &Yaml) -> Vec<(Placed<String>, GivenDraft)> {
        let given = |yaml: &Yaml| match yaml.as_array() {
            Some(rows) => GivenDraft::Rows(rows.iter().map(|row| self.pairs(row)).collect()),
            None => GivenDraft::Text(self.text(yaml)),
        };
        let fields = yaml.as_object().into_iter().flatten();
        fields.map(|(name, value)| (Placed::new(name.clone(), self.span(name)), given(value))).collect()
    }

    fn count(&self, yaml: &Yaml) -> Option<Placed<u32>> {
        yaml.as_u64().map(|count| Placed::new(count as u32, self.span(&count.to_string())))
    }

    fn result(&self, yaml: &Yaml) -> ResultDraft {
        if yaml["step"].is_string() {
            return ResultDraft::Step(self.text(&yaml["step"]));
        }
        ResultDraft::Rows(RowsResultDraft {
            rows: self.text(&yaml["rows"]),
            title: self.text(&yaml["title"]),
            only: self.some(&yaml["where"]),
            unless: self.some(&yaml["unless"]),
            shows: list(&yaml["shows"]).iter().map(|step| self.text(step)).collect(),
            none: self.some(&yaml["none"]),
        })
    }

    fn rows(&self, yaml: &Yaml) -> RowsDraft {
        RowsDraft {
            id: self.text(&yaml["id"]),
            title: self.text(&yaml["title"]),
            row: self.text(&yaml["row"]),
            called: self.some(&yaml["called"]),
            shows: list(&yaml["shows"]).iter().map(|step| self.text(step)).collect(),
            least: self.count(&yaml["least"]),
            most: self.count(&yaml["most"]).unwrap(),
            fields: list(&yaml["fields"]).iter().map(|field| self.input(field)).collect(),
            steps: list(&yaml["steps"]).iter().map(|step| self.step(step)).collect(),
            start: list(&yaml["start"]).iter().map(|row| self.pairs(row)).collect(),
        }
    }

    fn input(&self, yaml: &Yaml) -> InputDraft {
        let kind = if yaml["choices"].is_array() {
            let choice = |choice: &Yaml| ChoiceDraft { id: self.text(&choice["id"]), title: self.text(&choice["title"]) };
            InputKindDraft::Text { choices: list(&yaml["choices"]).iter().map(choice).collect(), start: self.text(&yaml["start"]) }
        } else {
            InputKindDraft::Number {
                unit: self.some(&yaml["unit"]),
                from: self.number(&yaml["from"]),
                to: self.number(&yaml["to"]),
                start: self.number(&yaml["start"]),
                units: list(&yaml["units"]).iter().map(|unit| self.text(unit)).collect(),
                whole: yaml["whole"].as_bool().unwrap_or(false),
            }
        };
        InputDraft { id: self.text(&yaml["id"]), title: self.text(&yaml["title"]), kind, when: self.formula(&yaml["when"]) }
    }

    fn step(&self, yaml: &Yaml) -> StepDraft {
        let how = match &yaml["pick"] {
            Yaml::Null => HowDraft::Formula(self.inset(&yaml["formula"])),
            table => HowDraft::Pick(PickDraft {
                table: self.text(&Yaml::String(words(table).trim_start_matches("table:").into())),
                column: self.text(&yaml["column"]),
                by: self.by(yaml),
                none: self.some(&yaml["none"]),
            }),
        };
        let digits = yaml["digits"].as_u64().map(|digits| Placed::new(digits as u8, self.span(&digits.to_string())));
        StepDraft {
            id: self.text(&yaml["id"]),
            title: self.text(&yaml["title"]),
            unit: self.some(&yaml["unit"]),
            digits,
            when: self.formula(&yaml["when"]),
            how,
        }
    }

    fn by(&self, yaml: &Yaml) -> ByDraft {
        if let Some(first) = self.formula(&yaml["first"]) {
            return ByDraft::First(first);
        }
        let column = |name: &String| Placed::new(name.clone(), self.span(name));
        if let Some(keys) = yaml["where"].as_object() {
            return ByDraft::Where(keys.iter().map(|(name, value)| (column(name), self.inset(value))).collect());
        }
        let (name, value) = yaml["at"].as_object().unwrap().iter().next().unwrap();
        let how = if yaml["how"] == "between" { Nearest::Between } else { Nearest::NextUp };
        ByDraft::At { column: column(name), value: self.inset(value), how }
    }

    fn verdict(&self, yaml: &Yaml) -> VerdictDraft {
        let band = |band: &Yaml| BandDraft {
            from: self.formula(&band["from"]),
            to: self.formula(&band["to"]),
            is: match &band["is"] {
                Yaml::Null => None,
                Yaml::Bool(truth) => Some(Placed::new(IsDraft::Truth(*truth), self.span(&truth.to_string()))),
                text => Some(self.text(text).map(IsDraft::Text)),
            },
            span: self.span(&words(&band["says"])),
        };
        let title = self.text(&yaml["title"]);
        VerdictDraft { on: self.text(&yaml["on"]), span: title.span, title, bands: list(&yaml["bands"]).iter().map(band).collect() }
    }

    fn phase(&self, yaml: &Yaml) -> PhaseDraft {
        match self.formula(&yaml["repeat"]) {
            Some(times) => PhaseDraft::Repeat { times, phases: list(&yaml["phases"]).iter().map(|phase| self.phase(phase)).collect() },
            None => PhaseDraft::Lasts {
                title: self.text(&yaml["title"]),
                lasts: self.inset(&yaml["lasts"]),
                on: list(&yaml["on"]).iter().map(|lane| self.text(lane)).collect(),
                between: yaml["between"].as_bool().map(|between| Placed::new(between, self.span("between"))),
            },
        }
    }

    fn drawing(&self, yaml: &Yaml) -> DrawingDraft {
        let part = |(name, formula): (&String, &Yaml)| PartDraft {
            name: Placed::new(name.clone(), self.span(name)),
            formula: self.inset(formula),
            wants: if name == "sleeve" { PartKind::Text } else { PartKind::Length },
        };
        let parts = yaml.as_object().unwrap().iter().filter(|(name, _)| *name != "kind").map(part).collect();
        DrawingDraft { kind: self.text(&yaml["kind"]), parts }
    }
}
