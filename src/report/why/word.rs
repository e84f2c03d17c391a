//! Any word of the language: a rule, block, field, choice, profile, row, unit, function or term.

use std::fmt::Write;

use super::derived::derived;
use super::tried::tried;
use super::{first_block, level, of_rule};
use crate::fault::did_you_mean;
use crate::model::function::BASIC;
use crate::model::looks_like_class;
use crate::pack::Words;
use crate::quantity::{Quantity, UNITS, Unit};
use crate::report::look::{Look, WIDEST};
use crate::report::table::indented;
use crate::rules::{Library, forms, mechanics_functions};
use crate::source::printable;
use crate::vocabulary::{Block, CellUnit, Field, FieldKind, Naming, Profile, SourcedValue};

/// Everything that a word means.
///
/// # Errors
/// Where it means nothing: what could be meant, in a sentence.
pub fn why(library: &Library, word: &str, look: Look) -> Result<String, String> {
    let vocabulary = &library.vocabulary;
    let mut told: Vec<String> =
        library.rule(word).map(|rule| of_rule(rule, look, &tried(library, rule, look))).into_iter().collect();
    told.extend(vocabulary.terms.get(word).map(|text| look.paragraph(&format!("{word}: {text}"), 0)));
    told.extend(vocabulary.block(word).map(|block| self::block(library, block, look)));
    let fields = vocabulary.blocks.iter().flat_map(|block| block.fields.iter().map(move |field| (block, field)));
    told.extend(fields.filter(|(_, field)| field.name == word).map(|(block, field)| self::field(block, field, look)));
    told.extend(derived(vocabulary, word, look));
    for (section, profiles) in &vocabulary.profiles {
        told.extend(profiles.get(word).map(|profile| self::profile(library, section, word, profile, look)));
    }
    told.extend(vocabulary.learning.get(word).map(|figure| self::figure(word, figure, look)));
    told.extend((word == "learning").then(|| figures(library, look)));
    told.extend(Unit::named(word).map(|unit| self::unit(unit, look)));
    told.extend(function(word, look));
    told.extend(chosen(library, word, look));
    told.extend(rows(library, word, look));
    if told.is_empty() {
        told.extend(class(word, look));
    }
    if let Some(now) = vocabulary.formerly(word).filter(|_| told.is_empty()) {
        told.push(look.paragraph(&format!("`{word}` is called `{}` now.", now.name), 0));
        told.push(self::block(library, now, look));
    }
    if told.is_empty() {
        let renamed = vocabulary.blocks.iter().filter_map(|block| Some((block, block.formerly(word)?)));
        told.extend(renamed.map(|(block, field)| {
            look.paragraph(&format!("`{word}` is called `{}` now.", field.name), 0) + &self::field(block, field, look)
        }));
    }
    if told.is_empty() {
        told.extend(vocabulary.habit(word).map(|way| look.paragraph(&format!("{word}: {way}."), 0)));
    }
    if told.is_empty() {
        return Err(format!("`{word}` is not a word of the language; {}", instead(library, word)));
    }
    Ok(look.letters(&printable(&told.join("\n"))).into_owned())
}

/// What a word within a value means: a keyword, unit, size or tolerance class.
#[must_use]
pub fn of_word(library: &Library, word: &str) -> Option<String> {
    let look = Look::of_width(WIDEST);
    let term = || Some(look.paragraph(&format!("{word}: {}", library.vocabulary.terms.get(word)?), 0));
    let unit = || Unit::named(word).map(|unit| self::unit(unit, look));
    let told = term().or_else(unit).or_else(|| rows(library, word, look)).or_else(|| class(word, look));
    told.map(|told| told.trim_end().to_owned())
}

/// Where to look instead of a word that means nothing: at what is told with it, or at the word that was meant.
fn instead(library: &Library, word: &str) -> String {
    let small = word.to_lowercase();
    let stem = stem(&small);
    let tells = |text: &str| {
        let mut words = text.split(|c: char| !c.is_alphanumeric());
        stem.len() > 2 && words.any(|one| self::stem(&one.to_lowercase()) == stem)
    };
    let of_sheets = library.vocabulary.blocks.iter().filter(|block| !block.in_notes);
    let blocks = of_sheets.filter(|block| tells(&block.doc) || block.fields.iter().any(|field| tells(&field.doc)));
    let rules = library.rules.iter().filter(|rule| tells(&rule.name) || tells(&rule.title));
    let mut telling: Vec<&str> = blocks.map(|block| block.name.as_str()).take(MOST).collect();
    telling.extend(rules.map(|rule| rule.name.as_str()).take(MOST));
    if telling.is_empty() {
        telling.extend(library.rules.iter().filter(|rule| tells(&rule.why)).map(|rule| rule.name.as_str()).take(MOST));
    }
    let near = did_you_mean(word, words(library)).map(|help| help.to_string());
    match near {
        _ if !telling.is_empty() => format!("these speak of it: {}", telling.join(", ")),
        Some(near) => near,
        None => "`dryfit why` lists the rules, docs/words.md the words".into(),
    }
}

