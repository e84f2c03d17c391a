//! From a field to the numbers that set it: through names, copies, sums and what follows from others.

use super::{DrivingDimension, DrivingDimensions, OWN, Set};
use crate::mend::increments::Increments;
use crate::mend::sorts::Mating;
use crate::model::{Evaluation, FeatureId, Model};
use crate::pack::Formula;
use crate::quantity::{Dimension, Unit};
use crate::rules::{Fixed, FixedNote};
use crate::source::Span;
use crate::syntax::edit::drawn;
use crate::syntax::tree::{Expr, ExprKind, Path, ValueKind};
use crate::vocabulary::{Act, FieldKind, Sort};

/// A search for the numbers that set the fields of one finding.
pub(super) struct Trace<'m, 'v> {
    pub(super) model: &'m Model<'v>,
    mating: &'m Mating,
    pub(super) places: DrivingDimensions,
    seen: Vec<(FeatureId, usize)>,
    /// The feature of the finding.
    of: FeatureId,
    pub(super) asked: (FeatureId, usize),
    pub(super) order: usize,
}

impl<'m, 'v> Trace<'m, 'v> {
    pub(super) fn new(model: &'m Model<'v>, mating: &'m Mating, of: FeatureId) -> Self {
        let places = DrivingDimensions::default();
        Self { model, mating, places, seen: Vec::new(), of, asked: (of, 0), order: 0 }
    }

    /// Looks for the numbers of a field that the rule names at a place among those that it lets change.
    pub(super) fn follow(&mut self, field: (FeatureId, usize), order: usize) {
        (self.asked, self.order) = (field, order);
        self.seen.clear();
        self.field(field, wanted(self.model, field));
    }

    /// What was found.
    pub(super) fn found(self) -> DrivingDimensions {
        self.places
    }

    fn field(&mut self, (id, index): (FeatureId, usize), wanted: Dimension) {
        if self.seen.contains(&(id, index)) {
            return;
        }
        self.seen.push((id, index));
        let model = self.model;
        let feature = model.feature(id);
        let field = &feature.fields[index];
        let path = model.field_path(id, field);
        if feature.block.open.is_some() {
            self.fixed(path, Fixed::Bought);
            return;
        }
        if field.about.kind == FieldKind::Direction {
            self.places.directions = true;
        }
        if let Some(why) = self.mating.keeps(model, (id, index), self.of) {
            // Words that state facts are asked about.
            if !matches!(field.about.kind, FieldKind::Flag | FieldKind::Word(_) | FieldKind::Direction) {
                self.fixed(path, why);
            }
            return;
        }
        if field.about.sort == Sort::Derived {
            self.derived((id, index), wanted);
            return;
        }
        let Some(written) = &field.written else {
            self.missing(id, index);
            return;
        };
        if written.value.span.source != OWN {
            self.fixed(path, Fixed::OtherSheet);
            return;
        }
        if self.is_box_of_another(id, index) {
            self.fixed(path, Fixed::PartSize);
            return;
        }
        let path = if written.scope == id { path } else { copied_from(model, written.scope, &field.name) };
        let expressions = drawn(&written.value);
        if expressions.is_empty() && field.about.kind != FieldKind::Direction {
            self.fixed(path.clone(), Fixed::Reading);
        }
        let model = self.model;
        let known = self.places.list.len();
        for (axis, expr) in expressions.into_iter().enumerate() {
            let name = match &written.value.kind {
                ValueKind::Size(_) => format!("{path}.{}", ["x", "y", "z"].get(axis).unwrap_or(&"?")),
                ValueKind::Direction { .. } => format!("the tilt of {path}"),
                _ => path.clone(),
            };
            let evaluation = Evaluation::written(model, id, field);
            self.numbers(expr, (&name, true), wanted, (id, index), &evaluation);
        }
        if let ValueKind::Plain(expr) = &written.value.kind
            && (self.places.list.len() == known || self.is_of_another(expr, (id, index)))
            && wanted == Dimension::LENGTH
            && model.is_drawn(id)
        {
            self.added(expr, path, (id, index));
        }
    }

