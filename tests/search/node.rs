//! The golden queries in Node, whose engine is that of a common browser. Skipped, and said so, where there is no Node.

use std::process::Command;

use bluecone::search::{files_of, plan, rank, script, split};

use super::{INDEX, cases, read};

const RUN: &str = "
const given = JSON.parse(require('fs').readFileSync(0, 'utf8'));
for (const script of given.scripts) (0, eval)(script);
const index = blueconeSearch.openIndex();
const orders = given.queries.map((query) => {
    const plan = blueconeSearch.plan(index, query);
    return blueconeSearch.rank(index, plan).map((one) => [one.document, one.exact, one.matched, Math.round(one.score * 1e9)]);
});
const words = given.texts.map((text) => blueconeSearch.split(text).map(({ word }) => word));
process.stdout.write(JSON.stringify({ orders, words }));
";

#[test]
fn node_agrees() {
    if Command::new("node").arg("--version").output().is_err() {
        eprintln!("skipped: there is no node on this machine");
        return;
    }
    let mut scripts = vec![script()];
    scripts.extend(files_of(&INDEX).into_iter().map(|(_, bytes)| String::from_utf8(bytes).unwrap()));
    let queries: Vec<String> = cases(&read("golden.txt")).into_iter().map(|(query, _)| query).collect();
    let texts: Vec<String> = cases(&read("words.txt")).into_iter().map(|(text, _)| text).collect();
    let given = tempfile::NamedTempFile::new().unwrap();
    let json = serde_json::json!({ "scripts": scripts, "queries": queries, "texts": texts });
    std::fs::write(given.path(), json.to_string()).unwrap();
    let output = Command::new("node").args(["-e", RUN]).stdin(given.reopen().unwrap()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let found: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();

    let orders: Vec<Vec<(u32, bool, u32, i64)>> = serde_json::from_value(found["orders"].clone()).unwrap();
    assert_eq!(orders.len(), queries.len());
    for (query, there) in queries.iter().zip(orders) {
        let here = rank(&INDEX, &plan(&INDEX, query));
        assert_eq!(there.len(), here.len(), "{query}");
        for (a, b) in here.iter().zip(there) {
            assert_eq!((a.document, a.exact, a.matched), (b.0, b.1, b.2), "{query}");
            assert!(((a.score * 1e9).round() as i64 - b.3).abs() <= 1, "{query}");
        }
    }
    let words: Vec<Vec<String>> = serde_json::from_value(found["words"].clone()).unwrap();
    for (text, there) in texts.iter().zip(words) {
        assert_eq!(there, split(text).into_iter().map(|token| token.word).collect::<Vec<_>>(), "{text:?}");
    }
}