/// How many blocks, and how many rules, are named at most that speak of a word.
const MOST: usize = 6;

/// A word in small letters without its ending, so that `rattle` finds `rattling`.
fn stem(word: &str) -> &str {
    let endings = ["ing", "ed", "es", "s", "e"];
    let ending = endings.iter().find(|ending| word.len() > ending.len() + 2 && word.ends_with(**ending));
    ending.map_or(word, |ending| &word[..word.len() - ending.len()])
}

fn class(word: &str, look: Look) -> Option<String> {
    let text = "a tolerance class of ISO 286-1 after a dimension, such as `22 mm H7`: capitals for holes, small letters for shafts, then the grade";
    looks_like_class(word).then(|| look.paragraph(&format!("{word}: {text}."), 0))
}

/// Every word that can be explained.
fn words(library: &Library) -> impl Iterator<Item = &str> {
    let vocabulary = &library.vocabulary;
    let rules = library.rules.iter().map(|rule| rule.name.as_str());
    let blocks = vocabulary.blocks.iter().map(|block| block.name.as_str());
    let fields = vocabulary.blocks.iter().flat_map(|block| block.fields.iter().map(|field| field.name.as_str()));
    let derived = vocabulary.blocks.iter().flat_map(|block| block.derives.iter().map(|derived| derived.name.as_str()));
    let profiles = vocabulary.profiles.values().flat_map(|names| names.keys().map(Words::as_str));
    let units = UNITS.iter().map(|unit| unit.name);
    let functions = BASIC.iter().map(|function| function.name).chain(forms().map(|form| form.name));
    let mechanics = mechanics_functions().map(|function| function.name);
    let terms = vocabulary.terms.keys().chain(vocabulary.learning.keys()).map(Words::as_str);
    rules
        .chain(blocks)
        .chain(fields)
        .chain(derived)
        .chain(terms)
        .chain(profiles)
        .chain(units)
        .chain(functions)
        .chain(mechanics)
}

/// The fields that a word is a choice of.
fn chosen(library: &Library, word: &str, look: Look) -> Option<String> {
    let has = |field: &&Field| matches!(&field.kind, FieldKind::Word(words) if words.iter().any(|one| one == word));
    let blocks = library.vocabulary.blocks.iter();
    let all = blocks.flat_map(|block| block.fields.iter().filter(has).map(move |field| (block, field)));
    let told = all.map(|(block, field)| {
        let text = format!("`{} {word}` of {}: {} It is {}.", field.name, block.name, field.doc, field.kind.describe());
        look.paragraph(&text, 0)
    });
    let told = told.collect::<String>();
    (!told.is_empty()).then_some(told)
}

/// The rows of tables that have a word's name: `M3`.
fn rows(library: &Library, word: &str, look: Look) -> Option<String> {
    let mut told = String::new();
    for table in library.vocabulary.tables.values() {
        let Some(row) = table.rows.iter().position(|row| row == word) else { continue };
        let cell = |((name, unit), cell): (&(Words, Option<CellUnit>), &Option<Words>)| {
            let unit = match unit {
                Some(CellUnit::Unit(unit)) => format!(" {}", unit.name),
                _ => String::new(),
            };
            cell.as_ref().map(|cell| format!("{name} {cell}{unit}"))
        };
        let cells: Vec<String> = table.columns.iter().zip(table.cells(row)).filter_map(cell).collect();
        let text = format!("{word} (row of the table {}: {}): {}", table.name, table.about, cells.join(", "));
        told.push_str(&look.paragraph(&text, 0));
    }
    (!told.is_empty()).then_some(told)
}

fn block(library: &Library, block: &Block, look: Look) -> String {
    let mut out = look.paragraph(&format!("{} (block): {}", block.name, block.doc), 0);
    let naming = match block.naming {
        Naming::Required => "It has a name",
        Naming::Optional => "It may have a name",
        Naming::None => "It has no name",
    };
    out.push_str(&look.paragraph(&format!("{naming} and belongs in {}.", block.stands_in.join(", ")), 0));
    if let Some(example) = &block.example {
        out.push('\n');
        out.push_str(&super::example(example, look));
    }
    if !block.fields.is_empty() {
        let row = |field: &Field| {
            let needed = if field.required { "required; " } else { "" };
            vec![field.name.to_string(), format!("{needed}{}", field.doc)]
        };
        let rows: Vec<Vec<String>> = block.fields.iter().map(row).collect();
        // Writing to a text cannot fail.
        let _ = write!(out, "\nFields\n{}", indented(&rows, look));
    }
    let row = |rule: &crate::rules::Rule| vec![rule.name.to_string(), level(rule), rule.title.to_string()];
    let is_of = |rule: &&crate::rules::Rule| rule.about.contains(&block.name) || block.name == first_block(rule);
    let rows: Vec<Vec<String>> = library.rules.iter().filter(is_of).map(row).collect();
    if !rows.is_empty() {
        let _ = write!(out, "\nRules\n{}", indented(&rows, look));
    }
    out
}

