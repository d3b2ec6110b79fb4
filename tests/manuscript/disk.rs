//! Reading from a disk: links, strange names, files that are too large, and nothing read that need not be.

use std::fs::{self, File};
use std::path::Path;
use std::time::{Duration, Instant};

use bluecone::manuscript::{Book, Kind, read, read_texts};
use tempfile::TempDir;

use super::cases::shown;

const HANDBOOK: &str = include_str!("samples/handbook.yaml");
const WORD: &str = "title: A word\nsummary: What it means.\n";

/// A handbook with two terms.
fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    write(folder.path(), "handbook.yaml", HANDBOOK);
    write(folder.path(), "terms/a-word.yaml", WORD);
    write(folder.path(), "terms/b-word.yaml", WORD);
    folder
}

fn write(folder: &Path, path: &str, text: impl AsRef<[u8]>) {
    let path = folder.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, text).unwrap();
}

fn told(book: &Book) -> String {
    shown(book.problems.clone(), &book.manuscript.sources)
}

fn terms(book: &Book) -> Vec<&str> {
    book.manuscript.terms.iter().map(|entry| entry.id.as_str()).collect()
}

#[test]
fn a_folder_and_the_same_texts_give_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/manuscript/samples");
    let mut texts = vec![("handbook.yaml".to_owned(), HANDBOOK.to_owned())];
    for kind in Kind::entries() {
        let text = fs::read_to_string(samples.join(format!("{}.yaml", kind.name()))).unwrap();
        texts.push((format!("{}/sample.yaml", kind.folder()), text.clone()));
        texts.push((format!("{}/broken.yaml", kind.folder()), text.replace("title:", "heading:")));
    }
    texts.push(("guide/20-second.md".to_owned(), "# Second\n".to_owned()));
    texts.push(("guide/10-first.md".to_owned(), "# First\n".to_owned()));
    texts.push(("guide/loose.md".to_owned(), "# Loose\n".to_owned()));
    texts.iter().for_each(|(path, text)| write(folder.path(), path, text));
    let (disk, memory) = (read(folder.path()).unwrap(), read_texts(texts));
    assert_eq!(told(&disk), told(&memory));
    assert_eq!(format!("{:?}", disk.manuscript), format!("{:?}", memory.manuscript));
    let manuscript = disk.manuscript;
    let titles: Vec<&str> = manuscript.guide.iter().map(|page| page.title.as_str()).collect();
    assert_eq!(titles, ["First", "Second", "Loose"]);
    assert_eq!(manuscript.unread.len(), 11, "the broken ones exist, but are not there in full");
    assert_eq!(manuscript.calculators[0].written.steps.len(), 4);
    assert_eq!(manuscript.sources.iter().map(|(_, source)| source.path.clone()).collect::<Vec<_>>(), {
        let mut paths: Vec<String> = manuscript.sources.iter().map(|(_, source)| source.path.clone()).collect();
        paths.sort();
        paths
    });
}

#[test]
fn entries_stand_in_order_of_ids() {
    let folder = folder();
    write(folder.path(), "terms/a.yaml", WORD);
    write(folder.path(), "terms/a-b.yaml", WORD);
    write(folder.path(), "terms/a1.yaml", WORD);
    assert_eq!(terms(&read(folder.path()).unwrap()), ["a", "a-b", "a-word", "a1", "b-word"]);
}

#[test]
fn a_large_file_costs_nothing() {
    let folder = folder();
    let large = File::create(folder.path().join("terms/large.yaml")).unwrap();
    large.set_len(200 << 20).unwrap(); // a sparse file: reading it would still take 200 MB of memory
    write(folder.path(), "terms/edge.yaml", format!("{WORD}body: '{}'\n", "x".repeat((1 << 20) - WORD.len() - 9)));
    let start = Instant::now();
    let book = read(folder.path()).unwrap();
    assert!(start.elapsed() < Duration::from_secs(5), "{:?}", start.elapsed());
    assert_eq!(
        told(&book),
        "terms/large.yaml:1:1 file-too-large the file has 209715200 bytes; an entry may have at most 1048576\n    \
         hint: split it, or take it out of the folder\n"
    );
    assert_eq!(terms(&book), ["a-word", "b-word", "edge"], "a file of exactly the limit is read");
}