    /// What follows from others is changed by them.
    fn derived(&mut self, (id, index): (FeatureId, usize), wanted: Dimension) {
        let field = &self.model.feature(id).fields[index];
        if field.written.is_some() {
            self.fixed(self.model.field_path(id, field), Fixed::Derived);
        }
        let Some(Ok(default)) = field.about.default.as_ref().map(Formula::expr) else { return };
        let evaluation = Evaluation::of_data(self.model, id);
        default.walk(&mut |part| {
            if let ExprKind::Path(path) = &part.kind {
                self.behind(path, wanted, &evaluation);
            }
        });
    }

    fn numbers(
        &mut self,
        expr: &Expr,
        (name, alone): (&str, bool),
        wanted: Dimension,
        field: (FeatureId, usize),
        evaluation: &Evaluation,
    ) {
        match &expr.kind {
            ExprKind::Number { value, unit } => {
                let unit = unit.as_ref().and_then(|unit| Unit::named(&unit.text));
                if unit.map_or(Dimension::NONE, |unit| unit.dimension) == wanted && expr.span.source == OWN {
                    self.number(expr.span, *value, unit, (name, alone), field);
                }
            }
            ExprKind::Path(path) => self.behind(path, wanted, evaluation),
            ExprKind::Call { name: called, arguments } => {
                let known = self.places.list.len();
                let (taken, passed) = taken(&called.text, arguments, evaluation);
                for argument in taken {
                    self.numbers(argument, (name, false), wanted, field, evaluation);
                }
                let is_driven = self.places.list.len() > known;
                for argument in passed.into_iter().filter(|_| !is_driven) {
                    self.numbers(argument, (name, false), wanted, field, evaluation);
                }
            }
            ExprKind::Negative(inner) => {
                let known = self.places.list.len();
                self.numbers(inner, (name, alone), wanted, field, evaluation);
                // What a name leads to has its own sign.
                if alone && matches!(inner.kind, ExprKind::Number { .. }) {
                    self.places.list[known..].iter_mut().for_each(|place| place.negative = true);
                }
            }
            ExprKind::Binary { left, right, .. } => {
                self.numbers(left, (name, false), wanted, field, evaluation);
                self.numbers(right, (name, false), wanted, field, evaluation);
            }
            // Only the value that is taken drives anything.
            ExprKind::If { condition, then, otherwise } => {
                if let Ok(holds) = evaluation.condition(condition) {
                    self.numbers(if holds { then } else { otherwise }, (name, false), wanted, field, evaluation);
                }
            }
            ExprKind::Named { value, .. } => self.numbers(value, (name, false), wanted, field, evaluation),
            ExprKind::Not(_) | ExprKind::Text(_) | ExprKind::Direction(_) | ExprKind::Unreadable => {}
        }
    }

    fn behind(&mut self, path: &Path, wanted: Dimension, evaluation: &Evaluation) {
        if let Ok(Some(field)) = evaluation.field_at(path) {
            self.field(field, wanted);
            return;
        }
        // `clip.size.y` is one of three numbers.
        let Some((axis, names)) = path.names.split_last().filter(|(_, names)| !names.is_empty()) else { return };
        let Some(axis) = ["x", "y", "z"].iter().position(|name| *name == axis.text) else { return };
        let size = Path { names: names.to_vec(), span: path.span };
        let Ok(Some((id, index))) = evaluation.field_at(&size) else { return };
        let field = &self.model.feature(id).fields[index];
        let Some(written) = field.written.as_ref().filter(|written| written.value.span.source == OWN) else { return };
        if self.is_box_of_another(id, index) {
            self.fixed(path.text(), Fixed::PartSize);
            return;
        }
        if let ValueKind::Size(extents) = &written.value.kind
            && let Some(extent) = extents.get(axis)
            && self.model.feature(id).block.open.is_none()
        {
            let name = path.text();
            let inner = Evaluation::written(self.model, id, field);
            self.numbers(extent, (&name, true), wanted, (id, index), &inner);
        }
    }

