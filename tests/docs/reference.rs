use dryfit::report::reference;
use dryfit::rules::Library;

use super::assert_current;

#[test]
fn the_reference_of_words_is_current() {
    assert_current("docs/words.md", &reference::words(&Library::built_in()));
}

#[test]
fn the_reference_of_rules_is_current() {
    assert_current("docs/rules.md", &reference::rules(&Library::built_in()));
}
