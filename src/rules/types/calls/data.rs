//! The kinds of what tables and profiles answer: a cell by its column, the names of profiles.

use super::super::infer::{Inference, not_a};
use super::super::kind::{Kind, Measure};
use crate::fault::{FormulaFault, near};
use crate::pack::Words;
use crate::quantity::Dimension;
use crate::rules::functions::danger::hazards;
use crate::syntax::tree::{Expr, ExprKind};
use crate::vocabulary::{CellUnit, FieldKind};

impl<'a> Inference<'a, '_> {
    /// A number from a table.
    pub(super) fn cell(&self, arguments: &'a [Expr]) -> Kind<'a> {
        let [table, row, column] = arguments else { return Kind::Nothing };
        let (Kind::Word(Some(tables)), Kind::Word(columns)) = (self.kind(table), self.kind(column)) else {
            return Kind::Quantity(None);
        };
        let mut whole = Kind::Nothing;
        for name in tables {
            let vocabulary = self.place.vocabulary;
            let Some(found) = vocabulary.tables.get(name.as_str()) else {
                let near = near(&name, vocabulary.tables.keys().map(Words::as_str));
                self.report.fault(FormulaFault::NoTable { name: name.clone(), near }.at(table.span));
                continue;
            };
            let expected = found.range.map_or(Kind::Word(None), |unit| Kind::of(unit.dimension));
            let kind = self.kind(row);
            if found.range.is_none() {
                self.one_of(row, || found.rows.iter().map(ToString::to_string).collect());
            }
            if !kind.fits(&expected) {
                let (table, is_range) = (name.clone(), found.range.is_some());
                self.report.fault(FormulaFault::RowKind { table, is_range, found: kind.describe() }.at(row.span));
            }
            for word in columns.iter().flatten() {
                let kind = self.column(found, word, column);
                whole = whole.or(kind).unwrap_or(Kind::Quantity(None));
            }
        }
        if columns.is_none() { Kind::Quantity(None) } else { whole }
    }

    fn column(&self, table: &crate::vocabulary::Table, word: &str, at: &Expr) -> Kind<'a> {
        match table.columns.iter().find(|(name, _)| name == word) {
            Some((_, Some(CellUnit::Ratio))) => Kind::of(Dimension::NONE),
            Some((_, Some(CellUnit::Unit(unit)))) => Kind::Quantity(Some(Measure::in_unit(Some(unit)))),
            Some((_, None)) => {
                let (table, column) = (table.name.to_string(), word.to_owned());
                self.report.fault(FormulaFault::ColumnOfWords { table, column }.at(at.span));
                Kind::Nothing
            }
            None => {
                let known: Vec<String> = table.columns.iter().map(|(name, _)| name.to_string()).collect();
                let near = near(word, known.iter().map(String::as_str));
                let (table, column) = (table.name.to_string(), word.to_owned());
                self.report.fault(FormulaFault::NoColumn { table, column, known, near }.at(at.span));
                Kind::Nothing
            }
        }
    }

    /// The names of profiles that give a field at least so much.
    pub(super) fn profiles(&self, arguments: &'a [Expr]) -> Kind<'a> {
        let [sections, fields, least, flag @ ..] = arguments else { return Kind::Word(None) };
        let vocabulary = self.place.vocabulary;
        for section in self.words(sections) {
            let owner = vocabulary.blocks.iter().find(|block| block.profile.as_deref() == Some(&section));
            let Some(owner) = owner else {
                let known = vocabulary.profiles.keys().map(Words::as_str);
                let near = near(&section, known);
                self.report.fault(FormulaFault::NoProfiles { section, near }.at(sections.span));
                continue;
            };
            let wanted = self.words(fields).into_iter().map(|word| (fields, word, false));
            let flags = flag.iter().flat_map(|flag| self.words(flag).into_iter().map(move |word| (flag, word, true)));
            for (at, word, is_flag) in wanted.chain(flags) {
                let known = owner.fields.iter().map(|field| field.name.as_str());
                match owner.fields.iter().find(|field| field.name == word) {
                    None => {
                        let (block, near) = (owner.name.to_string(), near(&word, known));
                        self.report.fault(FormulaFault::NoProfileField { block, field: word, near }.at(at.span));
                    }
                    Some(field) if is_flag && field.kind != FieldKind::Flag => {
                        self.report.fault(not_a(at.span, &Kind::of_field(&field.kind), "a field of yes or no"));
                    }
                    Some(field) if !is_flag => {
                        let (expected, found) = (Kind::of_field(&field.kind), self.kind(least));
                        if !found.fits(&expected) {
                            self.report.fault(not_a(least.span, &found, &expected.describe()));
                        }
                    }
                    Some(_) => {}
                }
            }
        }
        Kind::Word(None)
    }

    /// A text that is written out must be one of some words.
    fn one_of(&self, argument: &Expr, known: impl FnOnce() -> Vec<String>) {
        let ExprKind::Text(word) = &argument.kind else { return };
        let known = known();
        if !known.iter().any(|known| known.eq_ignore_ascii_case(word)) {
            let near = near(word, known.iter().map(String::as_str));
            self.report.fault(FormulaFault::NeverWord { word: word.clone(), known, near }.at(argument.span));
        }
    }

    /// A text in the place of what is not given is a word that this can be, where its words are known.
    pub(super) fn instead(&self, argument: &'a Expr, all: &'a [Expr]) {
        let others = all.iter().filter(|other| !matches!(other.kind, ExprKind::Text(_)));
        let words: Vec<String> = others.flat_map(|other| self.words(other)).collect();
        if !words.is_empty() {
            self.one_of(argument, || words);
        }
    }

    pub(super) fn hazard(&self, argument: &'a Expr) -> Kind<'a> {
        self.one_of(argument, || hazards(self.place.vocabulary));
        self.expect(argument, &Kind::Word(None), "a word or text")
    }

    /// The words that an argument can be, where they are known.
    fn words(&self, argument: &'a Expr) -> Vec<String> {
        match &argument.kind {
            ExprKind::Text(text) => vec![text.clone()],
            _ => match self.kind(argument) {
                Kind::Word(Some(words)) => words,
                _ => Vec::new(),
            },
        }
    }
}
