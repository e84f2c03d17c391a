//! From pack files to the vocabulary. Every mistake in the data becomes a located fault.

use std::collections::BTreeMap;

use super::Vocabulary;
use super::block::{Act, Block, Body, Derived, Field, FieldKind, Head, Makes, Naming, Sort};
use super::profile::{Profile, SourcedValue};
use super::step::StepOf;
use super::table::{CellUnit, Table};
use crate::fault::{Fault, PackFault, near};
use crate::pack::schema::{
    Entries, RawBlock, RawBody, RawField, RawLearnt, RawPack, RawProfile, RawTable, RawValue, Text,
};
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
        for (name, learnt) in &raw.learnt.0 {
            self.learnt(&file, name, learnt);
        }
        for (name, table) in &raw.tables.0 {
            self.table(&file, name, table);
        }
        let terms = raw.terms.0.iter().map(|(word, text)| (word.value.clone(), text.value.clone()));
        self.vocabulary.terms.extend(terms);
        for (name, step) in &raw.steps.0 {
            self.step(&file, name, step);
        }
    }

    /// A later pack's step takes the place of an earlier one's.
    fn step(&mut self, file: &File, name: &Text, raw: &RawValue) {
        let Some(of) = StepOf::ALL.into_iter().find(|of| name.value == of.word()) else {
            let known = StepOf::ALL.map(|of| of.word().to_owned()).to_vec();
            let near = near(&name.value, known.iter().map(String::as_str));
            self.fault(file, name, PackFault::NoSteps { name: name.value.to_string(), known, near });
            return;
        };
        let step = Formula::new(&raw.value, file.id, file.text);
        // Those that came with the program are read when they are needed.
        if file.text.is_some() && of.read(&step).is_none() {
            let (value, of, example) = (raw.value.value.to_string(), of.word().to_owned(), of.example().to_string());
            self.fault(file, &raw.value, PackFault::NoStep { value, of, example });
            return;
        }
        self.vocabulary.steps.insert(name.value.clone(), step);
    }

    /// The vocabulary, and what is wrong with it.
    #[must_use]
    pub fn finish(mut self) -> (Vocabulary, Vec<Fault>) {
        let tables = &self.vocabulary.tables;
        for (table, at) in self.sizes.iter().filter(|(table, _)| !tables.contains_key(table)) {
            let near = near(table, tables.keys().map(Words::as_str));
            self.faults.push(PackFault::NoSizes { table: table.to_string(), near }.at(*at));
        }
        (self.vocabulary, self.faults)
    }

    fn fault(&mut self, file: &File, at: &Text, code: PackFault) {
        self.faults.push(code.at(file.span(at)));
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
            ("recall", Act::Recalls),
            ("permit", Act::Permits),
            ("describe", Act::Describes),
            ("bind", Act::Binds),
            ("measure", Act::Measures),
        ];
        let act = self.choice(file, raw.acts.as_ref(), &acts, Act::Holds);
        let body = raw.body.as_ref().map(|body| self.body(file, body, &raw.fields));
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
            body,
            example: raw.example.as_ref().map(|example| example.value.clone()),
        });
        self.derives(file, self.vocabulary.blocks.len() - 1, raw);
    }

    fn body(&mut self, file: &File, raw: &RawBody, fields: &Entries<RawField>) -> Body {
        for word in [&raw.along, &raw.across, &raw.through].into_iter().flatten() {
            if fields.get(&word.value).is_none() {
                let near = near(&word.value, fields.0.iter().map(|(name, _)| name.value.as_str()));
                let (key, name) = ("body".into(), word.value.to_string());
                self.fault(file, word, PackFault::NamesNoFieldOfBlock { key, name, near });
            }
        }
        let word = |text: &Option<Text>| text.as_ref().map(|text| text.value.clone());
        let formula = |text: &Option<Text>| file.formula(text.as_ref());
        Body {
            along: word(&raw.along),
            ahead: formula(&raw.ahead),
            behind: formula(&raw.behind),
            inward: formula(&raw.inward),
            across: word(&raw.across),
            thick: formula(&raw.thick),
            wide: formula(&raw.wide),
            round: formula(&raw.round),
            through: word(&raw.through),
            hollow: raw.hollow,
        }
    }

    fn derives(&mut self, file: &File, at: usize, raw: &RawBlock) {
        for (name, derived) in &raw.derives.0 {
            let block = &self.vocabulary.blocks[at];
            let taken =
                block.fields.iter().any(|field| field.name == name.value) || block.derived(&name.value).is_some();
            if taken {
                let (block, taken) = (block.name.to_string(), name.value.to_string());
                self.fault(file, name, PackFault::HasAlready { block, name: taken });
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
                        let (name, block) = (name.value.to_string(), like.value.to_string());
                        self.fault(file, like, PackFault::NothingFollows { name, block });
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
            self.fault(file, name, PackFault::BlockExists { name: name.value.to_string() });
        }
        for field in fields {
            let block = &mut self.vocabulary.blocks[at];
            if block.fields.iter().any(|known| known.name == field.name) {
                let (block, field) = (name.value.to_string(), field.name.to_string());
                self.fault(file, name, PackFault::FieldExists { block, field });
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
            for (word, named) in [("along", &field.along), ("unless", &field.unless), ("or", &field.or)] {
                if let Some(named) = named.as_ref().filter(|named| !names.contains(&named.value)) {
                    let near = near(&named.value, names.iter().map(Words::as_str));
                    let (key, name) = (word.to_owned(), named.value.to_string());
                    self.fault(file, named, PackFault::NamesNoFieldOfBlock { key, name, near });
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
            or: raw.or.as_ref().map(|or| or.value.clone()),
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
            Some("place") => FieldKind::Place(self.unit(file, name, raw)??),
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
                let kinds = [
                    "quantity",
                    "size",
                    "place",
                    "direction",
                    "word",
                    "text",
                    "flag",
                    "condition",
                    "feature",
                    "rule",
                    "any",
                ];
                let near = near(other, kinds);
                let known = kinds.map(str::to_owned).to_vec();
                self.fault(file, raw.kind.as_ref()?, PackFault::NoFieldKind { kind: other.into(), known, near });
                return None;
            }
        };
        Some(kind)
    }

    /// The unit of a quantity; `Some(None)` for bare numbers.
    #[allow(clippy::option_option, reason = "outer: usable; inner: has a unit")]
    fn unit(&mut self, file: &File, name: &Text, raw: &RawField) -> Option<Option<&'static Unit>> {
        let Some(unit) = &raw.unit else {
            self.fault(file, name, PackFault::NeitherUnitNorKind { field: name.value.to_string() });
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
            let near = near(&unit.value, UNITS.iter().map(|unit| unit.name));
            self.fault(file, unit, PackFault::NoUnit { unit: unit.value.to_string(), near });
        }
        known
    }

    fn choice<T: Copy>(&mut self, file: &File, word: Option<&Text>, known: &[(&str, T)], or: T) -> T {
        let Some(word) = word else { return or };
        if let Some((_, choice)) = known.iter().find(|(name, _)| word.value == *name) {
            return *choice;
        }
        let near = near(&word.value, known.iter().map(|(name, _)| *name));
        let known = known.iter().map(|(name, _)| (*name).to_owned()).collect();
        self.fault(file, word, PackFault::NoChoice { word: word.value.to_string(), known, near });
        or
    }

    fn profile(&mut self, file: &File, section: &'static str, name: &Text, raw: &RawProfile) {
        let of_section = self.vocabulary.profiles.entry(section.into()).or_default();
        if of_section.contains_key(&name.value) {
            let (taken, section) = (name.value.to_string(), section.to_owned());
            self.fault(file, name, PackFault::ProfileExists { name: taken, section });
            return;
        }
        if let Some(like) = raw.like.as_ref().filter(|like| !of_section.contains_key(&like.value)) {
            let known: Vec<Words> = of_section.keys().cloned().collect();
            let near = near(&like.value, known.iter().map(Words::as_str));
            let (name, section) = (like.value.to_string(), section.to_owned());
            self.fault(file, like, PackFault::NoProfileBefore { name, section, near });
        }
        let values = self.sourced(file, &raw.values);
        let measures = raw.measures.as_ref().and_then(|unit| self.known_unit(file, unit));
        let profile = Profile {
            about: raw.about.value.clone(),
            like: raw.like.as_ref().map(|like| like.value.clone()),
            measures,
            values,
        };
        self.vocabulary.profiles.entry(section.into()).or_default().insert(name.value.clone(), profile);
    }

    /// Values with their sources; one without is a fault.
    fn sourced(&mut self, file: &File, raw: &Entries<RawValue>) -> BTreeMap<Words, SourcedValue> {
        let sourced = |value: &RawValue| SourcedValue {
            value: Formula::new(&value.value, file.id, file.text),
            source: value.source.value.clone(),
            basis: value.basis.value.clone(),
            sure: value.sure.value.clone(),
        };
        for (field, value) in &raw.0 {
            if value.source.value.is_empty() || value.basis.value.is_empty() {
                self.fault(file, field, PackFault::NoSource { name: field.value.to_string() });
            }
        }
        raw.0.iter().map(|(field, value)| (field.value.clone(), sourced(value))).collect()
    }

    fn learnt(&mut self, file: &File, name: &Text, raw: &RawLearnt) {
        let of_machine = raw.machine.as_ref();
        let about = of_machine.unwrap_or(&raw.material);
        let section = if of_machine.is_some() { "machines" } else { "materials" };
        for (section, named) in [(section, about), ("materials", &raw.material)] {
            let known = self.vocabulary.profiles.get(section);
            if !known.is_some_and(|known| known.contains_key(&named.value)) {
                let known: Vec<Words> = known.into_iter().flat_map(BTreeMap::keys).cloned().collect();
                let near = near(&named.value, known.iter().map(Words::as_str));
                let at = if named.value.is_empty() { name } else { named };
                let (name, section) = (named.value.to_string(), section.to_owned());
                self.fault(file, at, PackFault::NoProfileBefore { name, section, near });
                return;
            }
        }
        let material = of_machine.map_or_else(Words::default, |_| raw.material.value.clone());
        let values = self.sourced(file, &raw.values);
        self.vocabulary.learnt.insert((section.into(), about.value.clone(), material), values);
    }

    fn table(&mut self, file: &File, name: &Text, raw: &RawTable) {
        if self.vocabulary.tables.contains_key(&name.value) {
            self.fault(file, name, PackFault::TableExists { name: name.value.to_string() });
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
                let (cells, columns) = (cells.len(), columns.len());
                self.fault(file, row, PackFault::RowLength { row: row.value.to_string(), cells, columns });
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
