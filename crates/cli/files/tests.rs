//! Reading pages safely and writing results together, on a real folder.
#![allow(clippy::unwrap_used)]

use super::*;

fn folder_with(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn links_are_relative_to_their_page_and_keep_one_name() {
    let folder = folder_with(&[("room/top.json", "top"), ("room/parts/a.json", "a"), ("room/parts/b.json", "b")]);
    let top = folder.path().join("room/top.json");
    let (disk, page) = Disk::open(&top).unwrap();
    assert_eq!((page.name.as_str(), page.text.as_str()), (top.to_str().unwrap(), "top"));
    let a = disk.page(&page.name, "parts/a.json").unwrap();
    assert_eq!(a.name, folder.path().join("room/parts/a.json").to_str().unwrap());
    let b = disk.page(&a.name, "./b.json").unwrap();
    assert_eq!(b.text, "b");
    assert_eq!(disk.page(&b.name, "../parts/a.json").unwrap(), a);
    assert_eq!(disk.page(&a.name, "../top.json").unwrap().name, page.name);
    assert_eq!(disk.page(&a.name, "gone.json").unwrap_err(), "there is no such file or folder");
    assert_eq!(disk.page(&a.name, "").unwrap_err(), "the link is empty");
    assert_eq!(disk.page(&a.name, "..").unwrap_err(), "it is a folder");
}

#[test]
fn links_cannot_leave_the_folder_unless_allowed() {
    let folder = folder_with(&[("room/top.json", "top"), ("secret.json", "secret"), ("roommate.json", "no")]);
    let top = folder.path().join("room/top.json");
    let secret = folder.path().join("secret.json");
    #[cfg(unix)]
    std::os::unix::fs::symlink(&secret, folder.path().join("room/linked.json")).unwrap();
    let (disk, page) = Disk::open(&top).unwrap();
    let outside = "it lies outside the folder of the scenario; --allow-outside permits that";
    assert_eq!(disk.page(&page.name, "../secret.json").unwrap_err(), outside);
    assert_eq!(disk.page(&page.name, "../roommate.json").unwrap_err(), outside);
    assert!(disk.page(&page.name, secret.to_str().unwrap()).unwrap_err().starts_with("links must be relative"));
    #[cfg(unix)]
    assert_eq!(disk.page(&page.name, "linked.json").unwrap_err(), outside);
    let disk = disk.allowing_outside(true);
    assert_eq!(disk.page(&page.name, "../secret.json").unwrap().text, "secret");
    assert_eq!(disk.page(&page.name, secret.to_str().unwrap()).unwrap().text, "secret");
}

#[test]
fn only_ordinary_text_of_bounded_size_is_read() {
    let folder = folder_with(&[("large.json", ""), ("latin.json", "")]);
    let path = |name: &str| folder.path().join(name);
    fs::write(path("latin.json"), b"{\"a\": \"\xE4\"}").unwrap();
    File::create(path("large.json")).unwrap().set_len(LARGEST_PAGE as u64 + 1).unwrap();
    let cause = |name: &str| read_page(&path(name)).unwrap_err().cause;
    assert_eq!(cause("latin.json"), "it is not UTF-8 text: the byte at offset 7 begins no character");
    assert_eq!(cause("large.json"), "it is larger than 16 MiB");
    assert_eq!(cause("."), "it is a folder");
    let error = Disk::open(Path::new("gone/room\u{1b}.json")).unwrap_err();
    assert_eq!(error.to_string(), "gone/room\u{FFFD}.json could not be read: there is no such file or folder");
    #[cfg(unix)]
    assert_eq!(read_page(Path::new("/dev/zero")).unwrap_err().cause, "it is not an ordinary file");
}

#[test]
fn outputs_appear_together_and_replace_old_ones() {
    let folder = folder_with(&[("out/b.csv", "old")]);
    let mut outputs = Outputs::new(folder.path().join("out"));
    outputs.add("a.json", "new a").unwrap();
    outputs.add("b.csv", "new b").unwrap();
    let paths = outputs.write().unwrap();
    assert_eq!(paths[1], folder.path().join("out/b.csv"));
    assert_eq!(fs::read_to_string(&paths[0]).unwrap(), "new a");
    assert_eq!(fs::read_to_string(&paths[1]).unwrap(), "new b");
    assert_eq!(names(&folder.path().join("out")), ["a.json", "b.csv"]);
    #[cfg(unix)]
    {
        // Readable by whoever may read a file that was made in the usual way.
        use std::os::unix::fs::PermissionsExt;
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
        fs::write(folder.path().join("usual"), "").unwrap();
        assert_eq!(mode(&paths[0]), mode(&folder.path().join("usual")));
    }
}

#[test]
fn a_failure_leaves_nothing_behind() {
    let folder = folder_with(&[("out/b/inside", "x"), ("file", "x")]);
    let mut outputs = Outputs::new(folder.path().join("out"));
    outputs.add("a", "a").unwrap();
    outputs.add("b", "b").unwrap();
    let error = outputs.write().unwrap_err();
    assert_eq!((error.attempt, error.cause.as_str()), ("be written", "a folder stands in its way"));
    assert!(error.path.ends_with("b"), "{error}");
    assert_eq!(names(&folder.path().join("out")), ["b"]);

    let mut outputs = Outputs::new(folder.path().join("new/deep"));
    outputs.add("n".repeat(300), "x").unwrap();
    outputs.write().unwrap_err();
    assert_eq!(names(folder.path()), ["file", "out"]);

    for below in ["file", "file/deeper"] {
        let error = Outputs::new(folder.path().join(below)).write().unwrap_err();
        assert_eq!((error.attempt, error.cause.as_str()), ("be made into a folder", "a file stands in its way"));
    }
}

#[test]
fn output_names_are_plain() {
    let mut outputs = Outputs::new("out");
    for name in ["", ".", "..", "a/b", "a\\b", "/a", "a\nb"] {
        assert!(outputs.add(name, "x").is_err(), "{name:?}");
    }
    outputs.add("a", "x").unwrap();
    assert_eq!(outputs.add("a", "y").unwrap_err().cause, "the name is given twice");
}
