//! Reading: YAML with places, entries as written, what is wrong with them, and their schemas.

mod cases;
mod disk;
mod places;
mod schema;
