//! Text to words, with tantivy's own analysers.
//!
//! In order: [`Figures`] splits at everything that is neither letter nor digit and puts numbers together again;
//! words of 40 bytes or more are dropped; then lower case, ASCII folding (`é` → `e`) and [`Signs`]. What results is a *surface*
//! word; tantivy's English stemmer makes its *stem* (`igniters` → `ignit`). The browser does all but the stemming in
//! `src/browser/search-words.js` and takes stems from the packed table.
//!
//! Figures, the same in the text and in a query:
//!
//! | written | words | rule |
//! |---|---|---|
//! | `0.187`, `.187` | `0.187` | one word; a missing leading zero is added |
//! | `3.50`, `3.5` | `3.5` | trailing zeros after the point are dropped |
//! | `20,000`, `20000` | `20000` | a comma before exactly three digits joins them |
//! | `24VAC`, `24 VAC` | `24` `vac` | leading digits are split from the unit |
//! | `µA`, `μA`, `uA` | `ua` | micro sign and Greek mu fold to `u` |
//! | `10 kΩ` | `10` `kohm` | the ohm sign folds to `ohm` |
//! | `10%`, `10 percent` | `10` `percent` | the sign right after a figure is a word |
//! | `1/4`, `120-240` | `1` `4`, `120` `240` | other marks still split |
//! | `T9`, `R22` | `t9`, `r22` | letters first: one word |
//!
//! Words, the same in the text and in a query:
//!
//! | written | words | rule |
//! |---|---|---|
//! | `w.c.`, `wc` | `wc` | single letters with points between them are one word |
//! | `won't`, `wont`, `cannot` | `not` | every short form of *not* is `not`: in this trade it carries the meaning |
//! | `igniter's` | `igniter` | an `s` after an apostrophe is dropped |

use tantivy::tokenizer::{
    AsciiFoldingFilter, Language, LowerCaser, RawTokenizer, RemoveLongFilter, Stemmer, TextAnalyzer, Token as TantivyToken, TokenFilter,
    TokenStream, Tokenizer,
};

/// Words of this many UTF-8 bytes or more (before folding) are dropped, as tantivy's default analysers do.
const LONG: usize = 40;

/// What the sign after a figure becomes.
const PERCENT: &str = "percent";
/// What every short form of *not* becomes.
const NOT: &str = "not";
/// Short forms of *not* as thumbs type them, without the apostrophe.
const SHORT_NOTS: [&str; 12] =
    ["aint", "arent", "cannot", "cant", "couldnt", "didnt", "doesnt", "dont", "hasnt", "isnt", "wont", "wouldnt"];

/// One word of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// The folded word.
    pub word: String,
    /// Byte offsets of what was written.
    pub from: usize,
    pub to: usize,
}

/// The analyser that gives surface words.
pub fn analyser() -> TextAnalyzer {
    TextAnalyzer::builder(Figures).filter(RemoveLongFilter::limit(LONG)).filter(LowerCaser).filter(AsciiFoldingFilter).filter(Signs).build()
}

/// The same with tantivy's English stemmer at the end: what the index counts.
pub fn stem_analyser() -> TextAnalyzer {
    TextAnalyzer::builder(Figures)
        .filter(RemoveLongFilter::limit(LONG))
        .filter(LowerCaser)
        .filter(AsciiFoldingFilter)
        .filter(Signs)
        .filter(Stemmer::new(Language::English))
        .build()
}

/// The surface words of a text, in order.
pub fn split(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    Splitter::default().each(text, |word, from, to| tokens.push(Token { word: word.to_owned(), from, to }));
    tokens
}

/// Gives what [`analyser`] gives without a stream and a copy for each word. Only a word with letters beyond ASCII goes through
/// tantivy's filters: for the others folding is small letters.
pub(super) struct Splitter {
    runs: Vec<(usize, usize)>,
    word: String,
    folder: TextAnalyzer,
}

impl Default for Splitter {
    fn default() -> Self {
        let folder = TextAnalyzer::builder(RawTokenizer::default()).filter(LowerCaser).filter(AsciiFoldingFilter).filter(Signs).build();
        Self { runs: Vec::new(), word: String::new(), folder }
    }
}

