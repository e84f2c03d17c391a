//! From pack files to the vocabulary. Every mistake in the data becomes a located fault.

use std::collections::BTreeMap;

use super::Vocabulary;
use super::block::{Act, Block, Derived, Field, FieldKind, Head, Makes, Naming, Sort};
use super::profile::{Profile, SourcedValue};
use super::step::StepOf;
use super::table::{CellUnit, Table};
use crate::fault::{Fault, did_you_mean};
use crate::pack::schema::{Entries, RawBlock, RawField, RawPack, RawProfile, RawTable, RawValue, Text};
use crate::pack::{Formula, Words};
use crate::quantity::{UNITS, Unit};
use crate::source::{Source, SourceId, Span};

/// Collects the words of one pack file after the other.
#[derive(Debug, Default)]
pub struct Builder {
    vocabulary: Vocabulary,
    /// Tables of sizes that fields name, with the places: any pack may bring them.
    sizes: Vec<(Words, Span)>,
    faults: Vec<Fault>,
}

/// A pack file while it is taken in.
struct File<'a> {
    id: SourceId,
    text: Option<&'a Source>,
}

impl File<'_> {
    fn span(&self, text: &Text) -> Span {
        let (start, length) = text.at.unwrap_or_default();
        self.id.span(start as usize..(start + length) as usize)
    }

    fn formula(&self, text: Option<&Text>) -> Option<Formula> {
        text.map(|text| Formula::new(text, self.id, self.text))
    }
}

impl Builder {
    /// Takes in one file's words; `text` is the file's text, where it is at hand.
    pub fn add(&mut self, raw: &RawPack, id: SourceId, text: Option<&Source>) {
        let file = File { id, text };
        for (name, block) in &raw.blocks.0 {
            self.block(&file, name, block);
        }
        let sections = [("materials", &raw.materials), ("machines", &raw.machines), ("instruments", &raw.instruments)];
        for (section, profiles) in sections {
            for (name, profile) in &profiles.0 {
                self.profile(&file, section, name, profile);
            }
        }
        for (name, table) in &raw.tables.0 {
            self.table(&file, name, table);
        }
        for (name, step) in &raw.steps.0 {
            self.step(&file, name, step);
        }
    }

    /// A later pack's step takes the place of an earlier one's.
    fn step(&mut self, file: &File, name: &Text, raw: &RawValue) {
        let Some(of) = StepOf::ALL.into_iter().find(|of| name.value == of.word()) else {
            let words = StepOf::ALL.map(StepOf::word);
            let message = format!("there are no steps of `{}`; there are {}", name.value, words.join(", "));
            self.fault(file, name, message).help = did_you_mean(&name.value, words);
            return;
        };
        let step = Formula::new(&raw.value, file.id, file.text);
        // Those that came with the program are read when they are needed.
        if file.text.is_some() && of.read(&step).is_none() {
            let message = format!("`{}` is no step of `{}`", raw.value.value, of.word());
            self.fault(file, &raw.value, message).help =
                Some(format!("write one above zero, such as `{}`", of.example()).into());
            return;
        }
        self.vocabulary.steps.insert(name.value.clone(), step);
    }

    /// The vocabulary, and what is wrong with it.
    #[must_use]
    pub fn finish(mut self) -> (Vocabulary, Vec<Fault>) {
        let tables = &self.vocabulary.tables;
        for (table, at) in self.sizes.iter().filter(|(table, _)| !tables.contains_key(table)) {
            let fault = Fault::new("broken-pack", *at, format!("`sizes` names no table: `{table}`"));
            self.faults.push(fault.maybe_help(did_you_mean(table, tables.keys().map(Words::as_str))));
        }
        (self.vocabulary, self.faults)
    }

    fn fault(&mut self, file: &File, at: &Text, message: impl Into<String>) -> &mut Fault {
        self.faults.push(Fault::new("broken-pack", file.span(at), message));
        let last = self.faults.len() - 1;
        &mut self.faults[last]
    }

