//! Messages and pages speak plain English: words that they must not use, with what to say instead.

use std::fs;
use std::path::{Path, PathBuf};

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// What a message must not say, and what it says instead.
const NOT_THESE: [(&str, &str); 21] = [
    ("stands in quotes", "must be in quotes"),
    ("stands in braces", "must be in braces"),
    ("stands behind", "follows"),
    ("stand here", "fit here"),
    ("stands here", "is here"),
    ("stands more", "tolerates more"),
    ("stands it", "tolerates it"),
    (" stands {", " takes {"),
    ("behind the number", "after the number"),
    ("behind the last number", "after the last number"),
    ("not stand a ", "not take a"),
    (" at all", "nothing: leave it out"),
    ("a comment takes it", "what goes in a comment, by name"),
    ("raises nothing new", "no new finding"),
    ("nothing here is called", "unknown name"),
    ("does not say its", "is missing"),
    ("what makes it uncertain most", "largest source of uncertainty"),
    ("of its own accord", "by itself"),
    ("short by", "over by or under by"),
    ("care: caution:", "care (danger to people):"),
    ("is safe", "nothing: dryfit calls no part safe"),
];

/// The texts of the program and its data, without comments, and the pages written by hand.
#[test]
fn no_message_uses_a_word_that_it_must_not() {
    let mut met = 0;
    let mut wrong = Vec::new();
    for path in files() {
        let text = fs::read_to_string(&path).unwrap();
        for (number, line) in text.lines().enumerate().filter(|(_, line)| is_said(line)) {
            met += 1;
            for (word, instead) in NOT_THESE.iter().filter(|(word, _)| line.contains(word)) {
                wrong.push(format!("{}:{}: `{word}`: say `{instead}`", path.display(), number + 1));
            }
        }
    }
    assert!(met > 10_000, "only {met} lines were looked at");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn is_said(line: &str) -> bool {
    let line = line.trim_start();
    !line.starts_with("//") && !line.starts_with("# ")
}

fn files() -> Vec<PathBuf> {
    let root = Path::new(ROOT);
    let mut found = vec![root.join("README.md")];
    let mut folders = vec![(root.join("src"), "rs"), (root.join("rules"), "yaml"), (root.join("docs"), "md")];
    while let Some((folder, ending)) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push((path, ending));
            } else if path.extension().is_some_and(|own| own == ending) {
                found.push(path);
            }
        }
    }
    found
}
