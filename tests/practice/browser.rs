//! The browser's half: the topics' scripts, and the judge that decides about answers.

use bluecone::practice::Answer;
use rquickjs::{Context, Ctx, Runtime};

use super::{demo, script_of, topic};

const JUDGE: &str = include_str!("../../src/browser/quiz-judge.js");

/// Runs the test beside the judge and the scripts of all topics.
fn beside_judge(test: impl FnOnce(&Ctx)) {
    let runtime = Runtime::new().expect("a runtime");
    let context = Context::full(&runtime).expect("a context");
    context.with(|ctx| {
        run(&ctx, JUDGE);
        for topic in &demo().1 {
            run(&ctx, &script_of(topic));
        }
        test(&ctx);
    });
}

fn run(ctx: &Ctx, source: &str) {
    ctx.eval::<(), _>(source.as_bytes().to_vec()).expect("a script that runs");
}

/// A value of JavaScript as JSON text.
fn json(ctx: &Ctx, expression: &str) -> String {
    ctx.eval::<String, _>(format!("JSON.stringify({expression})")).unwrap_or_else(|_| panic!("{expression}: {:?}", ctx.catch()))
}

#[test]
fn the_scripts_carry_every_item_in_any_loading_order() {
    beside_judge(|ctx| {
        for topic in &demo().1 {
            assert_eq!(json(ctx, &format!("blueconeQuiz['{}'].items.length", topic.id)), topic.items.len().to_string());
            assert_eq!(json(ctx, &format!("blueconeQuiz['{}'].items[0].id", topic.id)), format!("{:?}", topic.items[0].id));
            let path = format!("{}/{}.html", topic.items[0].entry.kind.folder(), topic.items[0].entry.id);
            assert_eq!(json(ctx, &format!("blueconeQuiz['{}'].items[0].entry.path", topic.id)), format!("{path:?}"));
            assert!(!script_of(topic).contains('<'));
        }
    });
}

#[test]
fn the_judge_takes_every_right_answer_and_no_wrong_one() {
    beside_judge(|ctx| {
        run(
            ctx,
            "var counts = {right: 0, wrong: 0, off: []};
             for (const topic of Object.values(blueconeQuiz)) for (const item of topic.items) for (const variant of item.asked) {
               const note = (good, want) => { if (good !== want) counts.off.push(item.id); counts[want ? 'right' : 'wrong'] += 1; };
               if (variant.kind === 'choice') variant.options.forEach((_, at) => note(blueconeJudge.isRight(variant, at), at === variant.right));
               if (variant.kind === 'order') {
                 note(blueconeJudge.isRight(variant, variant.steps.slice()), true);
                 note(blueconeJudge.isRight(variant, variant.steps.slice().reverse()), false);
               }
               if (variant.kind === 'number') {
                 const typed = blueconeJudge.readNumber(variant.worked + ' ' + variant.unit, variant.unit);
                 note(blueconeJudge.isRight(variant, typed.value), true);
                 note(blueconeJudge.isRight(variant, variant.value * 2), false);
               }
               if (!variant.why.toLowerCase().includes(String(variant.kind === 'order' ? variant.steps[0] : blueconeJudge.rightAnswer(variant)).toLowerCase().replace(/\\.$/, ''))
                   && variant.kind !== 'number') counts.off.push('why ' + item.id);
             }",
        );
        assert_eq!(json(ctx, "counts.off"), "[]");
        let variants: usize = demo().1.iter().flat_map(|topic| &topic.items).map(|item| item.variants.len()).sum();
        assert_eq!(json(ctx, "counts.right"), variants.to_string());
    });
}

#[test]
fn numbers_are_read_as_people_type_them() {
    beside_judge(|ctx| {
        for (typed, value) in [
            ("3.5", "3.5"),
            (" 3.5 V ", "3.5"),
            ("3.5v", "3.5"),
            (".5", "0.5"),
            ("-2", "-2"),
            ("\u{2212}2", "-2"),
            ("+7.", "7"),
            ("190 000", "190000"),
            ("190\u{202f}000", "190000"),
        ] {
            assert_eq!(json(ctx, &format!("blueconeJudge.readNumber({typed:?}.trim(), 'V').value")), value, "{typed}");
        }
        for (typed, says) in [
            ("", "Type a number first"),
            ("  ", "Type a number first"),
            ("3,5", "Leave the comma out"),
            ("1,000", "Leave the comma out"),
            ("three", "Type digits only"),
            ("5 A", "Type digits only"),
            ("1.2.3", "not one number"),
            ("1 2", "not one number"),
            ("-", "not one number"),
            ("1e3", "Type digits only"),
        ] {
            let told = json(ctx, &format!("blueconeJudge.readNumber('{typed}', 'V').problem"));
            assert!(told.contains(says), "{typed}: {told}");
        }
        assert_eq!(json(ctx, "blueconeJudge.readNumber('12', '').value"), "12");
    });
}

#[test]
fn unseen_items_come_before_wrong_ones_and_those_before_known_ones() {
    beside_judge(|ctx| {
        let drawn = json(
            ctx,
            "(() => {
               const items = ['a', 'b', 'c', 'd', 'e', 'f'].map((id) => ({ id }));
               const record = { best: {}, seen: { a: { times: 1, right: true }, b: { times: 1, right: false }, c: { times: 2, right: true } } };
               let seed = 1; const random = () => (seed = (seed * 16807) % 2147483647) / 2147483647;
               return [3, 4, 6, 9].map((count) => blueconeJudge.drawn(items, count, record, random).map((item) => item.id).sort().join(''));
             })()",
        );
        assert_eq!(drawn, r#"["def","bdef","abcdef","abcdef"]"#);
    });
}

#[test]
fn the_record_survives_spoilt_text_and_keeps_only_better_results() {
    beside_judge(|ctx| {
        for text in ["null", "'{'", "'[]'", "'7'", "'null'", r#"'{"best":{"x":{"right":9,"of":3}},"seen":{"y":5}}'"#] {
            let record = json(ctx, &format!("blueconeJudge.readRecord({text})"));
            assert_eq!(record, r#"{"best":{},"seen":{}}"#, "{text}");
        }
        let kept = json(
            ctx,
            "(() => {
               const record = blueconeJudge.readRecord('{\"best\":{\"bands\":{\"right\":5,\"of\":10}},\"seen\":{\"q\":{\"times\":2,\"right\":false}}}');
               const better = [[4, 8], [3, 8], [5, 8]].map(([right, of]) => blueconeJudge.keepBest(record, 'bands', right, of));
               return [better, record];
             })()",
        );
        assert_eq!(kept, r#"[[false,false,true],{"best":{"bands":{"right":5,"of":8}},"seen":{"q":{"times":2,"right":false}}}]"#);
    });
}

#[test]
fn steps_are_never_offered_in_the_right_order() {
    beside_judge(|ctx| {
        let solved = json(
            ctx,
            "[0, 0.25, 0.5, 0.75, 0.999].filter((fixed) => blueconeJudge.disordered(['a', 'b', 'c'], () => fixed).join('') === 'abc')",
        );
        assert_eq!(solved, "[]");
    });
    let orders = topic(&demo().1, "sequence")
        .items
        .iter()
        .flat_map(|item| &item.variants)
        .filter(|variant| matches!(variant.answer, Answer::Order { .. }));
    assert!(orders.count() >= 20);
}
