//! Files of patterns of what a project leaves out.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use ignore::Match;
use ignore::gitignore::{Gitignore, GitignoreBuilder};

/// Their names; what the later ones say goes before what the earlier ones say.
pub(super) const NAMES: [&str; 2] = [".gitignore", ".ignore"];
/// Bytes of one.
pub(super) const BYTES: u64 = 1024 * 1024;

/// A file of patterns, which are made ready where one can be about what is asked for: that takes longer than to check a
/// small sheet.
pub(super) struct Patterns {
    folder: PathBuf,
    text: String,
    ready: OnceLock<Gitignore>,
}

impl Patterns {
    /// The patterns of a text in a folder, which is named in full.
    pub(super) fn new(folder: &Path, text: String) -> Self {
        Self { folder: folder.to_path_buf(), text, ready: OnceLock::new() }
    }

    /// Whether a full path in the folder is left out, if a pattern is about it.
    pub(super) fn leave_out(&self, path: &Path, is_folder: bool) -> Option<bool> {
        let name = path.file_name().and_then(|name| name.to_str());
        if name.is_some_and(|name| !self.text.lines().any(|line| can_be_about(line, name))) {
            return None;
        }
        match self.ready.get_or_init(|| self.made_ready()).matched(path, is_folder) {
            Match::None => None,
            Match::Ignore(_) => Some(true),
            Match::Whitelist(_) => Some(false),
        }
    }

    fn made_ready(&self) -> Gitignore {
        let mut patterns = GitignoreBuilder::new(&self.folder);
        for line in self.text.lines() {
            // A pattern that cannot be read leaves nothing out.
            let _ = patterns.add_line(None, line);
        }
        patterns.build().unwrap_or_else(|_| Gitignore::empty())
    }
}

/// Whether a line can be about what has a name: told only of a plain name and of a plain ending, `*.bak`.
fn can_be_about(line: &str, name: &str) -> bool {
    let pattern = line.trim_end().trim_start_matches('!').trim_end_matches('/');
    let last = pattern.rsplit('/').next().unwrap_or(pattern);
    let is_plain = |text: &str| !text.contains(['*', '?', '[', '{', '\\']);
    match last.strip_prefix('*') {
        Some(ending) if is_plain(ending) => name.ends_with(ending),
        None if is_plain(last) => name == last,
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use std::path::{Path, PathBuf};

    use proptest::prelude::*;

    use super::{Patterns, can_be_about};

    proptest! {
        /// What is said without making the patterns ready is what they say.
        #[test]
        fn a_line_that_cannot_be_about_a_name_says_nothing_of_it(
            lines in proptest::collection::vec(r"[!#]{0,2}[/ab.*?\[\]{},\\ ]{0,6}", 1..4),
            path in "[ab.]{1,3}(/[ab. ]{1,3}){0,2}",
            is_folder: bool,
        ) {
            // As all are that are asked for, without a part `.`.
            let path: PathBuf = Path::new("/shop").join(path).components().collect();
            let patterns = Patterns::new(Path::new("/shop"), lines.join("\n"));
            let ready = patterns.made_ready();
            let whole = ready.matched(&path, is_folder);
            let said = patterns.leave_out(&path, is_folder);
            prop_assert_eq!(said, (!whole.is_none()).then(|| whole.is_ignore()), "{:?}", lines);
        }
    }

    #[test]
    fn plain_names_and_endings_are_told_from_others() {
        let about = |line: &&str| can_be_about(line, "clip.dryfit");
        let can = ["clip.dryfit", "!old/clip.dryfit", "*.dryfit", "clip.*", "*", "c?ip.dryfit", "**/"];
        assert!(can.iter().all(about));
        assert!(!["/target", "*.bak", "clip", "__pycache__/", "", "# a note"].iter().any(about));
    }
}
