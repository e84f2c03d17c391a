//! The reference of words and rules, in Markdown, from the same data that checks sheets.

use std::fmt::Write;

use super::look::{Look, WIDEST};
use super::why::why_of_rule;
use crate::model::function::BASIC;
use crate::pack::Words;
use crate::quantity::UNITS;
use crate::rules::{Library, MechanicsFunction, Rule, forms, mechanics_functions};
use crate::vocabulary::{Block, Field, Head, Naming, Profile};

/// The order in which a sheet's names are looked up.
const NAMES: &str = "\
## How a name is found

A name in a value is looked up in the block that it stands in, then in the block around that, up to the top of the \
sheet; the first thing that can be meant counts. In each block its fields come before what stands in it; at the top, \
the names that the sheet gives come before the sheet's own fields. What `like` copied is looked up where it is now, \
then where it was written. Passed over are:

- the value that the line itself gives: `slot s { width width }` takes a `let width`;
- a block inside itself: `hole magnet { diameter magnet.diameter + 0.3 mm }` takes a `bought magnet`;
- a feature or a block's word where a value is wanted: `wall side { thickness wall }` takes a `let wall`;
- a field that is not given;
- where a path goes on, what does not have what follows the dot.

Only where nothing else has the name is what was passed over taken: `part.size.x` and `clip.size.x` both work inside \
`part clip`. Where a value is at fault and a name in it could have meant something farther out, the message names that.

";

/// The words of a part sheet.
#[must_use]
pub fn words(library: &Library) -> String {
    let mut out = String::from(
        "# The words of a part sheet\n\nMade from `rules/`; a test keeps it current. `required` fields must be given; \
         `first line` fields may stand behind the block's word.\n\n",
    );
    let _ = writeln!(
        out,
        "Units: {}. A bare number is a count or ratio.\n",
        UNITS.iter().map(|unit| format!("`{}`", unit.name)).collect::<Vec<_>>().join(", ")
    );
    out.push_str(NAMES);
    for block in &library.vocabulary.blocks {
        self::block(block, &mut out);
    }
    for (section, profiles) in &library.vocabulary.profiles {
        let _ = writeln!(out, "## Profiles: {section}\n");
        for (name, profile) in profiles {
            self::profile(library, section, name, profile, &mut out);
        }
    }
    tables(library, &mut out);
    functions(&mut out);
    out.push_str("\n## Figures of learning\n\nWhat `dryfit compare`, `learn` and `gauge` go by.\n\n| figure | | source | basis, how sure |\n|---|---|---|---|\n");
    for (word, figure) in library.vocabulary.learning.iter() {
        let _ = writeln!(
            out,
            "| `{word}` | {} | {} | {}, {} |",
            figure.value.text, figure.source, figure.basis, figure.sure
        );
    }
    out.push_str("\n## Words from elsewhere\n\nNot words of the language; a message on one says what is written here. `pin.length` is the word `length` in a `pin`, and `r0` a sign with its number, such as R3.\n\n| word | |\n|---|---|\n");
    for (word, way) in library.vocabulary.habits.iter() {
        let _ = writeln!(out, "| `{word}` | {way} |");
    }
    out.push_str("\n## Other words\n\n| word | |\n|---|---|\n");
    for (word, text) in library.vocabulary.terms.iter() {
        let _ = writeln!(out, "| `{word}` | {text} |");
    }
    out
}

fn block(block: &Block, out: &mut String) {
    // Writing to a text cannot fail.
    let _ = writeln!(out, "## `{}`\n\n{}\n", block.name, block.doc);
    let places: Vec<String> = block.stands_in.iter().map(|place| format!("`{place}`")).collect();
    let name = match block.naming {
        Naming::Required => "has a name",
        Naming::Optional => "may have a name",
        Naming::None => "has no name",
    };
    let single = if block.single { ", once" } else { "" };
    let _ = writeln!(out, "Belongs in {}{single}; {name}.\n", places.join(", "));
    if let Some(was) = once(&block.was) {
        let _ = writeln!(out, "It was {was}.\n");
    }
    if let Some(example) = &block.example {
        let _ = writeln!(out, "```\n{}\n```\n", example.trim_end());
    }
    if !block.fields.is_empty() {
        out.push_str("| field | takes | |\n|---|---|---|\n");
        for field in &block.fields {
            self::field(field, out);
        }
        out.push('\n');
    }
    if !block.derives.is_empty() {
        out.push_str("For rules, what follows from these:\n\n| name | | formula |\n|---|---|---|\n");
        for derived in &block.derives {
            let _ = writeln!(out, "| `{}` | {} | `{}` |", derived.name, derived.doc, derived.formula.text);
        }
        out.push('\n');
    }
}

