//! What a press leaves behind when all is well.

use super::shop::Shop;

#[test]
fn a_press_writes_a_whole_site_and_says_so_in_one_line() {
    let shop = Shop::new();
    let run = shop.press();
    shop.assert_whole("site");
    assert_eq!(run.out.lines().count(), 1, "{run:?}");
    assert!(run.out.contains("site/index.html"), "{run:?}");
    assert_eq!(run.error, "", "a piped press is quiet beside its one line");
    assert_eq!(shop.names("."), ["content", "site"], "nothing else may be left behind");
}

#[test]
fn a_target_that_does_not_exist_yet_is_made_with_its_parents() {
    let shop = Shop::new();
    let run = shop.run(&["press", "content", "--to", "out/of/the/way"]);
    assert_eq!(run.status, 0, "{run:?}");
    shop.assert_whole("out/of/the/way");
    assert_eq!(shop.names("out/of/the"), ["way"]);
}

#[test]
fn an_empty_target_folder_and_one_with_only_a_marker_file_are_taken() {
    let shop = Shop::new();
    std::fs::create_dir(shop.path("empty")).expect("a new folder");
    assert_eq!(shop.run(&["press", "--to", "empty"]).status, 0);
    shop.write("site/.gitkeep", "");
    shop.press();
    assert!(shop.path("site/.gitkeep").is_file(), "the marker file stays");
    shop.press();
    assert!(shop.path("site/.gitkeep").is_file(), "the marker file stays a second time");
}

#[test]
fn a_second_press_of_the_same_handbook_leaves_every_file_alone() {
    let shop = Shop::new();
    shop.press();
    let mut before = shop.marks("site");
    std::thread::sleep(std::time::Duration::from_millis(20));
    let run = shop.press();
    let mut after = shop.marks("site");
    // The manifest is the record of the last press and is written by each.
    before.remove("manifest.sha256");
    after.remove("manifest.sha256");
    assert!(!before.is_empty());
    assert_eq!(before, after);
    assert!(run.out.contains("unchanged"), "{run:?}");
    shop.assert_whole("site");
}

#[test]
fn a_changed_entry_changes_its_page_and_leaves_others_alone() {
    let shop = Shop::new();
    shop.press();
    let before = shop.marks("site");
    shop.edit("content/safety/prove-dead-first.yaml", "A switch can be mislabelled", "A switch can be marked wrongly");
    shop.press();
    let after = shop.marks("site");
    shop.assert_whole("site");
    let page = "safety/prove-dead-first.html";
    assert_ne!(before[page], after[page]);
    let untouched = "terms/hot-surface-igniter.html";
    assert_eq!(before[untouched], after[untouched]);
}

#[test]
fn a_removed_entry_takes_its_page_with_it() {
    let shop = Shop::new();
    shop.write("content/terms/spare.yaml", "title: Spare\nsummary: A word that goes again.\n");
    shop.press();
    assert!(shop.path("site/terms/spare.html").is_file());
    std::fs::remove_file(shop.path("content/terms/spare.yaml")).expect("a removed file");
    shop.press();
    assert!(!shop.path("site/terms/spare.html").exists());
    shop.assert_whole("site");
}

#[test]
fn a_handbook_with_an_error_is_not_pressed_and_the_old_site_stays() {
    let shop = Shop::new();
    shop.press();
    let before = shop.bytes("site");
    shop.edit("content/faults/igniter-open.yaml", "task:replace-igniter", "task:replace-ignitor");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 1, "{run:?}");
    assert!(run.error.contains("broken-link"), "{run:?}");
    assert!(run.error.contains("nothing was written"), "{run:?}");
    assert_eq!(run.out, "");
    assert_eq!(before, shop.bytes("site"));
}

#[test]
fn a_theme_folder_stands_in_file_by_file_and_a_broken_template_is_placed() {
    let shop = Shop::new();
    shop.press();
    let plain = shop.bytes("site");
    shop.write("look/assets/mark.svg", "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1 1'/>\n");
    shop.write("look/assets/95-own.css", ".own-rule { color: black; }\n");
    let run = shop.run(&["press", "--theme", "look", "--to", "themed"]);
    assert_eq!(run.status, 0, "{run:?}");
    let themed = shop.bytes("themed");
    assert!(themed.keys().any(|path| path.ends_with("mark.svg")), "the picture is copied");
    let styled = |files: &std::collections::BTreeMap<String, Vec<u8>>| {
        files.iter().any(|(path, bytes)| path.ends_with(".css") && String::from_utf8_lossy(bytes).contains(".own-rule"))
    };
    assert!(styled(&themed) && !styled(&plain), "the rule is in the site's style sheet");
    assert_eq!(plain["index.html"], themed["index.html"], "the templates are still the built-in ones");
    shop.write("look/templates/base.html", "one\n{% if %}\n");
    let run = shop.run(&["press", "--theme", "look", "--to", "broken"]);
    assert_ne!(run.status, 0, "{run:?}");
    assert!(run.error.contains("base.html:2"), "the message names file and line: {run:?}");
    assert!(!shop.path("broken").exists());
    let run = shop.run(&["press", "--theme", "no-such-look", "--to", "broken"]);
    assert_eq!(run.status, 2, "{run:?}");
}
