//! The editors' grammars know the words that the vocabulary has, those for both kinds of them.

use std::collections::BTreeSet;

use dryfit::model::function::BASIC;
use dryfit::quantity::UNITS;
use dryfit::rules::Library;
use serde_json::{Value, json};

use super::assert_current;

/// The words that grammars know, by what they are.
struct Words {
    blocks: BTreeSet<String>,
    fields: BTreeSet<String>,
    units: BTreeSet<String>,
    functions: BTreeSet<String>,
}

impl Words {
    fn of(library: &Library) -> Self {
        let blocks =
            || library.vocabulary.blocks.iter().filter(|block| block.name != "sheet" || !block.fields.is_empty());
        Self {
            blocks: blocks().map(|block| block.name.to_string()).collect(),
            fields: blocks().flat_map(|block| &block.fields).map(|field| field.name.to_string()).collect(),
            units: UNITS.iter().map(|unit| unit.name.to_owned()).collect(),
            functions: BASIC.iter().map(|function| function.name.to_owned()).collect(),
        }
    }
}

/// One of these words, the longest first, so that none ends where a longer one goes on.
fn any_of(words: &BTreeSet<String>) -> String {
    let mut words: Vec<&String> = words.iter().collect();
    words.sort_by_key(|word| std::cmp::Reverse(word.chars().count()));
    let escaped = |word: &String| {
        word.chars()
            .map(|c| if c.is_alphanumeric() || c == '-' { c.to_string() } else { format!("\\{c}") })
            .collect::<String>()
    };
    words.into_iter().map(escaped).collect::<Vec<_>>().join("|")
}

fn grammar() -> Value {
    let words = Words::of(&Library::built_in());
    let (names, fields) = (any_of(&words.blocks), any_of(&words.fields));
    let (units, functions) = (any_of(&words.units), any_of(&words.functions));
    let word = |words: &str| format!("(?<![\\w.-])(?:{words})(?![\\w-])");
    json!({
        "name": "part sheet",
        "scopeName": "source.dryfit",
        "fileTypes": ["dryfit", "notes"],
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
            { "name": "keyword.control.dryfit", "match": word("measured|between|and|or|not|by|like|mirrored|tilted|toward|on|until|if|then|else|with|at") },
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

/// What a tree-sitter grammar colours: the shape is the grammar's, which words are blocks, fields and functions is here.
fn queries(words: &Words) -> String {
    let list = |words: &BTreeSet<String>| words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" ");
    let (blocks, fields, functions) = (list(&words.blocks), list(&words.fields), list(&words.functions));
    format!(
        "; Made by `UPDATE_DOCS=1 cargo test --test docs`: the words are those of the vocabulary.\n\
        (comment) @comment\n\
        [(string) (open_string)] @string\n\
        (path (name) @variable)\n\
        ((clause head: (name) @property)\n  (#any-of? @property {fields}))\n\
        ((clause head: (name) @keyword)\n  (#any-of? @keyword {blocks}))\n\
        ((clause head: (name) @keyword . (path . (name) @type .))\n  (#any-of? @keyword {blocks}))\n\
        (binding name: (name) @variable)\n\
        ((call function: (name) @function)\n  (#any-of? @function {functions}))\n\
        [(number) (fraction) (share) (uneven)] @number\n\
        (unit) @type.builtin\n\
        (direction) @constant.builtin\n\
        ((path (name) @constant.builtin)\n  (#any-of? @constant.builtin \"yes\" \"no\"))\n\
        [\"let\" \"like\" \"mirrored\" \"measured\" \"between\" \"and\" \"or\" \"not\" \"by\" \"at\" \"least\" \"most\" \"tilted\" \
        \"toward\" \"to\" \"if\" \"then\" \"else\"] @keyword\n\
        [\"{{\" \"}}\" \"(\" \")\"] @punctuation.bracket\n"
    )
}

#[test]
fn the_tree_sitter_grammar_has_the_words_of_the_vocabulary() {
    let words = Words::of(&Library::built_in());
    let units = serde_json::to_string_pretty(&json!({ "units": words.units })).unwrap() + "\n";
    assert_current("editors/tree-sitter/words.json", &units);
    assert_current("editors/tree-sitter/queries/highlights.scm", &queries(&words));
}
