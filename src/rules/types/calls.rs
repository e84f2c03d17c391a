//! The kinds of what functions take and give, by the signatures in their own tables.

use super::infer::{Inference, not_a};
use super::kind::{Kind, Measure};
use crate::fault::{PackFault, ValueFault, near};
use crate::model::function::{BASIC, Function, Signature};
use crate::pack::Words;
use crate::quantity::{ArithmeticError, Dimension};
use crate::rules::functions::mechanics::{self, MechanicsFunction};
use crate::rules::functions::{self, Form, Gives, Takes};
use crate::syntax::tree::{Expr, ExprKind, Name};
use crate::vocabulary::{CellUnit, FieldKind};

impl<'a> Inference<'a, '_> {
    pub(super) fn call(&self, name: &'a Name, arguments: &'a [Expr]) -> Kind<'a> {
        if self.forms {
            if let Some(form) = functions::form(&name.text) {
                return self.form(form, name, arguments);
            }
            if let Some(function) = mechanics::named(&name.text) {
                return self.mechanics(function, name, arguments);
            }
        }
        if let Some(function) = BASIC.iter().find(|function| function.name == name.text) {
            return self.basic(function, name, arguments);
        }
        let near = near(&name.text, self.known_functions());
        self.report.fault(ValueFault::UnknownFunction { name: name.text.clone(), near }.at(name.span));
        self.look_at(arguments);
        Kind::Nothing
    }

    /// Reports what is wrong within arguments of which the kinds do not matter any more.
    fn look_at(&self, arguments: &'a [Expr]) {
        for argument in arguments {
            self.given(argument);
        }
    }

    fn known_functions(&self) -> Vec<&'static str> {
        let basic = BASIC.iter().map(|function| function.name);
        if !self.forms {
            return basic.collect();
        }
        let forms = functions::forms().map(|form| form.name);
        basic.chain(forms).chain(mechanics::functions().map(|function| function.name)).collect()
    }

    fn wrong_count(&self, name: &'a Name, arguments: &'a [Expr], code: ValueFault) -> Kind<'a> {
        self.report.fault(code.at(name.span));
        self.look_at(arguments);
        Kind::Nothing
    }

    // ---- functions of quantities ----

    fn basic(&self, function: &Function, name: &'a Name, arguments: &'a [Expr]) -> Kind<'a> {
        let wanted = match function.signature {
            Signature::Alike => arguments.len() >= 2,
            Signature::Stepped => matches!(arguments.len(), 1 | 2),
            _ => arguments.len() == 1,
        };
        if !wanted {
            let [name_of, takes, doc] = [function.name, function.takes, function.doc].map(str::to_owned);
            return self.wrong_count(name, arguments, ValueFault::WrongArguments { name: name_of, takes, doc });
        }
        let number = Kind::Quantity(None);
        match function.signature {
            Signature::Alike | Signature::Same => {
                let kinds = arguments.iter().map(|a| (a, self.expect(a, &number, "a number or dimension")));
                self.alike(&name.text, kinds)
            }
            Signature::Root => match self.expect(&arguments[0], &number, "a number or dimension") {
                Kind::Quantity(Some(measure)) => match measure.dimension.root() {
                    Some(root) => Kind::of(root),
                    None => self.arithmetic(&ArithmeticError::Root(measure.dimension), arguments[0].span),
                },
                other => other,
            },
            Signature::Stepped if arguments.len() == 1 => {
                self.one(function, &arguments[0], Dimension::NONE, Dimension::NONE)
            }
            Signature::Stepped => {
                let kinds = arguments.iter().map(|a| (a, self.expect(a, &number, "a number or dimension")));
                self.alike(&name.text, kinds)
            }
            Signature::OfAngle => self.one(function, &arguments[0], Dimension::ANGLE, Dimension::NONE),
            Signature::ToAngle => self.one(function, &arguments[0], Dimension::NONE, Dimension::ANGLE),
        }
    }

    fn one(&self, function: &Function, argument: &'a Expr, takes: Dimension, gives: Dimension) -> Kind<'a> {
        let kind = self.kind(argument);
        if !kind.fits(&Kind::of(takes)) {
            let (function, takes) = (function.name.to_owned(), function.takes.to_owned());
            self.report.fault(PackFault::ArgumentOf { function, takes, found: kind.describe() }.at(argument.span));
        }
        Kind::of(gives)
    }

    fn mechanics(&self, function: &'static MechanicsFunction, name: &'a Name, arguments: &'a [Expr]) -> Kind<'a> {
        let arranged = match function.arranged(name, arguments) {
            Ok(arranged) => arranged,
            Err(fault) => {
                self.report.fault(fault);
                self.look_at(arguments);
                return Kind::Nothing;
            }
        };
        for (argument, (parameter, dimension)) in arranged.into_iter().zip(function.takes) {
            if let Some(words) = function.words_of(parameter) {
                self.word_of(function, parameter, words, argument);
                continue;
            }
            let kind = self.kind(argument);
            if !kind.fits(&Kind::of(*dimension)) {
                let (takes, found) = (dimension.describe(), kind.describe());
                let (function, name) = (name.text.clone(), (*parameter).to_owned());
                self.report.fault(PackFault::ArgumentKind { function, name, takes, found }.at(argument.span));
            }
        }
        Kind::of(function.gives)
    }

    fn word_of(&self, function: &MechanicsFunction, parameter: &str, words: &[(&str, f64)], argument: &'a Expr) {
        let known: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let kind = self.kind(argument);
        let expected = Kind::Word(Some(known.iter().map(ToString::to_string).collect()));
        if !kind.fits(&expected) {
            let found = match &kind {
                Kind::Word(Some(found)) => found.join(", "),
                other => other.describe(),
            };
            let known = known.into_iter().map(str::to_owned).collect();
            let (function, name) = (function.name.to_owned(), parameter.to_owned());
            self.report.fault(PackFault::ArgumentWord { function, name, known, found }.at(argument.span));
        }
    }

    /// The kind of an argument of a function that is not known, with or without a name.
    fn given(&self, argument: &'a Expr) -> Kind<'a> {
        match &argument.kind {
            ExprKind::Named { value, .. } => self.kind(value),
            _ => self.kind(argument),
        }
    }

    // ---- questions to the sheet ----

    fn form(&self, form: &'static Form, name: &'a Name, arguments: &'a [Expr]) -> Kind<'a> {
        if !form.arguments.contains(&arguments.len()) {
            let [name_of, written, doc] = [form.name, form.written, form.doc].map(str::to_owned);
            return self.wrong_count(name, arguments, ValueFault::WrittenForm { name: name_of, written, doc });
        }
        let mut alike = Vec::new();
        for (index, argument) in arguments.iter().enumerate() {
            let Some(takes) = form.takes.get(index).or(form.takes.last()) else { continue };
            let kind = self.argument(form, *takes, argument, arguments);
            if matches!(takes, Takes::Value | Takes::Quantity | Takes::Inside | Takes::Beside) {
                alike.push((argument, kind));
            }
        }
        match form.gives {
            Gives::Flag => Kind::Flag,
            Gives::Word => Kind::Word(None),
            Gives::Feature => Kind::Feature(None),
            Gives::Of(dimension) => Kind::of(dimension),
            Gives::Alike => self.alike(&name.text, alike),
            Gives::Difference => match self.alike(&name.text, alike) {
                Kind::Quantity(Some(measure)) => Kind::Quantity(Some(Measure::of(measure.dimension))),
                other => other,
            },
            Gives::Cell => self.cell(arguments),
            Gives::Profiles => self.profiles(arguments),
        }
    }

    fn argument(&self, form: &Form, takes: Takes, argument: &'a Expr, all: &'a [Expr]) -> Kind<'a> {
        match takes {
            Takes::Anything | Takes::Value | Takes::Row => self.kind(argument),
            Takes::Quantity => self.expect(argument, &Kind::Quantity(None), "a number or dimension"),
            Takes::Condition => self.expect(argument, &Kind::Comparison, "a comparison, or yes or no"),
            Takes::Word => self.expect(argument, &Kind::Word(None), "a word or text"),
            Takes::Size => self.expect(argument, &Kind::Size, "a size"),
            Takes::Direction => self.expect(argument, &Kind::Direction, "a direction"),
            Takes::Feature => self.expect(argument, &Kind::Feature(None), "a feature"),
            Takes::Field => self.field(form, argument),
            Takes::Block => {
                self.block(argument);
                Kind::Nothing
            }
            Takes::Inside => self.inside(&all[0], argument),
            Takes::Beside => self.beside(&all[0], argument),
        }
    }

    fn field(&self, form: &Form, argument: &'a Expr) -> Kind<'a> {
        match self.names_field(argument) {
            Some(false) => {
                let (function, written) = (form.name.to_owned(), form.written.to_owned());
                self.report.fault(PackFault::NoField { function, written }.at(argument.span));
                Kind::Nothing
            }
            Some(true) => self.kind(argument),
            None => Kind::Nothing,
        }
    }

    /// The kind of block that a word names.
    fn block(&self, argument: &'a Expr) -> Option<&'a str> {
        let word = argument.word().unwrap_or_default();
        let vocabulary = self.place.vocabulary;
        if vocabulary.block(word).is_some() {
            return Some(word);
        }
        let near = near(word, vocabulary.blocks.iter().map(|block| block.name.as_str()));
        self.report.fault(PackFault::NoBlockKind { word: word.into(), near }.at(argument.span));
        None
    }

    /// What is asked of each block of a kind in this one, as if the rule were about it.
    fn inside(&self, kind: &'a Expr, value: &'a Expr) -> Kind<'a> {
        let Some(word) = self.block(kind) else { return Kind::Nothing };
        let Some(place) = self.place.inside(word) else {
            self.lacks(kind.span, word);
            return Kind::Nothing;
        };
        self.report.found(kind.span);
        self.at(place).expect(value, &Kind::Quantity(None), "a number or dimension")
    }

    fn beside(&self, kind: &'a Expr, value: &'a Expr) -> Kind<'a> {
        let Some(word) = self.block(kind) else { return Kind::Nothing };
        let Some(place) = self.place.beside(word) else {
            self.lacks(kind.span, word);
            return Kind::Nothing;
        };
        self.report.found(kind.span);
        self.at(place).expect(value, &Kind::Quantity(None), "a number or dimension")
    }

    /// The one kind that all of several values are of.
    pub(super) fn alike(&self, name: &str, kinds: impl IntoIterator<Item = (&'a Expr, Kind<'a>)>) -> Kind<'a> {
        let mut whole = Kind::Nothing;
        for (argument, kind) in kinds {
            let (before, found) = (whole.describe(), kind.describe());
            if let Some(both) = whole.clone().or(kind) {
                whole = both;
            } else {
                self.report.fault(PackFault::UnlikeValues { name: name.into(), found, before }.at(argument.span));
            }
        }
        whole
    }

    // ---- data ----

    /// A number from a table.
    fn cell(&self, arguments: &'a [Expr]) -> Kind<'a> {
        let [table, row, column] = arguments else { return Kind::Nothing };
        let (Kind::Word(Some(tables)), Kind::Word(columns)) = (self.kind(table), self.kind(column)) else {
            return Kind::Quantity(None);
        };
        let mut whole = Kind::Nothing;
        for name in tables {
            let vocabulary = self.place.vocabulary;
            let Some(found) = vocabulary.tables.get(name.as_str()) else {
                let near = near(&name, vocabulary.tables.keys().map(Words::as_str));
                self.report.fault(PackFault::NoTable { name: name.clone(), near }.at(table.span));
                continue;
            };
            let expected = found.range.map_or(Kind::Word(None), |unit| Kind::of(unit.dimension));
            let kind = self.kind(row);
            if !kind.fits(&expected) {
                let (table, is_range) = (name.clone(), found.range.is_some());
                self.report.fault(PackFault::RowKind { table, is_range, found: kind.describe() }.at(row.span));
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
                self.report.fault(PackFault::ColumnOfWords { table, column }.at(at.span));
                Kind::Nothing
            }
            None => {
                let known: Vec<String> = table.columns.iter().map(|(name, _)| name.to_string()).collect();
                let near = near(word, known.iter().map(String::as_str));
                let (table, column) = (table.name.to_string(), word.to_owned());
                self.report.fault(PackFault::NoColumn { table, column, known, near }.at(at.span));
                Kind::Nothing
            }
        }
    }

    /// The names of profiles that give a field at least so much.
    fn profiles(&self, arguments: &'a [Expr]) -> Kind<'a> {
        let [sections, fields, least, flag @ ..] = arguments else { return Kind::Word(None) };
        let vocabulary = self.place.vocabulary;
        for section in self.words(sections) {
            let owner = vocabulary.blocks.iter().find(|block| block.profile.as_deref() == Some(&section));
            let Some(owner) = owner else {
                let known = vocabulary.profiles.keys().map(Words::as_str);
                let near = near(&section, known);
                self.report.fault(PackFault::NoProfiles { section, near }.at(sections.span));
                continue;
            };
            let wanted = self.words(fields).into_iter().map(|word| (fields, word, false));
            let flags = flag.iter().flat_map(|flag| self.words(flag).into_iter().map(move |word| (flag, word, true)));
            for (at, word, is_flag) in wanted.chain(flags) {
                let known = owner.fields.iter().map(|field| field.name.as_str());
                match owner.fields.iter().find(|field| field.name == word) {
                    None => {
                        let (block, near) = (owner.name.to_string(), near(&word, known));
                        self.report.fault(PackFault::NoProfileField { block, field: word, near }.at(at.span));
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
