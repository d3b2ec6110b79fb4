//! Bands: what a result means, and the proof that every result means just one thing.

use super::evaluate::{Result, Value, World, below};
use super::typing::Formula;

/// The bands of one verdict, in order.
#[derive(Debug, Clone)]
pub enum Bands {
    /// The edges between neighbouring bands, one fewer than bands; a result equal to an edge belongs to the upper band.
    Number { edges: Vec<Formula> },
    /// The value of each band.
    Is(Vec<Value>),
}

impl Bands {
    /// How many bands there are.
    pub fn count(&self) -> usize {
        match self {
            Self::Number { edges } => edges.len() + 1,
            Self::Is(values) => values.len(),
        }
    }

    /// The position of the band that a result falls into.
    pub(super) fn choose(&self, value: &Value, world: &World) -> Result<usize> {
        match (self, value) {
            (Self::Number { edges }, Value::Number(number)) => {
                for (band, edge) in edges.iter().enumerate() {
                    if below(*number, edge.number(world)?) {
                        return Ok(band);
                    }
                }
                Ok(edges.len())
            }
            (Self::Is(values), value) => Ok(values.iter().position(|known| known == value).unwrap_or(0)),
            _ => Ok(0),
        }
    }
}
