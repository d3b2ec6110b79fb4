//! The formula language.

#[derive(Debug, Clone, Default)]
pub struct Unit {
    pub code: String,
    pub shown: String,
}

#[derive(Debug, Clone, Default)]
pub struct Program {}
