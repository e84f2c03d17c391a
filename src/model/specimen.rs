//! A sheet with one of everything, to check a pack's expressions against before any sheet is read.

use std::cell::{Cell, OnceCell, RefCell};
use std::collections::HashSet;

use super::{Children, Feature, FeatureId, Field, Margin, Model, State, Value};
use crate::fault::Fault;
use crate::pack::Formula;
use crate::quantity::{Dimension, Quantity};
use crate::source::SourceId;
use crate::syntax::tree::Comparator;
use crate::vocabulary::{self, Act, Block, FieldKind, Vocabulary};

/// A model that holds a feature of every block kind in every kind that it can stand in, with a
/// sample value in every field.
#[must_use]
pub fn specimen(vocabulary: &Vocabulary) -> Model<'_> {
    let mut model = Model {
        vocabulary,
        features: vec![feature(vocabulary.sheet(), None, FeatureId(0))],
        faults: RefCell::default(),
        inputs: RefCell::default(),
        depth: Cell::new(0),
        nested: Cell::new(0),
        suggested: Cell::new(0),
        specimen: true,
        draws: RefCell::default(),
        draw: Cell::new(0),
        touched: std::cell::Cell::new(false),
        trail: RefCell::default(),
    };
    // Outer kinds come before inner ones after as many rounds as there are kinds.
    for _ in 0..vocabulary.blocks.len() {
        for block in vocabulary.blocks.iter().filter(|block| block.act != Act::Describes) {
            for outer in without(&model, block) {
                let id = FeatureId(model.features.len());
                model.features[outer.0].children.push(id, &block.name, block);
                model.features.push(feature(block, Some(outer), id));
            }
        }
    }
    model
}

/// The features that a block kind can stand in and does not yet, those in itself left out.
fn without(model: &Model, block: &Block) -> Vec<FeatureId> {
    let is_kind = |id: FeatureId| model.feature(id).block.name == block.name;
    let lacks = |(id, outer): &(FeatureId, &Feature)| {
        block.stands_in.contains(&outer.block.name)
            && outer.children.of_kind(&block.name).is_none()
            && !model.outward(*id).any(is_kind)
    };
    model.ids().filter(lacks).map(|(id, _)| id).collect()
}

fn feature(block: &Block, parent: Option<FeatureId>, id: FeatureId) -> Feature<'_> {
    let nowhere = SourceId(0).span(0..0);
    Feature {
        block,
        name: block.name.to_string(),
        name_span: nowhere,
        span: nowhere,
        parent,
        children: Children::default(),
        fields: block.fields.iter().map(|field| sampled(field, id)).collect(),
        like: None,
        profile: None,
        attempted: HashSet::new(),
        incomplete: false,
        imported: false,
        uses: Cell::new(0),
    }
}

fn sampled(about: &vocabulary::Field, id: FeatureId) -> Field<'_> {
    let field = Field::new(about.name.clone(), about);
    let quantity = |unit| Quantity::of(1.0, unit);
    let sample = match &about.kind {
        FieldKind::Quantity(None) | FieldKind::Any => Value::Quantity(Quantity::ratio(1.0)),
        FieldKind::Dimension => Value::Quantity(Quantity::exact(1.0, Dimension::LENGTH)),
        FieldKind::Quantity(Some(unit)) => Value::Quantity(quantity(unit)),
        FieldKind::Size(unit) => Value::Size(Box::new(std::array::from_fn(|_| quantity(unit)))),
        FieldKind::Direction => Value::Direction([0.0, 0.0, 1.0]),
        FieldKind::Word(words) => Value::Text(words.first().map_or("word", crate::pack::Words::as_str).into()),
        FieldKind::Rule | FieldKind::Text => Value::Text("text".into()),
        FieldKind::Flag => Value::Flag(true),
        FieldKind::Condition => compared(),
        FieldKind::Feature => Value::Feature(id),
    };
    field.state.set(State::Done);
    Field { value: OnceCell::from(Some(sample)), ..field }
}

/// A comparison that holds: 1 <= 2.
fn compared() -> Value {
    let (one, two) = (Quantity::ratio(1.0), Quantity::ratio(2.0));
    Margin::new(one, Comparator::AtMost, two).map_or(Value::Flag(true), |margin| Value::Margin(Box::new(margin)))
}

impl Model<'_> {
    /// What is wrong with a profile's value for a field of a block kind, if anything.
    #[must_use]
    pub fn check_profile_value(&self, block: &Block, field: &vocabulary::Field, formula: &Formula) -> Option<Fault> {
        let (id, feature) = self.ids().find(|(_, feature)| feature.block.name == block.name)?;
        let field = feature.fields.iter().find(|own| own.name == field.name)?;
        let value = match formula.value() {
            Ok(value) => value,
            Err(fault) => return Some(fault.clone()),
        };
        match self.converted(id, field, value) {
            Err(super::Failure::Fault(fault)) => Some(*fault),
            _ => None,
        }
    }
}
