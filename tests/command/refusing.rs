//! What a press will not do: lose somebody's files, or take a call that makes no sense.

use super::shop::Shop;

#[test]
fn wrong_calls_end_with_2() {
    let shop = Shop::new();
    let calls: &[&[&str]] = &[
        &[],
        &["prees"],
        &["press", "--too", "x"],
        &["press", "content", "extra"],
        &["press", "no-such-folder"],
        &["press", "content/handbook.yaml"],
        &["proof", "no-such-folder"],
        &["proof", "--format", "xml"],
        &["find"],
        &["find", ""],
        &["find", " ", "\t"],
        &["find", "glow", "--limit", "many"],
        &["find", "glow", "--book", "no-such-folder"],
        &["work", "no-such-sum"],
        &["work", "wire-drop", "current"],
        &["work", "wire-drop", "no_such_input=1"],
        &["work", "wire-drop", "current=1", "current=2"],
    ];
    for call in calls {
        let run = shop.run(call);
        assert_eq!(run.status, 2, "{call:?} gave {run:?}");
        assert_eq!(run.out, "", "{call:?} printed a result");
        assert!(!run.error.is_empty(), "{call:?} said nothing");
        assert!(!run.error.contains("panicked"), "{call:?} gave {run:?}");
    }
    assert_eq!(shop.names("."), ["content"]);
}

#[test]
fn a_file_given_in_place_of_the_folder_is_told_its_folder() {
    let shop = Shop::new();
    let calls: &[(&[&str], &str)] = &[
        (&["proof", "content/handbook.yaml"], "content/handbook.yaml is a file; name the handbook's folder, here `content`"),
        (&["press", "content/checks/prove-dead.yaml"], "here `content`"),
        (&["find", "glow", "--book", "content/handbook.yaml"], "here `content`"),
        (&["press", "content/checks"], "content/checks is only a part of a handbook; name the folder above it"),
    ];
    for (call, words) in calls {
        let run = shop.run(call);
        assert!(run.status == 2 && run.error.contains(words), "{call:?}: {run:?}");
    }
    let run = shop.shell(r#"cd content && "$BLUECONE" proof handbook.yaml"#);
    assert!(run.status == 2 && run.error.contains("here `.`"), "{run:?}");
}

#[test]
fn help_and_version_end_with_0_and_teach_by_example() {
    let shop = Shop::new();
    for command in ["press", "proof", "find", "work"] {
        let run = shop.run(&[command, "--help"]);
        assert_eq!(run.status, 0);
        assert!(run.out.contains("Examples:") && run.out.contains(&format!("bluecone {command}")), "{run:?}");
    }
    assert_eq!(shop.run(&["--help"]).status, 0);
    assert!(shop.run(&["--version"]).out.starts_with("bluecone "));
}

#[test]
fn a_target_with_a_strange_file_is_refused_and_the_file_is_untouched() {
    let shop = Shop::new();
    shop.write("site/letters/landlord.txt", "keep me");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 2, "{run:?}");
    assert!(run.error.contains("letters/landlord.txt") && run.error.contains("--to"), "{run:?}");
    assert_eq!(shop.bytes("site"), [("letters/landlord.txt".to_owned(), b"keep me".to_vec())].into());
    assert_eq!(shop.names("."), ["content", "site"]);
}

#[test]
fn a_strange_file_put_into_a_pressed_site_is_refused_too() {
    let shop = Shop::new();
    shop.press();
    shop.write("site/checks/my-notes.txt", "keep me");
    let before = shop.bytes("site");
    shop.edit("content/handbook.yaml", "title: Small handbook", "title: Another handbook");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 2, "{run:?}");
    assert!(run.error.contains("checks/my-notes.txt"), "{run:?}");
    assert_eq!(before, shop.bytes("site"));
}

#[test]
fn a_pressed_file_that_somebody_edited_is_refused() {
    let shop = Shop::new();
    shop.press();
    shop.write("site/checks/prove-dead.html", "my own words");
    let before = shop.bytes("site");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 2, "{run:?}");
    assert!(run.error.contains("checks/prove-dead.html"), "{run:?}");
    assert_eq!(before, shop.bytes("site"));
}

#[test]
fn a_forged_manifest_line_does_not_make_a_strange_file_ours() {
    let shop = Shop::new();
    shop.press();
    shop.write("site/notes.txt", "keep me");
    let manifest = std::fs::read_to_string(shop.path("site/manifest.sha256")).expect("a manifest");
    shop.write("site/manifest.sha256", format!("{manifest}{}  notes.txt\n", "0".repeat(64)));
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 2, "{run:?}");
    assert_eq!(std::fs::read(shop.path("site/notes.txt")).expect("the file"), b"keep me");
}

#[test]
fn a_folder_link_in_the_target_is_not_followed_out_of_it() {
    let shop = Shop::new();
    shop.press();
    shop.write("treasure/gold.txt", "keep me");
    std::os::unix::fs::symlink(shop.path("treasure"), shop.path("site/way-out")).expect("a link");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 2, "{run:?}");
    assert_eq!(std::fs::read(shop.path("treasure/gold.txt")).expect("the file"), b"keep me");
}

#[test]
fn book_and_target_must_be_apart() {
    let shop = Shop::new();
    let before = shop.bytes("content");
    for target in ["content", "content/site", "content/terms", ".", "content/../content/x"] {
        let run = shop.run(&["press", "content", "--to", target]);
        assert_eq!(run.status, 2, "--to {target}: {run:?}");
        assert!(run.error.contains("apart"), "--to {target}: {run:?}");
    }
    std::os::unix::fs::symlink(shop.path("content"), shop.path("side-door")).expect("a link");
    assert_eq!(shop.run(&["press", "content", "--to", "side-door/site"]).status, 2, "a link into the handbook");
    assert_eq!(before, shop.bytes("content"));
}

#[test]
fn a_file_in_the_place_of_the_target_is_refused() {
    let shop = Shop::new();
    shop.write("site", "a file");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 2, "{run:?}");
    assert_eq!(std::fs::read(shop.path("site")).expect("the file"), b"a file");
}
