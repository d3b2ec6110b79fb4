use bluecone::practice::Answer;
#[test]
fn print_items() {
    let (_, topics) = super::demo();
    for topic in topics {
        println!("##### {} {}", topic.id, topic.items.len());
        for item in &topic.items {
            println!("[{}] ({} variants)", item.id, item.variants.len());
            for v in item.variants.iter().take(if std::env::var("ALL").is_ok() {99} else {1}) {
                println!("  Q {}", v.question);
                match &v.answer {
                    Answer::Choice { options, right } => for (i,o) in options.iter().enumerate() { println!("    {} {}", if i==*right {"*"} else {"-"}, o.text) },
                    Answer::Order { steps, shown } => println!("    order {:?} {:?}", shown, steps),
                    Answer::Number { unit, value, tolerance, worked } => println!("    = {worked} {unit} ({value} ± {tolerance})"),
                }
                println!("    > {}", v.explanation);
            }
        }
    }
    for p in bluecone::practice::check_all(topics) { println!("PROBLEM {p}"); }
}
