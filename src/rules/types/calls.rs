//! The kinds of what functions take and give, by the signatures in their own tables.

mod data;

use super::infer::{Inference, is_flag, not_a};
use super::kind::{Kind, Measure};
use crate::fault::{FormulaFault, ValueFault, near};
use crate::model::function::{BASIC, Function, Signature};
use crate::quantity::{ArithmeticError, Dimension};
use crate::rules::functions::mechanics::{self, MechanicsFunction};
use crate::rules::functions::{self, Form, Gives, Takes};
use crate::syntax::tree::{Expr, ExprKind, Name};

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
            self.report.fault(FormulaFault::ArgumentOf { function, takes, found: kind.describe() }.at(argument.span));
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
                self.report.fault(FormulaFault::ArgumentKind { function, name, takes, found }.at(argument.span));
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
            self.report.fault(FormulaFault::ArgumentWord { function, name, known, found }.at(argument.span));
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
            match takes {
                Takes::Instead => {
                    self.instead(argument, arguments);
                    alike.push((argument, kind));
                }
                Takes::Value | Takes::Quantity | Takes::Dimension | Takes::Inside | Takes::Beside => {
                    alike.push((argument, kind));
                }
                _ => {}
            }
        }
        match form.gives {
            Gives::Flag => Kind::Flag,
            Gives::Word => Kind::Word(None),
            Gives::Feature => Kind::Feature(None),
            Gives::Printed => Kind::Feature(self.place.drawn()),
            Gives::Of(dimension) => Kind::of(dimension),
            Gives::Quantity => Kind::Quantity(None),
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
            Takes::Value | Takes::Instead | Takes::Row => self.kind(argument),
            Takes::Named => self.named(form, argument),
            Takes::Dimension => self.dimension(form, argument),
            Takes::Quantity => self.expect(argument, &Kind::Quantity(None), "a number or dimension"),
            Takes::Condition => self.expect(argument, &Kind::Comparison, "a comparison, or yes or no"),
            Takes::Word => self.expect(argument, &Kind::Word(None), "a word or text"),
            Takes::Hazard => self.hazard(argument),
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

    /// A value that names something: of what is written out there is nothing to ask.
    fn named(&self, form: &Form, argument: &'a Expr) -> Kind<'a> {
        let mut names = false;
        argument.walk(&mut |part| {
            names |= match &part.kind {
                ExprKind::Path(path) => !is_flag(path),
                // A hazard is asked of the sheet's own words.
                ExprKind::Call { name, .. } => {
                    functions::form(&name.text).is_some_and(|form| form.takes.contains(&Takes::Hazard))
                }
                _ => false,
            };
        });
        if !names {
            self.no_field(form, argument);
        }
        self.kind(argument)
    }

    fn dimension(&self, form: &Form, argument: &'a Expr) -> Kind<'a> {
        let kind = self.kind(argument);
        if kind.fits(&Kind::Quantity(None)) || kind.fits(&Kind::Size) {
            return self.named(form, argument);
        }
        self.report.fault(not_a(argument.span, &kind, "a number, dimension or size"));
        Kind::Nothing
    }

    fn no_field(&self, form: &Form, argument: &Expr) {
        let (function, written) = (form.name.to_owned(), form.written.to_owned());
        self.report.fault(FormulaFault::NoField { function, written }.at(argument.span));
    }

    fn field(&self, form: &Form, argument: &'a Expr) -> Kind<'a> {
        match self.names_field(argument) {
            Some(false) => {
                self.no_field(form, argument);
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
        self.report.fault(FormulaFault::NoBlockKind { word: word.into(), near }.at(argument.span));
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
                self.report.fault(FormulaFault::UnlikeValues { name: name.into(), found, before }.at(argument.span));
            }
        }
        whole
    }
}
