//! Pages as a browser shows them: run where Chromium is installed, and said to be skipped where it is not.
//!
//! `probe.js` looks at each page inside the browser; where the environment variable AXE_CORE names a copy of axe-core
//! (`axe.min.js`), that looks as well. The page's own policy forbids strangers' scripts, so the probe goes into a copy whose
//! policy is loosened; whether the page itself says anything on the console is seen on the page as it is.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use tempfile::TempDir;

use crate::support::say_skipped;

const PROBE: &str = include_str!("probe.js");
/// Names under which the browser is installed.
const BROWSERS: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];
/// The widths of a desk and of a phone.
const WIDTHS: [u32; 2] = [1280, 390];

fn browser() -> Option<PathBuf> {
    let folders = std::env::var_os("PATH")?;
    let candidates = std::env::split_paths(&folders).flat_map(|folder| BROWSERS.map(|name| folder.join(name)));
    let found = candidates.into_iter().find(|path| path.is_file());
    if found.is_none() {
        say_skipped("no Chromium on PATH, so no page was opened");
    }
    found
}

/// Starts the browser on a file without a window; what it says on the console goes to standard error.
fn open(browser: &Path, page: &Path, width: u32, dark: bool) -> (String, String) {
    let profile = TempDir::new().unwrap();
    let mut command = Command::new(browser);
    command.args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--enable-logging=stderr"]);
    command.args(["--dump-dom", "--virtual-time-budget=20000"]);
    if dark {
        command.args(["--force-dark-mode", "--blink-settings=preferredColorScheme=0"]);
    }
    command.arg(format!("--window-size={width},900"));
    command.arg(format!("--user-data-dir={}", profile.path().display()));
    command.arg(format!("file://{}", page.display()));
    let output = command.output().unwrap();
    (String::from_utf8_lossy(&output.stdout).into_owned(), String::from_utf8_lossy(&output.stderr).into_owned())
}

fn lampledger(words: &[&str]) {
    let output = Command::new(env!("CARGO_BIN_EXE_lampledger")).args(words).output().unwrap();
    assert!(output.status.success(), "{words:?}: {}", String::from_utf8_lossy(&output.stderr));
}

/// What the probe finds on a page, fault by fault.
fn findings(browser: &Path, page: &Path, width: u32, dark: bool) -> Vec<String> {
    let text = fs::read_to_string(page).unwrap();
    let (before, policy) = text.split_once("script-src '").expect("a policy");
    let (_, after) = policy.split_once('\'').unwrap();
    let loosened = format!("{before}script-src 'unsafe-inline'{after}");
    let axe = std::env::var_os("AXE_CORE").map(|path| fs::read_to_string(path).expect("AXE_CORE names a file"));
    if axe.is_none() {
        say_skipped("AXE_CORE names no copy of axe-core, so only the probe's own checks were made");
    }
    let scripts = format!("<script>{}</script><script>{PROBE}</script></body>", axe.unwrap_or_default());
    let (start, end) = loosened.rsplit_once("</body>").expect("a body");
    let copy = page.with_extension("probed.html");
    fs::write(&copy, format!("{start}{scripts}{end}")).unwrap();
    let (dom, said) = open(browser, &copy, width, dark);
    let found = dom.rsplit_once("BEGIN\n").and_then(|(_, rest)| rest.split_once("END"));
    let (found, _) = found.unwrap_or_else(|| panic!("the probe did not end on {}: {said}", page.display()));
    let fault = |line: &&str| !line.starts_with("axe looked");
    if std::env::var_os("AXE_CORE").is_some() {
        assert!(found.contains("axe looked"), "axe-core was named but did not look: {said}");
    }
    found.lines().filter(fault).map(str::to_owned).collect()
}

#[track_caller]
fn is_sound(browser: &Path, page: &Path) {
    // as it is: nothing on the console, nothing asked of anybody
    let (dom, said) = open(browser, page, 1280, false);
    let console: Vec<&str> = said.lines().filter(|line| line.contains("CONSOLE")).collect();
    assert!(console.is_empty(), "{}: {console:#?}", page.display());
    assert!(dom.contains("class=\"copy\""), "{}: its own script did not run", page.display());
    for width in WIDTHS {
        for dark in [false, true] {
            let found = findings(browser, page, width, dark);
            assert!(found.is_empty(), "{} at {width}, dark {dark}: {found:#?}", page.display());
        }
    }
}

#[test]
fn pages_of_the_demonstration_are_sound() {
    let Some(browser) = browser() else { return };
    let folder = TempDir::new().unwrap();
    let at = |name: &str| folder.path().join(name);
    let out = |name: &str| at(name).to_str().unwrap().to_owned();
    lampledger(&["run", "--trials", "200", "--out", &out("run")]);
    lampledger(&["run", "--trials", "64", "--for", "owner", "--out", &out("owner")]);
    lampledger(&["bill", "--for", "accountant", "--out", &out("bill")]);
    lampledger(&["cash", "--trials", "64", "--out", &out("cash")]);
    lampledger(&["canopy", "--out", &out("canopy")]);
    lampledger(&["hours", "--trials", "8", "--out", &out("hours")]);
    for page in [
        "run/result.html",
        "owner/result.html",
        "bill/bill.html",
        "cash/cash.html",
        "canopy/canopy.html",
        "hours/hours.html",
    ] {
        is_sound(&browser, &at(page));
    }
}

#[test]
fn hostile_names_do_no_harm_in_a_browser() {
    let Some(browser) = browser() else { return };
    let folder = TempDir::new().unwrap();
    let out = folder.path().join("hostile").to_str().unwrap().to_owned();
    let long = "=HYPERLINK(\"x\",\"y\") ".repeat(25);
    let names = [
        "</title><script>document.title='taken'</script>",
        "<img src=x onerror=\"console.error('taken')\">",
        "\u{202e}\u{5de}\u{5e0}\u{5d5}\u{5e8}\u{5d4} \u{627}\u{644}\u{636}\u{648}\u{621} 照明器具",
        &long,
    ];
    let sets: Vec<String> = names
        .iter()
        .enumerate()
        .map(|(k, name)| format!("--set=/options/{k}/name={}", serde_json::to_string(name).unwrap()))
        .collect();
    let title = format!("--set=/title={}", serde_json::to_string("</h1><script>throw 1</script>").unwrap());
    let mut words = vec!["run", "--trials", "64", "--out", &out, &title];
    words.extend(sets.iter().map(String::as_str));
    lampledger(&words);
    is_sound(&browser, &Path::new(&out).join("result.html"));
}
