//! The same handbook gives the same bytes, wherever and whenever it is pressed.

use super::shop::{Shop, copy, finish, small_book};

#[test]
fn two_places_two_clocks_two_languages_give_the_same_bytes() {
    let here = Shop::new();
    here.press();
    let there = Shop::new();
    // The same files in a folder of another name, made in the opposite order, pressed with other surroundings.
    let book = there.path("elsewhere/deep/book");
    let mut folders: Vec<_> = std::fs::read_dir(small_book()).expect("a folder").map(|entry| entry.expect("an entry").path()).collect();
    folders.sort();
    folders.reverse();
    for from in folders {
        let to = book.join(from.file_name().expect("a name"));
        if from.is_dir() {
            copy(&from, &to);
        } else {
            std::fs::create_dir_all(&book).expect("a folder");
            std::fs::copy(&from, &to).expect("a copied file");
        }
    }
    let mut command = there.command(&["press", "elsewhere/deep/book", "--to", "other-site"]);
    command
        .env("TZ", "Pacific/Auckland")
        .env("LANG", "tr_TR.UTF-8")
        .env("LC_ALL", "tr_TR.UTF-8")
        .env("HOME", "/nowhere")
        .env("RAYON_NUM_THREADS", "1");
    let run = finish(&mut command);
    assert_eq!(run.status, 0, "{run:?}");
    let (one, other) = (here.bytes("site"), there.bytes("other-site"));
    assert_eq!(one.keys().collect::<Vec<_>>(), other.keys().collect::<Vec<_>>());
    for (path, bytes) in &one {
        assert!(bytes == &other[path], "{path} differs");
    }
}

#[test]
fn a_press_over_an_old_site_gives_the_same_bytes_as_a_fresh_one() {
    let shop = Shop::new();
    shop.press();
    shop.edit("content/handbook.yaml", "title: Small handbook", "title: Small handbook again");
    shop.press();
    let run = shop.run(&["press", "--to", "fresh"]);
    assert_eq!(run.status, 0, "{run:?}");
    assert!(shop.bytes("site") == shop.bytes("fresh"));
}
