//! `bluecone walk`: a symptom's checks in the terminal, one question at a time.

use std::collections::BTreeMap;
use std::io::{BufRead, IsTerminal};
use std::path::PathBuf;

use clap::Args;

use super::walk_words::{Choice, as_json, choices, screen};
use super::{Ending, complain, default_book, meant, one_of, say, whole_handbook};
use crate::diagnosis::{Diagnosis, Event, Limits, Look, Next, UnreadEvent, Walk as Walking, model, policy};
use crate::handbook::{Entry, Handbook, Seen, Symptom};
use crate::pages::{Reading, WalkWords};

/// Walk through a symptom's checks.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone walk                                          which symptoms there are
  bluecone walk igniter-stays-dark                       one question after another
  bluecone walk igniter-stays-dark lockout-history=ignition-code
                                                         the same with an answer already given
  bluecone walk igniter-stays-dark later:lockout-history --json
                                                         where that leads, for other programs
  printf '4\\n1\\n1\\n' | bluecone walk igniter-stays-dark   answers from a pipe: prints the service note only

Answers: a number from the list; r NUMBER for a reading; later (cannot do this now); odd (odd reading);
back; restart; note; quit. At the end the service note is printed, and on a terminal the call that goes on from there.

The appliance's rating plate and instructions, local codes and licensed practice come first.")]
pub struct Walk {
    /// The symptom's id
    symptom: Option<String>,
    /// What happened so far: check=outcome, later:check, odd:check, again:check, not:fault, maybe:fault
    #[arg(value_name = "EVENT")]
    history: Vec<String>,
    /// The handbook's folder
    #[arg(long, value_name = "DIR", default_value_os_t = default_book())]
    book: PathBuf,
    /// Print where the events lead as JSON, and ask nothing
    #[arg(long)]
    json: bool,
}

/// A walk under way.
struct Session<'a> {
    words: WalkWords<'a>,
    walk: Walking<'a>,
    history: Vec<Event>,
    readings: BTreeMap<String, Reading>,
}

/// What a line of input asks for.
enum Wish {
    Take(Event),
    Read(Event, Reading, String),
    Back,
    Restart,
    Note,
    Quit,
    Nothing,
}

pub fn run(call: &Walk) -> Ending {
    let handbook = match whole_handbook(&call.book) {
        Ok(handbook) => handbook,
        Err(ending) => return ending,
    };
    let Some(id) = &call.symptom else {
        return say(&list(&handbook));
    };
    let Some(symptom) = handbook.symptoms.iter().find(|symptom| symptom.common.id == *id) else {
        let known = handbook.symptoms.iter().map(|symptom| symptom.common.id.as_str());
        complain(&format!("there is no symptom `{id}`{}\n{}", meant(id, known), list(&handbook).trim_end()));
        return Ending::WrongCall;
    };
    let diagnosis = match diagnosis(&handbook, symptom) {
        Ok(diagnosis) => diagnosis,
        Err(words) => {
            complain(&format!("`{id}` cannot be walked through: {words}"));
            return Ending::Problems;
        }
    };
    let mut session = Session {
        words: WalkWords { handbook: &handbook, symptom, diagnosis: &diagnosis },
        walk: Walking::new(&diagnosis),
        history: Vec::new(),
        readings: BTreeMap::new(),
    };
    for text in &call.history {
        if let Err(words) = session.given(text) {
            complain(&words);
            return Ending::WrongCall;
        }
    }
    let look = match session.walk.look(&session.history) {
        Ok(look) => look,
        Err(wrong) => {
            let text = call.history.get(wrong.place).map_or("", String::as_str);
            complain(&format!("`{text}` cannot have happened here: {}", refused(wrong.why)));
            return Ending::WrongCall;
        }
    };
    if call.json {
        return say(&as_json(&session.words, &session.history, &session.readings, &look));
    }
    if std::io::stdin().is_terminal() { session.talk(look) } else { session.piped(look) }
}

fn diagnosis(handbook: &Handbook, symptom: &Symptom) -> Result<Diagnosis, String> {
    let limits = Limits::default();
    let model = model(handbook, symptom).map_err(|error| error.to_string())?;
    let policy = policy(&model, &limits);
    Ok(Diagnosis { model, policy, certainty: limits.certainty })
}

