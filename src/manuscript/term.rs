//! A term as written: the common fields are all it has. The title is the word, the summary its definition.

use super::record::record;

record! {
    /// A word of the glossary: the title is the word, the summary its definition, `also` its synonyms.
    pub struct Term {}
}