    fn block(&mut self, file: &File, name: &Text, raw: &RawBlock) {
        let fields = self.fields(file, &raw.fields);
        if let Some(at) = self.vocabulary.blocks.iter().position(|block| block.name == name.value) {
            self.extend(file, name, at, raw, fields);
            self.derives(file, at, raw);
            return;
        }
        let naming = self.choice(
            file,
            (!raw.name.value.is_empty()).then_some(&raw.name),
            &[("required", Naming::Required), ("optional", Naming::Optional), ("none", Naming::None)],
            Naming::None,
        );
        let acts = [
            ("import", Act::Imports),
            ("permit", Act::Permits),
            ("describe", Act::Describes),
            ("bind", Act::Binds),
            ("measure", Act::Measures),
        ];
        let act = self.choice(file, raw.acts.as_ref(), &acts, Act::Holds);
        let open = raw.open.as_ref().and_then(|open| self.field(file, name, open));
        self.vocabulary.blocks.push(Block {
            name: name.value.clone(),
            was: raw.was.iter().map(|word| word.value.clone()).collect(),
            doc: raw.doc.value.clone(),
            stands_in: raw.r#in.iter().map(|outer| outer.value.clone()).collect(),
            naming,
            profile: raw.profile.as_ref().map(|section| section.value.clone()),
            act,
            single: raw.single,
            drawn: raw.drawn,
            oriented: raw.oriented,
            open,
            fields,
            derives: Vec::new(),
            example: raw.example.as_ref().map(|example| example.value.clone()),
        });
        self.derives(file, self.vocabulary.blocks.len() - 1, raw);
    }

    fn derives(&mut self, file: &File, at: usize, raw: &RawBlock) {
        for (name, derived) in &raw.derives.0 {
            let block = &self.vocabulary.blocks[at];
            let taken =
                block.fields.iter().any(|field| field.name == name.value) || block.derived(&name.value).is_some();
            if taken {
                let message = format!("`{}` has a `{}` already", block.name, name.value);
                self.fault(file, name, message).help =
                    Some("choose another name for what follows from its fields".into());
                continue;
            }
            let formula = |text: &Text| Formula::new(text, file.id, file.text);
            let derived = match &derived.like {
                None => {
                    Derived { name: name.value.clone(), doc: derived.doc.value.clone(), formula: formula(&derived.is) }
                }
                Some(like) => {
                    let known = self.vocabulary.block(&like.value).and_then(|block| block.derived(&name.value));
                    let Some(known) = known.cloned() else {
                        let message = format!("nothing called `{}` follows from `{}`", name.value, like.value);
                        self.fault(file, like, message).help = Some("name a block further up that derives it".into());
                        continue;
                    };
                    known
                }
            };
            self.vocabulary.blocks[at].derives.push(derived);
        }
    }