fn list(handbook: &Handbook) -> String {
    let mut text = String::from("Symptoms:\n");
    for symptom in &handbook.symptoms {
        text.push_str(&format!("  {:<30} {}\n", symptom.common.id, symptom.common.title));
    }
    text
}

fn refused(why: crate::diagnosis::Refusal) -> &'static str {
    use crate::diagnosis::Refusal;
    match why {
        Refusal::Unknown => "no such check or outcome",
        Refusal::NotYet => "something must come before that check",
        Refusal::Lost => "the appliance's state has erased what that check reads",
        Refusal::Answered => "that check has an answer; ask it again first",
    }
}

impl Session<'_> {
    fn given(&mut self, text: &str) -> Result<(), String> {
        let model = &self.words.diagnosis.model;
        let checks = || model.checks.iter().map(|check| check.check.id.as_str());
        let event = Event::read(model, text).map_err(|error| {
            let more = match &error {
                UnreadEvent::Form => String::new(),
                UnreadEvent::Check(id) => meant(id, checks()),
                UnreadEvent::Fault(id) => one_of(id, &model.suspects.iter().map(|one| one.fault.id.as_str()).collect::<Vec<_>>()),
                UnreadEvent::Outcome(check, id) => {
                    let outcomes = model.checks.iter().find(|one| one.check.id == *check).map(|one| &one.outcomes);
                    one_of(id, &outcomes.into_iter().flatten().map(|outcome| outcome.id.as_str()).collect::<Vec<_>>())
                }
            };
            format!("`{text}`: {error}{more}")
        })?;
        self.history.push(event);
        Ok(())
    }

    /// At a terminal: a screen, a prompt, an answer, until the reader quits.
    fn talk(&mut self, mut look: Look) -> Ending {
        let mut lines = std::io::stdin().lock().lines();
        let mut told = String::new();
        loop {
            let choices = choices(&self.words, &look, &self.history);
            let shown = format!("{told}\n{}\n> ", screen(&self.words, &look, &self.history, &choices));
            if say(&shown) != Ending::Done {
                return Ending::MachineFailed;
            }
            let line = match lines.next() {
                None => break,
                Some(Err(error)) => return unreadable(&error),
                Some(Ok(line)) => line,
            };
            told = match self.wish(&line, &look, &choices) {
                Err(words) => format!("{words}\n"),
                Ok(Wish::Quit) => break,
                Ok(Wish::Note) => self.note(&look),
                Ok(wish) => match self.follow(wish) {
                    Ok((now, words)) => {
                        look = now;
                        words
                    }
                    Err(words) => format!("{words}\n"),
                },
            };
        }
        say(&format!("\n{}{}", self.note(&look), self.onward()))
    }

    /// From a pipe: the answers are taken, and only the note is printed.
    fn piped(&mut self, mut look: Look) -> Ending {
        for (number, line) in std::io::stdin().lock().lines().enumerate() {
            let line = match line {
                Err(error) => return unreadable(&error),
                Ok(line) => line,
            };
            let choices = choices(&self.words, &look, &self.history);
            let followed = match self.wish(&line, &look, &choices) {
                Ok(Wish::Quit) => break,
                Ok(Wish::Note) => Ok((look.clone(), String::new())),
                Ok(wish) => self.follow(wish),
                Err(words) => Err(words),
            };
            match followed {
                Ok((now, _)) => look = now,
                Err(words) => {
                    complain(&format!("line {} of the answers: {words}", number + 1));
                    return Ending::WrongCall;
                }
            }
        }
        say(&self.note(&look))
    }

    /// The call that takes this walk up again; readings are not in it.
    fn onward(&self) -> String {
        if self.history.is_empty() {
            return String::new();
        }
        let model = &self.words.diagnosis.model;
        let events: Vec<String> = self.history.iter().map(|event| event.write(model)).collect();
        format!("\nTo go on from here: bluecone walk {} {}\n", self.words.symptom.common.id, events.join(" "))
    }

    fn note(&self, look: &Look) -> String {
        self.words.note(&self.history, &self.readings, look)
    }

    fn wish(&self, line: &str, look: &Look, choices: &[Choice]) -> Result<Wish, String> {
        let line = line.trim().to_lowercase();
        let step = match &look.next {
            Next::Do(step) => Some(step.check),
            _ => None,
        };
        if let Some(reading) = line.strip_prefix("r ") {
            return self.reading(reading.trim(), step);
        }
        match (line.as_str(), step) {
            ("", _) => Ok(Wish::Nothing),
            ("back" | "b", _) => Ok(Wish::Back),
            ("restart", _) => Ok(Wish::Restart),
            ("note" | "n", _) => Ok(Wish::Note),
            ("quit" | "q", _) => Ok(Wish::Quit),
            ("later" | "skip" | "l" | "s", Some(check)) => Ok(Wish::Take(Event::Later(check))),
            ("odd" | "o", Some(check)) => Ok(Wish::Take(Event::Odd(check))),
            _ => {
                let chosen = line.parse::<usize>().ok().and_then(|number| choices.get(number.checked_sub(1)?));
                let all = if step.is_some() { "r NUMBER, later, odd, back, restart, note or quit" } else { "back, restart, note or quit" };
                chosen
                    .map(|choice| Wish::Take(choice.event))
                    .ok_or_else(|| format!("expected a number from 1 to {}, {all}, found `{line}`", choices.len()))
            }
        }
    }

    /// A reading decides by the band in which it falls.
    fn reading(&self, text: &str, step: Option<usize>) -> Result<Wish, String> {
        let place = step.ok_or("nothing is measured here")?;
        let check = self.words.check(place).ok_or("nothing is measured here")?;
        let measured = check.measures.as_ref().and_then(|name| match self.words.handbook.entry(name) {
            Some(Entry::Measurement(measurement)) => Some(measurement),
            _ => None,
        });
        let measured = measured.ok_or("this check has no measurement: choose a number from the list")?;
        let unit = measured.unit.shown();
        let figure = text.strip_suffix(&unit.to_lowercase()).unwrap_or(text).trim();
        let value: f64 =
            figure.parse().ok().filter(|value: &f64| value.is_finite()).ok_or_else(|| format!("expected a number, found `{text}`"))?;
        let band = measured.band(value).ok_or("outside the gauge: check the meter, its range and the place")?;
        let outcome = check.outcomes.iter().position(|outcome| matches!(&outcome.seen, Seen::Band(id) if *id == band.id));
        let outcome = outcome.ok_or_else(|| format!("it falls in “{}”, for which this check has no finding", band.label))?;
        let reading = Reading { value: figure.to_owned(), unit: unit.to_owned(), of: measured.common.title.clone() };
        Ok(Wish::Read(Event::Found { check: place, outcome }, reading, check.common.id.clone()))
    }

    /// Does what is wished; gives where the walk then stands, and what to tell before the next screen.
    fn follow(&mut self, wish: Wish) -> Result<(Look, String), String> {
        let before = self.history.len();
        let mut words = String::new();
        match wish {
            Wish::Take(event) => self.history.push(event),
            Wish::Read(event, reading, check) => {
                self.history.push(event);
                self.readings.insert(check, reading);
            }
            Wish::Back => {
                if self.history.pop().is_none() {
                    return Err("this is the beginning".into());
                }
            }
            Wish::Restart => {
                self.history.clear();
                self.readings.clear();
                words = "From the beginning; nothing is noted any more. The appliance is taken to be as it was found.\n".into();
            }
            Wish::Note | Wish::Quit | Wish::Nothing => {}
        }
        if self.history.len() > before
            && let Some(event) = self.history.last()
        {
            words = super::walk_words::noted(&self.words, *event);
        }
        self.walk.look(&self.history).map(|look| (look, words)).map_err(|wrong| {
            self.history.truncate(before);
            refused(wrong.why).to_owned()
        })
    }
}

fn unreadable(error: &std::io::Error) -> Ending {
    complain(&format!("cannot read the answers: {error}"));
    Ending::MachineFailed
}
