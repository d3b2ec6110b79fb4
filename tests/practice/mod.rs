//! Practice: items derived from the demo handbook and from a small one, and the script that asks them.

use std::path::Path;
use std::sync::OnceLock;

use bluecone::handbook::Handbook;
use bluecone::practice::{Topic, topics};

mod print;

/// The demo handbook and what practice makes of it.
fn demo() -> &'static (Handbook, Vec<Topic>) {
    static DEMO: OnceLock<(Handbook, Vec<Topic>)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let proofed = bluecone::proof(Path::new("content")).expect("the demo handbook can be read");
        let handbook = proofed.handbook.unwrap_or_else(|| panic!("the demo handbook has problems: {:?}", proofed.diagnostics.first()));
        let topics = topics(&handbook);
        (handbook, topics)
    })
}
