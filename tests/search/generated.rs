//! A large set of documents whose words are as unevenly common as in prose.

use bluecone::search::Document;

/// Always the same. Words follow Zipf's law over a vocabulary of made-up syllables; bodies have 60 to 180 words.
pub fn documents(count: usize) -> Vec<Document> {
    const SYLLABLES: [&str; 24] = [
        "ba", "con", "dri", "el", "fa", "gor", "hi", "in", "jun", "ka", "lem", "mo", "nis", "or", "pre", "qua", "ris", "sto", "ter", "un",
        "ver", "wil", "yar", "zo",
    ];
    const ENDINGS: [&str; 6] = ["", "", "", "s", "ed", "ing"];
    let mut state = 1_u64;
    let mut next = move || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as f64 / (1_u64 << 31) as f64
    };
    const VOCABULARY: f64 = 12_000.0;
    let mut word = move || {
        // The inverse of the distribution with density 1 / rank.
        let rank = VOCABULARY.powf(next()) as usize;
        let mut rest = rank * 7 + 3;
        let mut word = String::new();
        while rest > 0 {
            word.push_str(SYLLABLES[rest % 24]);
            rest /= 24;
        }
        word + ENDINGS[(next() * 6.0) as usize]
    };
    let mut words = move |length: usize| (0..length).map(|_| word()).collect::<Vec<_>>().join(" ");
    (0..count)
        .map(|at| Document {
            id: format!("entry-{at}"),
            address: format!("terms/entry-{at}.html"),
            kind: "term".into(),
            title: words(2 + at % 3),
            also: vec![words(2)],
            summary: words(10),
            text: words(60 + at * 37 % 120),
            ..Document::default()
        })
        .collect()
}