#[test]
fn text_that_is_not_utf8_is_told_with_the_byte() {
    let folder = folder();
    write(folder.path(), "terms/latin.yaml", b"title: A word\nsummary: Caf\xe9 heater\n");
    write(folder.path(), "terms/wide.yaml", b"\xff\xfet\0i\0");
    let book = read(folder.path()).unwrap();
    assert_eq!(
        told(&book),
        "terms/latin.yaml:2:13 not-text expected UTF-8 text, found the byte 0xE9\n    \
         hint: save the file again as UTF-8 in your editor\n\
         terms/wide.yaml:1:1 not-text expected UTF-8 text, found the byte 0xFF\n    \
         hint: the file looks like UTF-16; save it again as UTF-8\n"
    );
}

#[test]
#[cfg(unix)]
fn links_are_not_followed() {
    use std::os::unix::fs::symlink;
    let (folder, outside) = (folder(), tempfile::tempdir().unwrap());
    write(outside.path(), "secret.yaml", WORD);
    write(outside.path(), "checks/secret.yaml", WORD);
    symlink(outside.path().join("secret.yaml"), folder.path().join("terms/secret.yaml")).unwrap();
    symlink(outside.path().join("checks"), folder.path().join("checks")).unwrap();
    symlink("a-word.yaml", folder.path().join("terms/same.yaml")).unwrap();
    symlink("nowhere.yaml", folder.path().join("terms/lost.yaml")).unwrap();
    symlink(folder.path(), folder.path().join("terms/round")).unwrap();
    let book = read(folder.path()).unwrap();
    assert_eq!(
        told(&book),
        "checks:1:1 outside-book the link leads out of the handbook's folder\n    hint: copy the file in place of the link\n\
         terms/lost.yaml:1:1 outside-book the link leads nowhere\n    hint: take the link out\n\
         terms/round:1:1 unread-entry a link on the disk is not read\n    hint: copy the file in place of the link\n\
         terms/same.yaml:1:1 unread-entry a link on the disk is not read\n    hint: copy the file in place of the link\n\
         terms/secret.yaml:1:1 outside-book the link leads out of the handbook's folder\n    hint: copy the file in place of the link\n"
    );
    assert_eq!(terms(&book), ["a-word", "b-word"]);
    assert!(book.manuscript.checks.is_empty());
    let through_link = outside.path().join("book");
    symlink(folder.path(), &through_link).unwrap();
    assert_eq!(terms(&read(&through_link).unwrap()), ["a-word", "b-word"], "the folder itself may be given by a link");
}

#[test]
#[cfg(target_os = "linux")] // other systems refuse such names themselves
fn strange_names_and_pipes_do_no_harm() {
    use std::os::unix::ffi::OsStrExt;
    use std::os::unix::net::UnixListener;
    let folder = folder();
    fs::write(folder.path().join(std::ffi::OsStr::from_bytes(b"terms/bad\xff.yaml")), WORD).unwrap();
    write(folder.path(), "terms/line\nbreak.yaml", WORD);
    write(folder.path(), "terms/..%2f..%2fetc.yaml", WORD);
    write(folder.path(), "terms/folder.yaml/x.yaml", WORD);
    write(folder.path(), "old/deep/x.yaml", WORD);
    let _socket = UnixListener::bind(folder.path().join("terms/socket.yaml")).unwrap();
    let book = read(folder.path()).unwrap();
    let told = told(&book);
    for line in [
        "old:1:1 stray-file the folder `old` holds no kind of entry and is not read\n",
        "terms/..%2f..%2fetc.yaml:1:1 bad-id expected small letters a to z, digits and single `-` as an id, found `..%2f..%2fetc`\n",
        "terms/bad\u{fffd}.yaml:1:1 bad-id ",
        "terms/folder.yaml:1:1 unread-entry folders inside a kind's folder are not read\n",
        "terms/line\\nbreak.yaml:1:1 bad-id expected small letters a to z, digits and single `-` as an id, found `line\\nbreak`\n",
        "terms/socket.yaml:1:1 unread-entry this is neither a file nor a folder\n",
    ] {
        assert!(told.contains(line), "{line} is not in\n{told}");
    }
    assert_eq!(book.problems.len(), 6, "{told}");
    assert_eq!(terms(&book), ["a-word", "b-word"]);
}

