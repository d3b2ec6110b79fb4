//! Lists of rows in what `bluecone work` prints.

use serde_json::{Map, Value, json};

use super::work::step_json;
use crate::formula::{RowList, WorkedList, WorkedRow};

/// A line for each row, a column for each field and step; below it why a step of a row has no value.
pub(super) fn as_text(list: &RowList, worked: &WorkedList) -> String {
    let mut lines = vec![[String::new()].into_iter().chain(list.titles().map(str::to_owned)).collect::<Vec<String>>()];
    lines.extend(worked.rows.iter().map(|row| {
        let fields = row.inputs.iter().map(|input| if input.counts { input.shown.as_str() } else { "" });
        let steps = row.steps.iter().map(|step| step.shown.as_str());
        [row.title.as_str()]
            .into_iter()
            .chain(fields)
            .chain(steps)
            .map(|cell| if cell.is_empty() && !row.title.is_empty() { "–" } else { cell }.to_owned())
            .collect()
    }));
    let wide: Vec<usize> =
        (0..lines[0].len()).map(|column| lines.iter().map(|line| line[column].chars().count()).max().unwrap_or(0)).collect();
    let mut text = format!("\n{} ({})\n", list.title, list.id);
    if worked.rows.is_empty() {
        text.push_str("  no row\n");
        return text;
    }
    for line in &lines {
        let cells = line.iter().zip(&wide).map(|(cell, wide)| format!("{cell}{}", " ".repeat(wide - cell.chars().count())));
        text.push_str(&format!("  {}\n", cells.collect::<Vec<_>>().join("  ").trim_end()));
    }
    for row in &worked.rows {
        for (step, worked) in list.steps.iter().zip(&row.steps).filter(|(_, worked)| worked.counts()) {
            if let Err(why) = &worked.value {
                text.push_str(&format!("      {}, {}: no value: {why}\n", row.title, step.title));
            }
        }
    }
    text
}

pub(super) fn as_json(list: &RowList, worked: &WorkedList) -> Value {
    let row = |row: &WorkedRow| {
        let fields: Map<String, Value> =
            row.inputs.iter().filter(|input| input.counts).map(|input| (input.id.clone(), Value::from(input.shown.clone()))).collect();
        let steps: Vec<Value> = list.steps.iter().zip(&row.steps).map(|(step, worked)| step_json(step, worked)).collect();
        json!({ "title": row.title, "fields": fields, "steps": steps })
    };
    worked.rows.iter().map(row).collect()
}
