//! The editors' grammars know the words that the vocabulary has.

use std::collections::BTreeSet;

use dryfit::model::function::BASIC;
use dryfit::quantity::UNITS;
use dryfit::rules::Library;
use serde_json::{Value, json};

use super::assert_current;

/// One of these words, the longest first, so that none ends where a longer one goes on.
fn any_of(words: impl IntoIterator<Item = String>) -> String {
    let words: BTreeSet<String> = words.into_iter().collect();
    let mut words: Vec<String> = words.into_iter().collect();
    words.sort_by_key(|word| std::cmp::Reverse(word.chars().count()));
    let escaped = |word: &String| {
        word.chars()
            .map(|c| if c.is_alphanumeric() || c == '-' { c.to_string() } else { format!("\\{c}") })
            .collect::<String>()
    };
    words.iter().map(escaped).collect::<Vec<_>>().join("|")
}

fn grammar() -> Value {
    let library = Library::built_in();
    let blocks = || library.vocabulary.blocks.iter().filter(|block| block.name != "sheet" || !block.fields.is_empty());
    let names = any_of(blocks().map(|block| block.name.to_string()));
    let fields = any_of(blocks().flat_map(|block| &block.fields).map(|field| field.name.to_string()));
    let units = any_of(UNITS.iter().map(|unit| unit.name.to_owned()));
    let functions = any_of(BASIC.iter().map(|function| function.name.to_owned()));
    let word = |words: &str| format!("(?<![\\w.-])(?:{words})(?![\\w-])");
    json!({
        "name": "part sheet",
        "scopeName": "source.dryfit",
        "fileTypes": ["dryfit"],
        "patterns": [
            { "name": "comment.line.number-sign.dryfit", "match": "#.*$" },
            { "name": "string.quoted.double.dryfit", "begin": "\"", "end": "\"|$", "patterns": [{ "name": "constant.character.escape.dryfit", "match": "\\\\." }] },
            { "match": format!("(?:(?<=^|[{{;}}])|^)\\s*({names})(?![\\w-])(?:\\s+([[:alpha:]][\\w-]*))?(?=\\s*(?:\\{{|like\\b|#|$|;))"),
              "captures": { "1": { "name": "storage.type.block.dryfit" }, "2": { "name": "entity.name.type.dryfit" } } },
            { "match": "^\\s*(let)\\s+([[:alpha:]][\\w-]*)\\s*(=)",
              "captures": { "1": { "name": "keyword.other.let.dryfit" }, "2": { "name": "variable.other.dryfit" }, "3": { "name": "keyword.operator.dryfit" } } },
            { "match": format!("((?<![\\w.-])\\d+(?:\\.\\d+)?(?:e[+-]?\\d+)?)(?:\\s*({units})(?![\\w-]))?"),
              "captures": { "1": { "name": "constant.numeric.dryfit" }, "2": { "name": "keyword.other.unit.dryfit" } } },
            { "name": "constant.language.direction.dryfit", "match": "(?<![\\w.])[+-][xyz]\\b" },
            { "name": "constant.language.dryfit", "match": word("yes|no") },
            { "name": "keyword.control.dryfit", "match": word("measured|between|and|or|not|by|like|tilted|toward|on|until|if|then|else|with|at") },
            { "name": "support.function.dryfit", "match": format!("(?<![\\w.-])(?:{functions})(?=\\()") },
            { "name": "storage.type.block.dryfit", "match": format!("(?:(?<=[{{;}}])|^)\\s*(?:{names})(?![\\w-])") },
            { "name": "variable.other.property.dryfit", "match": word(&fields) },
            { "name": "keyword.operator.dryfit", "match": "<=|>=|==|!=|[-+*/^<>±]" }
        ]
    })
}

#[test]
fn the_grammar_of_editors_has_the_words_of_the_vocabulary() {
    let text = serde_json::to_string_pretty(&grammar()).unwrap() + "\n";
    assert_current("editors/textmate/dryfit.tmLanguage.json", &text);
}
