//! The guide's page of problems, made from the table that the messages come from.

use super::desk::{Desk, PROBLEMS_PAGE};
use crate::diagnostic::{Code, Severity};
use crate::handbook::GuidePage;
use crate::source::{Inset, SourceId};

/// One section a code, in the order of the table.
pub fn page(desk: &mut Desk) -> GuidePage {
    let mut text = String::from(
        "Every message of `bluecone proof` begins with `error` or `warning` and a code in brackets. Here is each code: what it \
         means, why it matters and, where a few lines can show it, a piece of an entry before and after.\n",
    );
    for code in Code::ALL {
        let lesson = code.lesson();
        let severity = match code.severity() {
            Severity::Error => "An error: the handbook is not pressed.",
            Severity::Warning => "A warning: the handbook is pressed all the same.",
        };
        text.push_str(&format!("\n## {}\n\n{}. {severity}\n\n{}\n", code.name(), capital(lesson.title), lesson.text));
        if !lesson.wrong.is_empty() {
            text.push_str(&format!("\nInstead of\n\n```yaml\n{}\n```\n", lesson.wrong));
        }
        if !lesson.right.is_empty() {
            text.push_str(&format!("\nwrite\n\n```yaml\n{}\n```\n", lesson.right));
        }
    }
    let text = desk.markdown(&Inset::plain(SourceId(0), text, 0));
    GuidePage { id: PROBLEMS_PAGE.to_owned(), title: "Problems and their codes".to_owned(), text }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
