//! A machine that fails: no permission, no space, a kill. The old site stays whole and the exit status is 3.

use std::os::unix::fs::PermissionsExt;
use std::process::Stdio;
use std::time::{Duration, Instant};

use super::shop::{Shop, finish};

/// Changes the words of every page.
fn change_every_page(shop: &Shop, edition: &str) {
    let text = std::fs::read_to_string(shop.path("content/handbook.yaml")).expect("the handbook's file");
    let changed: Vec<String> = text
        .lines()
        .map(|line| if line.starts_with("title: Small") { format!("title: Small handbook, {edition}") } else { line.to_owned() })
        .collect();
    shop.write("content/handbook.yaml", changed.join("\n") + "\n");
}

#[test]
fn a_read_only_target_ends_with_3() {
    let shop = Shop::new();
    shop.press();
    let before = shop.bytes("site");
    change_every_page(&shop, "second");
    std::fs::set_permissions(shop.path("site"), PermissionsExt::from_mode(0o555)).expect("changed permissions");
    let run = shop.run(&["press"]);
    std::fs::set_permissions(shop.path("site"), PermissionsExt::from_mode(0o755)).expect("changed permissions");
    assert_eq!(run.status, 3, "{run:?}");
    assert!(run.error.contains("the old site is as it was"), "{run:?}");
    assert_eq!(before, shop.bytes("site"));
    assert_eq!(shop.names("."), ["content", "site"]);
}

/// The kernel's limit on the size of a file stands for a disk that fills: both fail in the middle of a write.
#[test]
fn a_write_that_fails_in_the_middle_ends_with_3_and_the_old_site_is_whole() {
    let shop = Shop::new();
    shop.press();
    let before = shop.bytes("site");
    change_every_page(&shop, "second");
    let run = shop.shell(r#"trap "" XFSZ; ulimit -f 1; exec "$BLUECONE" press"#);
    assert_eq!(run.status, 3, "{run:?}");
    assert!(run.error.contains("cannot write") && run.error.contains("the old site is as it was"), "{run:?}");
    assert_eq!(before, shop.bytes("site"));
    shop.assert_whole("site");
    assert_eq!(shop.names("."), ["content", "site"], "the half-written folder is gone");
}

#[test]
fn a_first_press_that_fails_does_not_tell_of_an_old_site() {
    let shop = Shop::new();
    let run = shop.shell(r#"trap "" XFSZ; ulimit -f 1; exec "$BLUECONE" press"#);
    assert_eq!(run.status, 3, "{run:?}");
    assert!(run.error.contains("cannot write") && run.error.contains("no site was written") && !run.error.contains("old site"), "{run:?}");
    assert_eq!(shop.names("."), ["content"], "the half-written folder is gone");
}

/// A file system of its own that really fills up; left out, with a word, where the machine allows no mounts.
#[test]
fn a_full_disk_ends_with_3_and_the_old_site_is_whole() {
    let shop = Shop::new();
    if shop.shell("unshare -m true").status != 0 {
        eprintln!("left out: this machine allows no mount of one's own");
        return;
    }
    shop.press();
    change_every_page(&shop, "second");
    std::fs::create_dir(shop.path("disk")).expect("a folder");
    shop.write(
        "full.sh",
        r#"set -e
size=$(( $(du -sk site | cut -f1) + 64 ))
mount -t tmpfs -o size="${size}k" none disk
"$BLUECONE" press --to disk/site
cp disk/site/manifest.sha256 before
sed -i 's/second/third and longest edition/' content/handbook.yaml
status=0; "$BLUECONE" press --to disk/site || status=$?
cmp before disk/site/manifest.sha256
cd disk/site && sha256sum --check --strict --quiet manifest.sha256
echo "left: $(ls -A ..)"
exit "$status"
"#,
    );
    let run = shop.shell("unshare -m sh full.sh");
    assert_eq!(run.status, 3, "{run:?}");
    assert!(run.error.contains("the old site is as it was"), "{run:?}");
    assert!(run.out.ends_with("left: site\n"), "{run:?}");
}

#[test]
fn a_read_only_disk_ends_with_3() {
    let shop = Shop::new();
    if shop.shell("unshare -m true").status != 0 {
        eprintln!("left out: this machine allows no mount of one's own");
        return;
    }
    shop.press();
    change_every_page(&shop, "second");
    let before = shop.bytes("site");
    std::fs::create_dir(shop.path("disk")).expect("a folder");
    let run = shop.shell(r#"unshare -m sh -c 'mount --bind . disk && mount -o remount,bind,ro disk && "$BLUECONE" press --to disk/site'"#);
    assert_eq!(run.status, 3, "{run:?}");
    assert_eq!(before, shop.bytes("site"));
}

#[test]
fn a_press_killed_at_any_time_leaves_a_whole_site_and_the_next_press_succeeds() {
    let shop = Shop::new();
    shop.grow(400);
    let start = Instant::now();
    shop.press();
    let whole = start.elapsed();
    let kills = 12;
    for kill in 0..kills {
        change_every_page(&shop, &format!("edition {kill}"));
        let mut child = shop.command(&["press"]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect("a program that starts");
        std::thread::sleep(whole.mul_f64((f64::from(kill) + 0.5) / f64::from(kills)));
        let _ = child.kill();
        let _ = child.wait();
        shop.assert_whole("site");
    }
    shop.press();
    shop.assert_whole("site");
}

#[test]
fn output_to_a_full_device_ends_with_3() {
    let shop = Shop::new();
    for call in ["find glow", "work wire-drop --json", "proof --format sarif", "proof"] {
        let run = shop.shell(&format!(r#""$BLUECONE" {call} > /dev/full"#));
        assert_eq!(run.status, 3, "{call}: {run:?}");
    }
}

#[test]
fn a_reader_that_goes_away_is_success() {
    let shop = Shop::new();
    shop.grow(50);
    for call in [&["find", "word", "--limit", "50"][..], &["work", "wire-drop"], &["proof", "--format", "sarif"], &["press"]] {
        let (reader, writer) = std::io::pipe().expect("a pipe");
        drop(reader);
        let mut child = shop.command(call).stdout(writer).stderr(Stdio::piped()).spawn().expect("a program that starts");
        let status = child.wait().expect("an ending");
        assert_eq!(status.code(), Some(0), "{call:?}");
    }
}

#[test]
fn a_huge_file_is_refused_without_being_read() {
    let shop = Shop::new();
    let file = std::fs::File::create(shop.path("content/terms/huge.yaml")).expect("a new file");
    file.set_len(200 << 20).expect("a long file");
    let start = Instant::now();
    // 150 MB of memory for data: reading the file whole would not fit.
    let run = shop.shell(r#"ulimit -d 150000; exec "$BLUECONE" proof"#);
    assert_eq!(run.status, 1, "{run:?}");
    assert!(run.error.contains("file-too-large") && run.error.contains("terms/huge.yaml"), "{run:?}");
    assert!(start.elapsed() < Duration::from_secs(10));
}

#[test]
fn an_unreadable_folder_is_told_apart_from_a_bad_handbook() {
    let shop = Shop::new();
    shop.write("content/terms/looped.yaml", "");
    std::fs::remove_file(shop.path("content/terms/looped.yaml")).expect("a removed file");
    std::os::unix::fs::symlink(shop.path("content/terms/looped.yaml"), shop.path("content/terms/looped.yaml")).expect("a link");
    let run = finish(&mut shop.command(&["proof"]));
    assert!(run.status == 1 || run.status == 3, "a link to itself neither hangs nor crashes: {run:?}");
    assert!(run.error.contains("looped"), "{run:?}");
}
