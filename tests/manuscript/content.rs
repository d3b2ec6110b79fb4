//! temporary
use bluecone::manuscript::read;
#[test]
fn content() {
    let Ok(book) = std::env::var("BOOK") else { return };
    let start = std::time::Instant::now();
    let book = read(std::path::Path::new(&book)).unwrap();
    println!("{:?}", start.elapsed());
    let m = &book.manuscript;
    println!("{} sources, {} tables, unread {:?}", m.sources.iter().count(), m.tables.len(), m.unread);
    for d in book.problems.clone().sorted() { println!("{}\n   {} {:?}", d.in_one_line(&m.sources), d.label, d.hints); }
}