    /// A pack may add fields to a block that exists, and what follows from them, and nothing else.
    fn extend(&mut self, file: &File, name: &Text, at: usize, raw: &RawBlock, fields: Vec<Field>) {
        if !raw.doc.value.is_empty() || !raw.r#in.is_empty() {
            let message = format!("the block `{}` exists already", name.value);
            self.fault(file, name, message).help =
                Some("give only `fields` and `derives` to add some to it, or choose another name".into());
        }
        for field in fields {
            let block = &mut self.vocabulary.blocks[at];
            if block.fields.iter().any(|known| known.name == field.name) {
                let message = format!("`{}` has a field `{}` already", name.value, field.name);
                self.fault(file, name, message);
            } else {
                block.fields.push(field);
            }
        }
    }

    fn fields(&mut self, file: &File, raw: &Entries<RawField>) -> Vec<Field> {
        let known = |entry: &(Text, RawField)| entry.0.value.clone();
        let names: Vec<Words> = raw.0.iter().map(known).collect();
        let mut fields = Vec::with_capacity(names.len());
        for (name, field) in &raw.0 {
            for (word, named) in [("along", &field.along), ("unless", &field.unless)] {
                if let Some(named) = named.as_ref().filter(|named| !names.contains(&named.value)) {
                    let help = did_you_mean(&named.value, names.iter().map(Words::as_str));
                    let message = format!("`{word}` names no field of this block: `{}`", named.value);
                    self.fault(file, named, message).help = help;
                }
            }
            fields.extend(self.field(file, name, field));
        }
        fields
    }

    fn field(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<Field> {
        self.sizes.extend(raw.sizes.iter().map(|table| (table.value.clone(), file.span(table))));
        let makes = [
            ("outside", Makes::Outside),
            ("inside", Makes::Inside),
            ("hole", Makes::Hole),
            ("spacing", Makes::Spacing),
        ];
        let makes = raw.makes.as_ref().map(|word| self.choice(file, Some(word), &makes, Makes::Outside));
        let heads = [("next", Head::Next), ("named", Head::Named)];
        Some(Field {
            name: name.value.clone(),
            was: raw.was.iter().map(|word| word.value.clone()).collect(),
            doc: raw.doc.value.clone(),
            kind: self.kind(file, name, raw)?,
            required: raw.required,
            default: file.formula(raw.default.as_ref()),
            above: file.formula(raw.above.as_ref()),
            at_least: file.formula(raw.at_least.as_ref()),
            at_most: file.formula(raw.at_most.as_ref()),
            makes,
            along: raw.along.as_ref().map(|along| along.value.clone()),
            unless: raw.unless.as_ref().map(|unless| unless.value.clone()),
            head: self.choice(file, raw.head.as_ref(), &heads, Head::Inside),
            step: file.formula(raw.step.as_ref()),
            step_up: file.formula(raw.step_up.as_ref()),
            sizes: raw.sizes.as_ref().map(|table| table.value.clone()),
            weighs: raw.weighs,
            joins: raw.joins,
            sort: self.choice(file, raw.sort.as_ref(), &Sort::ALL, Sort::Drawn),
        })
    }

    fn kind(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<FieldKind> {
        let words = || raw.one_of.iter().map(|word| word.value.clone()).collect();
        let kind = match raw.kind.as_ref().map(|kind| kind.value.as_str()) {
            None | Some("quantity") => FieldKind::Quantity(self.unit(file, name, raw)?),
            Some("size") => FieldKind::Size(self.unit(file, name, raw)??),
            Some("direction") => FieldKind::Direction,
            Some("word") => FieldKind::Word(words()),
            Some("text") => FieldKind::Text,
            Some("flag") => FieldKind::Flag,
            Some("condition") => FieldKind::Condition,
            Some("feature") => FieldKind::Feature,
            Some("rule") => FieldKind::Rule,
            Some("dimension") => FieldKind::Dimension,
            Some("any") => FieldKind::Any,
            Some(other) => {
                let kinds =
                    ["quantity", "size", "direction", "word", "text", "flag", "condition", "feature", "rule", "any"];
                let help = did_you_mean(other, kinds);
                let message = format!("`{other}` is no kind of field; there are {}", kinds.join(", "));
                self.fault(file, raw.kind.as_ref()?, message).help = help;
                return None;
            }
        };
        Some(kind)
    }

    /// The unit of a quantity; `Some(None)` for bare numbers.
    #[allow(clippy::option_option, reason = "outer: usable; inner: has a unit")]
    fn unit(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<Option<&'static Unit>> {
        let Some(unit) = &raw.unit else {
            let message = format!("the field `{}` says neither `unit` nor another `kind`", name.value);
            self.fault(file, name, message).help = Some("write `unit: mm`, or `unit: 1` for a bare number".into());
            return None;
        };
        if unit.value == "1" {
            return Some(None);
        }
        self.known_unit(file, unit).map(Some)
    }

    fn known_unit(&mut self, file: &File, unit: &Text) -> Option<&'static Unit> {
        let known = Unit::named(&unit.value);
        if known.is_none() {
            let help = did_you_mean(&unit.value, UNITS.iter().map(|unit| unit.name));
            self.fault(file, unit, format!("`{}` is no unit", unit.value)).help = help;
        }
        known
    }

    fn choice<T: Copy>(&mut self, file: &File, word: Option<&Text>, known: &[(&str, T)], or: T) -> T {
        let Some(word) = word else { return or };
        if let Some((_, choice)) = known.iter().find(|(name, _)| word.value == *name) {
            return *choice;
        }
        let names: Vec<&str> = known.iter().map(|(name, _)| *name).collect();
        let message = format!("`{}` cannot stand here; there are {}", word.value, names.join(", "));
        self.fault(file, word, message).help = did_you_mean(&word.value, names);
        or
    }

    fn profile(&mut self, file: &File, section: &'static str, name: &Text, raw: &RawProfile) {
        let of_section = self.vocabulary.profiles.entry(section.into()).or_default();
        if of_section.contains_key(&name.value) {
            let message = format!("`{}` is already one of the {section}", name.value);
            self.fault(file, name, message).help =
                Some("choose another name; it can say `like:` and give only what differs".into());
            return;
        }
        if let Some(like) = raw.like.as_ref().filter(|like| !of_section.contains_key(&like.value)) {
            let known: Vec<Words> = of_section.keys().cloned().collect();
            let help = did_you_mean(&like.value, known.iter().map(Words::as_str));
            let message = format!("`{}` is none of the {section} given before", like.value);
            self.fault(file, like, message).help = help;
        }
        let sourced = |value: &crate::pack::schema::RawValue| SourcedValue {
            value: Formula::new(&value.value, file.id, file.text),
            source: value.source.value.clone(),
            basis: value.basis.value.clone(),
            sure: value.sure.value.clone(),
        };
        let values: BTreeMap<_, _> =
            raw.values.0.iter().map(|(field, value)| (field.value.clone(), sourced(value))).collect();
        for (field, value) in &raw.values.0 {
            if value.source.value.is_empty() || value.basis.value.is_empty() {
                let message = format!("`{}` does not say where it comes from", field.value);
                self.fault(file, field, message).help =
                    Some("give `source`, and `basis`: published, derived, common-practice, memory or judgement".into());
            }
        }
        let measures = raw.measures.as_ref().and_then(|unit| self.known_unit(file, unit));
        let profile = Profile {
            about: raw.about.value.clone(),
            like: raw.like.as_ref().map(|like| like.value.clone()),
            measures,
            values,
        };
        self.vocabulary.profiles.entry(section.into()).or_default().insert(name.value.clone(), profile);
    }

    fn table(&mut self, file: &File, name: &Text, raw: &RawTable) {
        if self.vocabulary.tables.contains_key(&name.value) {
            self.fault(file, name, format!("there is a table `{}` already", name.value));
            return;
        }
        let mut columns = Vec::new();
        for (column, about) in &raw.columns.0 {
            let unit = match about.unit.value.as_str() {
                "word" => None,
                "ratio" => Some(CellUnit::Ratio),
                _ => self.known_unit(file, &about.unit).map(CellUnit::Unit),
            };
            columns.push((column.value.clone(), unit));
        }
        let mut rows = Vec::new();
        for (row, cells) in &raw.rows.0 {
            if cells.len() != columns.len() {
                let message =
                    format!("the row `{}` has {} cells for {} columns", row.value, cells.len(), columns.len());
                self.fault(file, row, message);
            }
            let cells = cells.iter().map(|cell| cell.as_ref().map(|text| text.value.clone()));
            rows.push((row.value.clone(), cells.collect()));
        }
        let table = Table {
            name: name.value.clone(),
            about: raw.about.value.clone(),
            source: raw.source.value.clone(),
            notes: raw.notes.as_ref().map(|notes| notes.value.clone()),
            range: raw.range.as_ref().and_then(|unit| self.known_unit(file, unit)),
            columns,
            rows,
        };
        self.vocabulary.tables.insert(name.value.clone(), table);
    }
}