impl Splitter {
    /// Calls `take` with each surface word and the byte offsets of what was written.
    pub fn each(&mut self, text: &str, mut take: impl FnMut(&str, usize, usize)) {
        let Self { runs, word, folder } = self;
        find_runs(text, runs);
        put_together(text, runs, |written, from, to| {
            if written.len() >= LONG {
                return;
            }
            if written.is_ascii() {
                word.clear();
                word.push_str(written);
                word.make_ascii_lowercase();
                take(if SHORT_NOTS.contains(&word.as_str()) { NOT } else { word }, from, to);
            } else {
                let mut stream = folder.token_stream(written);
                while stream.advance() {
                    take(&stream.token().text, from, to);
                }
            }
        });
    }
}

/// Finds the stretches of letters and digits, as tantivy's [`SimpleTokenizer`](tantivy::tokenizer::SimpleTokenizer) does.
fn find_runs(text: &str, runs: &mut Vec<(usize, usize)>) {
    runs.clear();
    let bytes = text.as_bytes();
    let mut start = None;
    let mut at = 0;
    while let Some(&byte) = bytes.get(at) {
        let (inside, length) = if byte.is_ascii() {
            (byte.is_ascii_alphanumeric(), 1)
        } else {
            text[at..].chars().next().map_or((false, 1), |c| (c.is_alphanumeric(), c.len_utf8()))
        };
        match start {
            None if inside => start = Some(at),
            Some(from) if !inside => {
                runs.push((from, at));
                start = None;
            }
            _ => {}
        }
        at += length;
    }
    runs.extend(start.map(|from| (from, bytes.len())));
}

/// Splits as tantivy's `SimpleTokenizer` does, with numbers put together and split from their units.
#[derive(Debug, Clone, Copy, Default)]
pub struct Figures;

/// The words of one text, split beforehand.
pub struct FigureStream {
    tokens: Vec<TantivyToken>,
    /// One past the current token.
    next: usize,
    empty: TantivyToken,
}

impl Tokenizer for Figures {
    type TokenStream<'a> = FigureStream;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> FigureStream {
        let mut runs = Vec::new();
        find_runs(text, &mut runs);
        let mut tokens: Vec<TantivyToken> = Vec::new();
        put_together(text, &runs, |word, from, to| {
            let position = tokens.len();
            tokens.push(TantivyToken { offset_from: from, offset_to: to, position, text: word.to_owned(), position_length: 1 });
        });
        FigureStream { tokens, next: 0, empty: TantivyToken::default() }
    }
}

impl TokenStream for FigureStream {
    fn advance(&mut self) -> bool {
        self.next += 1;
        self.next <= self.tokens.len()
    }

    fn token(&self) -> &TantivyToken {
        self.next.checked_sub(1).and_then(|at| self.tokens.get(at)).unwrap_or(&self.empty)
    }

    fn token_mut(&mut self) -> &mut TantivyToken {
        self.next.checked_sub(1).and_then(|at| self.tokens.get_mut(at)).unwrap_or(&mut self.empty)
    }
}

