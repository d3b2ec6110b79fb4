//! Phases laid end to end: the lane chart of a sequence.

use super::evaluate::{Result, World};
use super::program::{Phase, Timeline};
use super::sentence;

/// One phase at its time.
#[derive(Debug, Clone, PartialEq)]
pub struct Segment {
    pub title: String,
    /// Seconds from the beginning.
    pub start: f64,
    pub end: f64,
    /// Positions of the lanes that are on.
    pub on: Vec<usize>,
}

/// A chart with more phases than this is not read by anyone.
pub const MOST_SEGMENTS: usize = 500;

impl Timeline {
    /// Every phase in order; at most [`MOST_SEGMENTS`].
    pub(super) fn work(&self, world: &World) -> Result<Vec<Segment>> {
        let mut line = Line { world, segments: Vec::new(), rounds: 0, now: 0.0 };
        line.phases(&self.phases, false)?;
        Ok(line.segments)
    }
}

struct Line<'a> {
    world: &'a World<'a>,
    segments: Vec<Segment>,
    rounds: usize,
    now: f64,
}

impl Line<'_> {
    /// `last`: these phases are the last repetition of their `repeat`.
    fn phases(&mut self, phases: &[Phase], last: bool) -> Result<()> {
        for phase in phases {
            match phase {
                Phase::Lasts { between: true, .. } if last => {}
                Phase::Lasts { title, lasts, on, .. } => {
                    let lasts = lasts.number(self.world)?;
                    if lasts < 0.0 {
                        return Err(sentence::NEGATIVE_TIME.into());
                    }
                    let end = self.now + lasts;
                    if !end.is_finite() {
                        return Err(sentence::LARGE.into());
                    }
                    room(self.segments.len())?;
                    self.segments.push(Segment { title: title.clone(), start: self.now, end, on: on.clone() });
                    self.now = end;
                }
                Phase::Repeat { times, phases } => {
                    let times = times.number(self.world)?;
                    if times < 0.0 || times != times.floor() {
                        return Err(sentence::REPEATS.into());
                    }
                    // Rounds are counted too: they may be many even where every phase in them is left out.
                    for round in 1..=times as usize {
                        room(self.rounds)?;
                        self.rounds += 1;
                        self.phases(phases, round == times as usize)?;
                    }
                }
            }
        }
        Ok(())
    }
}

fn room(taken: usize) -> Result<()> {
    if taken < MOST_SEGMENTS { Ok(()) } else { Err(sentence::too_many_phases(MOST_SEGMENTS).into()) }
}