    fn number(
        &mut self,
        at: Span,
        value: f64,
        unit: Option<&'static Unit>,
        (name, alone): (&str, bool),
        (id, index): (FeatureId, usize),
    ) {
        if self.places.list.iter().any(|place| place.set == Set::Number(at)) || !self.is_free(id) {
            return;
        }
        // The step is that of the dimension that is drawn, not that of the name that it goes by.
        let (asked, asked_index) = self.asked;
        let same = (asked, asked_index) == (id, index);
        let (of, about) = if alone && same {
            (asked, self.model.feature(asked).fields[asked_index].about)
        } else {
            (id, self.model.feature(id).fields[index].about)
        };
        let grid = Increments::of(self.model, of, about, unit, value);
        // A number among others makes no whole lines or layers of its own.
        let grid = if alone { grid } else { grid.usual() };
        let shown = unit.map_or(String::new(), |unit| format!(" {}", unit.name));
        let name = if alone { name.to_owned() } else { format!("the {value}{shown} in {name}") };
        let (set, field, order) = (Set::Number(at), self.asked, self.order);
        let place = DrivingDimension { name, grid, negative: false, unit, set, field, order };
        self.places.list.push(place);
    }

    /// A part is not made larger for the sake of a feature that is drawn as a share of it.
    fn is_box_of_another(&self, id: FeatureId, index: usize) -> bool {
        let is_size = matches!(self.model.feature(id).fields[index].about.kind, FieldKind::Size(_));
        is_size && self.asked != (id, index) && self.asked.0 != id && self.model.is_drawn(self.asked.0)
    }

    /// What is drawn, named or set on the machine can be changed; what is asked of it cannot.
    fn is_free(&self, id: FeatureId) -> bool {
        let block = self.model.feature(id).block;
        self.model.is_drawn(id) || block.act == Act::Binds || block.profile.is_some()
    }

    pub(super) fn fixed(&mut self, path: String, why: Fixed) {
        let note = FixedNote { path, why };
        if !self.places.fixed.contains(&note) {
            self.places.fixed.push(note);
        }
    }
}

/// A copy's field is set where its source says it.
fn copied_from(model: &Model, source: FeatureId, field: &str) -> String {
    let path = model.path(source);
    if path.is_empty() { field.to_owned() } else { format!("{path}.{field}") }
}

/// The arguments of a function that drive it, and those that a `min` or `max` passes over: they are changed only where the
/// others cannot be.
fn taken<'e>(function: &str, arguments: &'e [Expr], evaluation: &Evaluation) -> (Vec<&'e Expr>, Vec<&'e Expr>) {
    let better: fn(f64, f64) -> f64 = match function {
        "min" => f64::min,
        "max" => f64::max,
        _ => return (arguments.iter().collect(), Vec::new()),
    };
    let values: Vec<Option<f64>> = arguments.iter().map(|one| evaluation.quantity(one).ok().map(|q| q.value)).collect();
    let best = values.iter().flatten().copied().reduce(better);
    let (mut taken, mut passed) = (Vec::new(), Vec::new());
    for (argument, value) in arguments.iter().zip(values) {
        if value == best { taken.push(argument) } else { passed.push(argument) }
    }
    (taken, passed)
}

fn wanted(model: &Model, (id, index): (FeatureId, usize)) -> Dimension {
    match &model.feature(id).fields[index].about.kind {
        FieldKind::Quantity(Some(unit)) | FieldKind::Size(unit) => unit.dimension,
        FieldKind::Direction => Dimension::ANGLE,
        _ => Dimension::NONE,
    }
}