/// The words that something had before.
fn once(was: &[Words]) -> Option<String> {
    let words: Vec<String> = was.iter().map(|word| format!("`{word}`")).collect();
    (!words.is_empty()).then(|| format!("once called {}", words.join(", ")))
}

fn field(field: &Field, out: &mut String) {
    let mut notes = vec![field.doc.trim_end_matches('.').to_string()];
    notes.extend(once(&field.was));
    if field.required {
        notes.push("**required**".into());
    }
    if field.head != Head::Inside {
        notes.push("first line".into());
    }
    let bounds = [
        ("default", &field.default),
        ("above", &field.above),
        ("at least", &field.at_least),
        ("at most", &field.at_most),
    ];
    for (what, formula) in bounds {
        notes.extend(formula.as_ref().map(|formula| format!("{what} `{}`", formula.text)));
    }
    // A doc is a sentence; what follows it is not.
    let notes = if notes.len() == 1 { field.doc.to_string() } else { notes.join("; ") };
    let _ = writeln!(out, "| `{}` | {} | {notes} |", field.name, field.kind.describe());
}

fn profile(library: &Library, section: &str, name: &str, profile: &Profile, out: &mut String) {
    let _ = writeln!(out, "### `{name}`\n\n{}\n", profile.about);
    out.push_str("| value | | source | basis, how sure |\n|---|---|---|---|\n");
    let block = library.vocabulary.blocks.iter().find(|block| block.profile.as_deref() == Some(section));
    let order = |field: &str| block.and_then(|block| block.fields.iter().position(|known| known.name == field));
    let mut values: Vec<_> = profile.values.iter().collect();
    values.sort_by_key(|(field, _)| order(field));
    for (field, value) in values {
        let _ =
            writeln!(out, "| `{field}` | {} | {} | {}, {} |", value.value.text, value.source, value.basis, value.sure);
    }
    if let Some(like) = &profile.like {
        let _ = writeln!(out, "\nEverything else as `{like}`.");
    }
    out.push('\n');
}

fn tables(library: &Library, out: &mut String) {
    out.push_str("## Tables\n\n| table | | columns | source |\n|---|---|---|---|\n");
    for table in library.vocabulary.tables.values() {
        let columns: Vec<&str> = table.columns.iter().map(|(name, _)| name.as_str()).collect();
        let _ = writeln!(out, "| `{}` | {} | {} | {} |", table.name, table.about, columns.join(", "), table.source);
    }
    out.push('\n');
}

fn functions(out: &mut String) {
    out.push_str("## Functions\n\nIn any expression:\n\n");
    for function in &BASIC {
        let _ = writeln!(out, "- `{}`, takes {}: {}", function.name, function.takes, function.doc);
    }
    out.push_str("\nIn rules, besides:\n\n");
    for form in forms() {
        let _ = writeln!(out, "- `{}`: {}", form.written, form.doc);
    }
    for function in mechanics_functions() {
        let takes: Vec<String> = function.takes.iter().map(|(name, _)| parameter(function, name)).collect();
        let _ = writeln!(out, "- `{}({})`: {}", function.name, takes.join(", "), function.doc);
    }
}

/// A parameter, with the words that it can be.
fn parameter(function: &MechanicsFunction, name: &str) -> String {
    match function.words.iter().find(|(of, _)| *of == name) {
        Some((_, words)) => {
            let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
            format!("{name}: {}", words.join(" / "))
        }
        None => name.to_owned(),
    }
}

/// The rules.
#[must_use]
pub fn rules(library: &Library) -> String {
    let mut out = String::from(
        "# The rules\n\nMade from `rules/`; a test keeps it current. `dryfit why RULE` prints the same.\n\n| rule | level | |\n|---|---|---|\n",
    );
    for rule in &library.rules {
        let _ = writeln!(out, "| [`{0}`](#{0}) | {1} | {2} |", rule.name, rule.worst(), rule.title);
    }
    for rule in &library.rules {
        self::rule(rule, &mut out);
    }
    out
}

fn rule(rule: &Rule, out: &mut String) {
    let body = why_of_rule(rule, Look::of_width(WIDEST));
    let _ =
        writeln!(out, "\n## {}\n\n{} ({})\n\n```text\n{}\n```", rule.name, rule.title, rule.worst(), body.trim_end());
}

/// One kind of block, as the reference has it.
#[must_use]
pub fn of_block(block: &Block) -> String {
    let mut out = String::new();
    self::block(block, &mut out);
    out
}

/// One profile with its figures and their sources; nothing where there is none of that name.
#[must_use]
pub fn of_profile(library: &Library, section: &str, name: &str) -> Option<String> {
    let profile = library.vocabulary.profile(section, name)?;
    let mut out = String::new();
    self::profile(library, section, name, profile, &mut out);
    Some(out)
}