/// Calls `push` with each word and its place. `splitRuns` in the browser's script is the same loop.
fn put_together(text: &str, runs: &[(usize, usize)], mut push: impl FnMut(&str, usize, usize)) {
    let bytes = text.as_bytes();
    let digits = |at: usize| runs.get(at).map_or(0, |&(from, to)| bytes[from..to].iter().take_while(|byte| byte.is_ascii_digit()).count());
    // What stands between run `at` and the next, if it is one byte.
    let mark = |at: usize| match (runs.get(at), runs.get(at + 1)) {
        (Some(&(_, to)), Some(&(from, _))) if from == to + 1 => bytes[to],
        _ => 0,
    };
    let apostrophe = |at: usize| match (runs.get(at), runs.get(at + 1)) {
        (Some(&(_, to)), Some(&(from, _))) => matches!(&text[to..from], "'" | "\u{2019}"),
        _ => false,
    };
    let letter = |at: usize| runs.get(at).is_some_and(|&(from, to)| to == from + 1 && bytes[from].is_ascii_alphabetic());
    let mut at = 0;
    while at < runs.len() {
        let (mut from, mut to) = runs[at];
        let mut lead = digits(at);
        if lead == 0 {
            let tail = |end: &str| apostrophe(at) && runs.get(at + 1).is_some_and(|&(from, to)| text[from..to].eq_ignore_ascii_case(end));
            if bytes[to - 1].eq_ignore_ascii_case(&b'n') && tail("t") {
                at += 1;
                push(NOT, from, runs[at].1);
            } else if tail("s") {
                push(&text[from..to], from, runs[at + 1].1);
                at += 1;
            } else if letter(at) && mark(at) == b'.' && letter(at + 1) {
                let mut word = text[from..to].to_owned();
                while mark(at) == b'.' && letter(at + 1) {
                    at += 1;
                    word.push_str(&text[runs[at].0..runs[at].1]);
                }
                push(&word, from, runs[at].1);
            } else {
                push(&text[from..to], from, to);
            }
            at += 1;
            continue;
        }
        let (mut start, mut whole) = (from, String::from(&text[from..from + lead]));
        let mut fraction = String::new();
        // A point right before, itself after a space or the like: `.187`.
        if from > 0 && bytes[from - 1] == b'.' && (at == 0 || runs[at - 1].1 < from - 1) {
            start = from - 1;
            fraction = std::mem::replace(&mut whole, "0".to_owned());
        } else {
            let grouped = whole.len() <= 3;
            while grouped && from + lead == to && mark(at) == b',' && digits(at + 1) == 3 {
                at += 1;
                (from, to) = runs[at];
                lead = 3;
                whole.push_str(&text[from..from + 3]);
            }
            if from + lead == to && mark(at) == b'.' && digits(at + 1) > 0 {
                at += 1;
                (from, to) = runs[at];
                lead = digits(at);
                fraction = text[from..from + lead].to_owned();
            }
        }
        let fraction = fraction.trim_end_matches('0');
        let word = if fraction.is_empty() { whole } else { format!("{whole}.{fraction}") };
        push(&word, start, from + lead);
        if from + lead < to {
            push(&text[from + lead..to], from + lead, to);
        } else if bytes.get(to) == Some(&b'%') {
            push(PERCENT, to, to + 1);
        }
        at += 1;
    }
}

/// Folds the signs that units are written with, and what ASCII folding turned into capitals.
#[derive(Debug, Clone, Copy, Default)]
pub struct Signs;

/// [`Signs`] around another tokeniser.
#[derive(Debug, Clone)]
pub struct SignsTokenizer<T>(T);

/// [`Signs`] around another stream.
pub struct SignsStream<T>(T);

impl TokenFilter for Signs {
    type Tokenizer<T: Tokenizer> = SignsTokenizer<T>;

    fn transform<T: Tokenizer>(self, tokenizer: T) -> SignsTokenizer<T> {
        SignsTokenizer(tokenizer)
    }
}

impl<T: Tokenizer> Tokenizer for SignsTokenizer<T> {
    type TokenStream<'a> = SignsStream<T::TokenStream<'a>>;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Self::TokenStream<'a> {
        SignsStream(self.0.token_stream(text))
    }
}

impl<T: TokenStream> TokenStream for SignsStream<T> {
    fn advance(&mut self) -> bool {
        if !self.0.advance() {
            return false;
        }
        let text = &mut self.0.token_mut().text;
        if !text.is_ascii() {
            *text = text.replace(['µ', 'μ'], "u").replace('ω', "ohm");
        }
        // Small capitals have no lower case and fold to capitals.
        text.make_ascii_lowercase();
        if SHORT_NOTS.contains(&text.as_str()) {
            NOT.clone_into(text);
        }
        true
    }

    fn token(&self) -> &TantivyToken {
        self.0.token()
    }

    fn token_mut(&mut self) -> &mut TantivyToken {
        self.0.token_mut()
    }
}