#[test]
fn no_folder_is_a_failure_of_the_call() {
    let folder = tempfile::tempdir().unwrap();
    let missing = read(&folder.path().join("missing")).unwrap_err();
    assert_eq!(missing.kind(), std::io::ErrorKind::NotFound);
    assert!(missing.to_string().contains("missing"), "{missing}");
    write(folder.path(), "handbook.yaml", HANDBOOK);
    let file = read(&folder.path().join("handbook.yaml")).unwrap_err();
    assert_eq!(file.kind(), std::io::ErrorKind::NotADirectory);
}

#[test]
fn a_file_tells_at_most_a_hundred_problems() {
    let book = read_texts([
        ("handbook.yaml", HANDBOOK.to_owned()),
        ("terms/a-word.yaml", WORD.to_owned() + &(0..130).map(|at| format!("k{at:03}: 1\n")).collect::<String>()),
    ]);
    let told = book.problems.sorted();
    assert_eq!(told.len(), 100);
    assert!(told[99].hints.contains(&"the file has 30 more problems".to_owned()), "{:?}", told[99]);
}

/// Files made to exhaust the reader are refused, or read, in little time and without deep recursion.
#[test]
fn hostile_files_are_cheap() {
    let large = (1 << 20) - 100;
    let repeated = |text: &str| text.repeat(large / text.len());
    let files = [
        ("brackets", "[".repeat(10_000)),
        ("closed", "[".repeat(10_000) + &"]".repeat(10_000)),
        ("braces", "{a: ".repeat(10_000)),
        ("dashes", "- ".repeat(10_000) + "x"),
        ("staircase", (0..1_000).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect()),
        ("wide-list", repeated("- a\n")),
        ("wide-map", (0..90_000).map(|at| format!("k{at}: 1\n")).collect()),
        ("same-keys", repeated("a: 1\n")),
        ("anchors", (0..50_000).map(|at| format!("- &a{at} x\n")).collect()),
        ("aliases", "- &a x\n".to_owned() + &"- *a\n".repeat(100_000)),
        ("bomb", (0..60).fold("a0: &a0 [x, x]\n".to_owned(), |text, at| format!("{text}a{0}: &a{0} [*a{at}, *a{at}]\n", at + 1))),
        ("quote", "a: \"".to_owned() + &repeated("x\\\n")),
        ("escapes", "a: \"".to_owned() + &repeated("\\t") + "\""),
        ("quotes", "a: '".to_owned() + &repeated("''") + "'"),
        ("blank-lines", "a: >\n".to_owned() + &repeated("\n") + "  x\n"),
        ("folded", "a: >\n".to_owned() + &repeated("  x\n\n\n")),
        ("spaces", "a: ".to_owned() + &repeated(" ") + "x\n"),
        ("spaced-lines", "a: 'x".to_owned() + &repeated(" \n") + "'"),
        ("comments", repeated("#\n")),
        ("question", repeated("? ")),
        ("colons", repeated(": ")),
        ("documents", repeated("---\n")),
        ("tabs", "a: b\n".to_owned() + &repeated("\t\n")),
        ("directives", repeated("%A b\n")),
        ("tags", "a: ".to_owned() + &repeated("!a ")),
    ];
    for (name, text) in files {
        let start = Instant::now();
        let book = read_texts([("handbook.yaml", HANDBOOK.to_owned()), ("terms/hostile.yaml", text)]);
        let took = start.elapsed();
        if std::env::var_os("SHOW_TIMES").is_some() {
            println!("{name}: {took:?} {}", told(&book).lines().next().unwrap_or_default());
        }
        assert!(book.problems.has_errors(), "{name}");
    }
}
