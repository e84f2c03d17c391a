//! From pack files to the vocabulary. Every mistake in the data becomes a located fault.

mod blocks;
mod values;

use std::mem::take;
use std::sync::Arc;

use super::Vocabulary;
use super::block::Block;
use super::step::StepOf;
use crate::fault::{Fault, PackFault, near};
use crate::learning::figures::{FIGURES, Figure};
use crate::pack::schema::{Entries, RawBlock, RawPack, RawValue, Text};
use crate::pack::{BUILT_IN, Formula, Later, Part, Seldom, Words};
use crate::quantity::{UNITS, Unit};
use crate::source::{Source, SourceId, Span};

/// The sections of profiles, in the order in which they are taken in.
const SECTIONS: [&str; 3] = ["materials", "machines", "instruments"];

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

/// A file of the built-in pack.
const OWN: File<'static> = File { id: BUILT_IN, text: None };

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
    /// Takes in, and out of it, what a file of the built-in pack keeps apart, to be read when a sheet calls for it; the tests hold that
    /// nothing is wrong with it.
    pub(crate) fn add_later(&mut self, part: &mut Part) {
        for block in take(&mut part.blocks) {
            self.block_later(block);
        }
        for (section, profiles) in SECTIONS.into_iter().zip(&part.profiles) {
            let later = profiles.iter().map(|(name, stored)| (name.value.clone(), values::profile_later(stored)));
            self.vocabulary.profiles.entry(section.into()).or_default().extend(later);
        }
        let later = take(&mut part.tables).into_iter().map(values::table_later);
        self.vocabulary.tables.extend(later.map(|table| (table.name.clone(), table)));
    }

    /// The same of what few runs ask for.
    pub(crate) fn add_seldom(&mut self, seldom: &Seldom) {
        let read = |of: fn(&RawPack) -> &Entries<Text>| {
            let seldom = Arc::clone(seldom);
            Later::by(move || seldom.iter().flat_map(|pack| texts(of(pack))).collect())
        };
        self.vocabulary.terms = read(|pack| &pack.terms);
        self.vocabulary.habits = read(|pack| &pack.habits);
        let figures = Arc::clone(seldom);
        let sourced = |pack: &RawPack| Self::default().sourced(&OWN, &pack.learning);
        self.vocabulary.learning = Later::by(move || figures.iter().flat_map(sourced).collect());
    }

    /// A kind of block by itself, as it is written.
    pub(crate) fn block_alone(name: &Text, raw: &RawBlock, id: SourceId) -> Option<Block> {
        let mut builder = Self::default();
        builder.block(&File { id, text: None }, name, raw);
        builder.vocabulary.blocks.pop()
    }

    /// Takes in one file's words; `text` is the file's text, where it is at hand.
    pub fn add(&mut self, raw: &RawPack, id: SourceId, text: Option<&Source>) {
        let file = File { id, text };
        for (name, block) in &raw.blocks.0 {
            self.block(&file, name, block);
        }
        for (section, profiles) in SECTIONS.into_iter().zip([&raw.materials, &raw.machines, &raw.instruments]) {
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
        for (known, entries) in [(&mut self.vocabulary.terms, &raw.terms), (&mut self.vocabulary.habits, &raw.habits)] {
            // What is there already is read only where there is more.
            if !entries.0.is_empty()
                && let Some(known) = known.get_mut()
            {
                known.extend(texts(entries));
            }
        }
        for (name, step) in &raw.steps.0 {
            self.step(&file, name, step);
        }
        self.figures(&file, &raw.learning);
    }

    /// A later pack's figure of learning takes the place of an earlier one's.
    fn figures(&mut self, file: &File, raw: &Entries<RawValue>) {
        for (name, value) in self.sourced(file, raw) {
            let Some((at, written)) = raw.0.iter().rfind(|(known, _)| known.value == name) else { continue };
            let Some(figure) = Figure::named(&name) else {
                let near = near(&name, FIGURES.iter().map(|figure| figure.word));
                self.fault(file, at, PackFault::NoFigureOfLearning { name: name.to_string(), near });
                continue;
            };
            if super::figure(figure, &value.value).is_none() {
                let (least, most) = figure.range();
                let (figure, value) = (name.to_string(), written.value.value.to_string());
                self.fault(file, &written.value, PackFault::FigureOutOfRange { figure, value, least, most });
                continue;
            }
            if let Some(known) = self.vocabulary.learning.get_mut() {
                known.insert(name, value);
            }
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
}

/// Words with their texts.
fn texts(entries: &Entries<Text>) -> impl Iterator<Item = (Words, Words)> {
    entries.0.iter().map(|(word, text)| (word.value.clone(), text.value.clone()))
}
