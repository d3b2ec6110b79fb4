//! A word of the trade; its summary is the definition.

use super::Common;

#[derive(Debug, Clone)]
pub struct Term {
    pub common: Common,
}
