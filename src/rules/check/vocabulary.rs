//! The formulas of blocks and fields, and the values of profiles, checked when a pack is loaded.

use crate::fault::{Beside, Fault, PackFault, near};
use crate::model::{FeatureId, Model, NoImports, bind};
use crate::pack::{BUILT_IN, Formula, Words};
use crate::quantity::Dimension;
use crate::rules::types::{Inference, Kind, Place, Report};
use crate::source::Span;
use crate::syntax::tree::{self, Body, Clause, Expr, ExprKind, Name, Path, Statement, ValueKind};
use crate::vocabulary::{Block, Derived, Field, FieldKind, SourcedValue, Vocabulary};

/// Every fault in the formulas of a block that did not come with the program.
pub(in crate::rules) fn block(vocabulary: &Vocabulary, block: &Block) -> Vec<Fault> {
    let mut faults = Vec::new();
    let report = Report::default();
    let places = Place::all(vocabulary, block);
    for derived in &block.derives {
        match derived.like {
            Some(like) => faults.extend(never_follows(block, derived, like, &places)),
            None if derived.formula.span().source != BUILT_IN => {
                for place in &places {
                    Inference::of_derived(place.clone(), &report).formula(&derived.formula);
                }
            }
            None => {}
        }
    }
    let own = |formula: &&Formula| formula.span().source != BUILT_IN;
    for formula in block.body.iter().flat_map(crate::vocabulary::Body::formulas).filter(own) {
        for place in &places {
            let found = Inference::new(place.clone(), None, &report).formula(formula);
            if !found.fits(&Kind::of(Dimension::LENGTH)) {
                report.fault(PackFault::BodyNoLength { found: found.describe() }.at(formula.span()));
            }
        }
    }
    for formula in block.detail.iter().flat_map(|detail| &detail.measures).filter(own) {
        for place in &places {
            let found = Inference::of_derived(place.clone(), &report).formula(formula);
            if ![Dimension::LENGTH, Dimension::ANGLE, Dimension::NONE].into_iter().any(|one| found.fits(&Kind::of(one)))
            {
                report.fault(PackFault::DetailNoNumber { found: found.describe() }.at(formula.span()));
            }
        }
    }
    for field in block.fields.iter().filter(|field| !comes_with_the_program(field)) {
        for place in &places {
            of_field(field, &Inference::new(place.clone(), None, &report));
        }
    }
    faults.extend(report.finish());
    faults
}

/// What follows from another block need not follow from this one: it is told where the pack says that it does, and in the
/// formula where that is a project's.
fn never_follows(block: &Block, derived: &Derived, like: Span, places: &[Place]) -> Option<Fault> {
    let (report, formula) = (Report::default(), derived.formula.placed());
    for place in places {
        Inference::of_derived(place.clone(), &report).formula(&formula);
    }
    let first = report.finish().into_iter().min_by_key(|fault| fault.at)?;
    let (name, block, why) = (derived.name.to_string(), block.name.to_string(), first.message());
    let fault = PackFault::NeverFollows { name, block, why }.at(like);
    Some(if first.at.source == BUILT_IN { fault } else { fault.also(first.at, Beside::NotHere) })
}

/// The formulas of a field.
fn of_its_own(field: &Field) -> impl Iterator<Item = &Formula> {
    [&field.default, &field.above, &field.at_least, &field.at_most, &field.step, &field.step_up].into_iter().flatten()
}

fn comes_with_the_program(field: &Field) -> bool {
    of_its_own(field).all(|formula| formula.span().source == BUILT_IN)
}

/// A default or bound must be of the field's own kind; a word is written without quotes.
fn of_field<'a>(field: &'a Field, inference: &Inference<'a, '_>) {
    for formula in of_its_own(field) {
        let word = formula.expr().ok().and_then(Expr::word);
        if let (FieldKind::Word(words), Some(word)) = (&field.kind, word) {
            if !words.is_empty() && !words.iter().any(|known| known == word) {
                let near = near(word, words.iter().map(Words::as_str));
                let (field, takes) = (field.name.to_string(), field.kind.describe());
                let code = PackFault::FieldWord { field, word: word.into(), takes, near };
                inference.report.fault(code.at(formula.span()));
            }
            continue;
        }
        let expected = match &field.kind {
            // Each side keeps to the same bound.
            FieldKind::Size(unit) if !is_default(field, formula) => Kind::of(unit.dimension),
            kind => Kind::of_field(kind),
        };
        let found = inference.formula(formula);
        if !found.fits(&expected) {
            let (field, takes) = (field.name.to_string(), field.kind.describe());
            inference.report.fault(PackFault::FieldKind { field, takes, found: found.describe() }.at(formula.span()));
        }
    }
}

fn is_default(field: &Field, formula: &Formula) -> bool {
    field.default.as_ref().is_some_and(|default| std::ptr::eq(default, formula))
}

/// Profiles may only give what their block has, in its unit.
pub(super) fn profiles(vocabulary: &Vocabulary, faults: &mut Vec<Fault>) {
    for block in &vocabulary.blocks {
        let Some(section) = block.profile.as_deref().and_then(|section| vocabulary.profiles.get(section)) else {
            continue;
        };
        for (profile, about) in section.iter().filter(|(_, about)| about.is_read()) {
            let mut given = about.values.iter().filter(|(_, value)| value.value.span().source != BUILT_IN).peekable();
            if given.peek().is_none() {
                continue;
            }
            let model = with_profile(vocabulary, block, profile);
            let stated = model.ids().find(|(_, feature)| feature.block.name == block.name).map(|(id, _)| id);
            for (name, value) in given {
                faults.extend(stated.and_then(|id| wrong_value(block, (&model, id), name, value)));
            }
        }
    }
    for ((section, profile, _), values) in &vocabulary.learnt {
        let Some(block) = vocabulary.blocks.iter().find(|block| block.profile.as_ref() == Some(section)) else {
            continue;
        };
        let model = with_profile(vocabulary, block, profile);
        let stated = model.ids().find(|(_, feature)| feature.block.name == block.name).map(|(id, _)| id);
        for (name, value) in values {
            faults.extend(stated.and_then(|id| wrong_value(block, (&model, id), name, value)));
        }
    }
}

/// What is wrong with one value of a profile.
fn wrong_value(block: &Block, (model, id): (&Model, FeatureId), name: &str, value: &SourcedValue) -> Option<Fault> {
    let fault = if block.field(name).is_none() {
        let near = near(name, block.fields.iter().map(|field| field.name.as_str()));
        let (block, field) = (block.name.to_string(), name.to_owned());
        Some(PackFault::NotInProfile { block, field, near }.at(value.value.span()))
    } else {
        model.check_profile_value(id, name, &value.value)
    };
    fault.map(|fault| Fault { name: "broken-pack", ..fault })
}

/// A sheet that names one profile.
fn with_profile<'v>(vocabulary: &'v Vocabulary, block: &Block, profile: &str) -> Model<'v> {
    let at = Span { source: BUILT_IN, start: 0, end: 0 };
    let name = |text: &str| Name::new(text, at);
    let path = ExprKind::Path(Path { names: vec![name(profile)], span: at });
    let value = tree::Value { kind: ValueKind::Plain(Expr { kind: path, span: at }), span: at };
    let clause =
        Clause { head: name(&block.name), values: vec![value], like: None, mirrored: None, body: None, span: at };
    let body = Body { statements: vec![Statement::Clause(clause)], broken: Vec::new() };
    bind(vocabulary, body, BUILT_IN, &NoImports)
}
