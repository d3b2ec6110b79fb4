//! Prose, by cases in `markdown/`: Markdown, a line of five equals signs, the HTML that it becomes.

use super::{fixture, page};
use bluecone::handbook::GuidePage;

fn drawn(markdown: &str) -> String {
    let mut handbook = fixture::handbook();
    handbook.guide = vec![GuidePage { id: "case".into(), title: "Case".into(), text: fixture::prose(markdown) }];
    let files = super::site(&handbook);
    let text = page(&files, "guide/case.html");
    let start = text
        .find("</header>\n<")
        .map(|_| text.rfind("<h1>Case</h1></header>\n").expect("the title") + "<h1>Case</h1></header>\n".len())
        .expect("a header");
    let end = text[start..].find("</article>").expect("the article ends") + start;
    text[start..end].trim().to_owned()
}

#[test]
fn cases() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/pages/markdown");
    let mut paths: Vec<_> = std::fs::read_dir(folder).expect("the folder of cases").map(|item| item.expect("a case").path()).collect();
    paths.sort();
    let mut wrong = Vec::new();
    for path in &paths {
        let text = std::fs::read_to_string(path).expect("a case is text");
        let (markdown, expected) = text.split_once("\n=====\n").expect("a line of equals signs");
        let found = drawn(markdown);
        if found != expected.trim() {
            wrong.push(format!("{}\nexpected:\n{}\nfound:\n{found}\n", path.display(), expected.trim()));
        }
    }
    assert!(paths.len() >= 10, "only {} cases", paths.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