fn field(block: &Block, field: &Field, look: Look) -> String {
    let mut out = look.paragraph(&format!("{} (field of {}): {}", field.name, block.name, field.doc), 0);
    let bounds = [
        ("without it", &field.default),
        ("more than", &field.above),
        ("at least", &field.at_least),
        ("at most", &field.at_most),
    ];
    let mut notes = vec![format!("takes {}", field.kind.describe())];
    notes.extend(field.required.then(|| "required".to_owned()));
    let told =
        |(what, formula): (&str, &Option<crate::pack::Formula>)| Some(format!("{what} `{}`", formula.as_ref()?.text));
    notes.extend(bounds.into_iter().filter_map(told));
    out.push_str(&look.paragraph(&notes.join("; "), 2));
    out
}

fn profile(library: &Library, section: &str, name: &str, profile: &Profile, look: Look) -> String {
    let kind = section.strip_suffix('s').unwrap_or(section);
    let mut out = look.paragraph(&format!("{name} ({kind}): {}", profile.about), 0);
    if let Some(like) = &profile.like {
        out.push_str(&look.paragraph(&format!("What it does not say is as for {like}."), 0));
    }
    let block = library.vocabulary.blocks.iter().find(|block| block.profile.as_deref() == Some(section));
    let order = |field: &str| block.and_then(|block| block.fields.iter().position(|known| known.name == field));
    let mut values: Vec<_> = profile.values.iter().collect();
    values.sort_by_key(|(field, _)| order(field));
    let row = |(field, value): (&Words, &SourcedValue)| {
        vec![field.to_string(), value.value.text.to_string(), format!("{} ({})", value.source, value.basis)]
    };
    out.push_str(&indented(&values.into_iter().map(row).collect::<Vec<_>>(), look));
    let own = format!("To use your own figures, write them in the sheet: `{kind} {name} {{ … }}`, or in a pack.");
    out.push('\n');
    out.push_str(&look.paragraph(&own, 0));
    out
}

fn figure(word: &str, figure: &SourcedValue, look: Look) -> String {
    let SourcedValue { value, source, basis, sure } = figure;
    let told = format!("{word} (figure of learning): {}: {source} ({basis}, sure: {sure}).", value.text);
    let own =
        format!("To change it, in a pack: `learning: {{ {word}: {{value: {}, source: …, basis: …}} }}`.", value.text);
    look.paragraph(&told, 0) + &look.paragraph(&own, 0)
}

/// All figures that learning goes by.
fn figures(library: &Library, look: Look) -> String {
    let row = |(word, figure): (&Words, &SourcedValue)| {
        vec![word.to_string(), figure.value.text.to_string(), format!("{} ({})", figure.source, figure.basis)]
    };
    let rows: Vec<Vec<String>> = library.vocabulary.learning.iter().map(row).collect();
    look.paragraph("learning: the figures that `dryfit compare` and `dryfit learn` go by.", 0) + &indented(&rows, look)
}

fn unit(unit: &'static Unit, look: Look) -> String {
    let usual = Unit::usual(unit.dimension, unit.is_point()).filter(|usual| usual.name != unit.name);
    let one =
        usual.map_or(String::new(), |usual| format!("; 1 {} is {}", unit.name, Quantity::of(1.0, unit).in_unit(usual)));
    look.paragraph(&format!("{} (unit): {}{one}", unit.name, unit.dimension.describe()), 0)
}

fn function(word: &str, look: Look) -> Option<String> {
    let basic = BASIC.iter().find(|function| function.name == word);
    let basic = basic.map(|function| format!("{word} (function): takes {}: {}", function.takes, function.doc));
    let form =
        || forms().find(|form| form.name == word).map(|form| format!("{} (in rules): {}", form.written, form.doc));
    let mechanics = || {
        let function = mechanics_functions().find(|function| function.name == word)?;
        let takes: Vec<&str> = function.takes.iter().map(|(name, _)| *name).collect();
        Some(format!("{word}({}) (in rules): {}", takes.join(", "), function.doc))
    };
    Some(look.paragraph(&basic.or_else(form).or_else(mechanics)?, 0))
}
