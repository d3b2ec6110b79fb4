//! Search: words, ranking, packing, in Rust and in the browser's script.

#[test]
fn dump() {
    let mut out = String::new();
    for c in '\u{80}'..=char::MAX {
        if c.is_alphanumeric() {
            let w = bluecone::search::split(&c.to_string());
            out.push_str(&format!("{:x} {}\n", c as u32, w[0].word));
        }
    }
    std::fs::write("/tmp/folds.txt", out).unwrap();
}
