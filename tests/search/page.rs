//! The browser's script in a JavaScript engine without a page.

use bluecone::search;
use rquickjs::{Context, Runtime};
use serde::Serialize;
use serde::de::DeserializeOwned;

const HELPERS: &str = r#"
    const order = (index, query) => {
        const plan = blueconeSearch.plan(index, query);
        return blueconeSearch.rank(index, plan).map((one) => [one.document, one.exact, one.matched, one.score]);
    };
"#;

pub struct Page {
    context: Context,
}

impl Page {
    /// A page that has run the script and then each data file.
    pub fn new(files: &[(String, Vec<u8>)]) -> Page {
        let context = Context::full(&Runtime::new().unwrap()).unwrap();
        let page = Page { context };
        page.run(&search::script());
        for (_, bytes) in files {
            page.run(std::str::from_utf8(bytes).unwrap());
        }
        page.run("const index = blueconeSearch.openIndex();");
        page.run(HELPERS);
        page
    }

    /// Runs a script; a thrown error fails the test.
    pub fn run(&self, script: &str) {
        self.context.with(|context| {
            if context.eval::<(), _>(script).is_err() {
                panic!("thrown: {:?}", context.catch());
            }
        });
    }

    /// The value of an expression in which `input` is what is given.
    pub fn ask<T: DeserializeOwned>(&self, expression: &str, input: impl Serialize) -> T {
        let input = serde_json::to_string(&input).unwrap();
        let answer = self.context.with(|context| {
            context.globals().set("inputText", input).unwrap();
            let script = format!("JSON.stringify(((input) => ({expression}))(JSON.parse(inputText))) ?? 'null'");
            match context.eval::<String, _>(script) {
                Ok(answer) => answer,
                Err(_) => panic!("{expression} threw {:?}", context.catch()),
            }
        });
        serde_json::from_str(&answer).unwrap()
    }
}
