//! What is said of dimensions that are known by bounds only.

use super::{Evaluation, FeatureId, Field, Model, Value};
use crate::fault::Fault;
use crate::quantity::{Input, InputKind};
use crate::syntax::tree::{Expr, ExprKind, Side, ValueKind};
use crate::vocabulary::Act;

impl Model<'_> {
    /// Notes what counts as its one bound, and what is drawn at the middle of two.
    pub(super) fn note_bounds(&self) {
        let mut faults = Vec::new();
        let any = self.ids().flat_map(|(_, feature)| &feature.fields).any(|field| {
            let kind = field.written.as_ref().map(|written| &written.value.kind);
            matches!(kind, Some(ValueKind::Bound { .. } | ValueKind::Between { .. }))
        });
        for (id, feature) in self.ids().filter(|(_, feature)| any && !feature.imported) {
            for field in &feature.fields {
                // A copy says what its source says.
                if field.written.as_ref().is_some_and(|written| written.scope == id) {
                    faults.extend(self.one_sided(id, field));
                    faults.extend(self.at_middle(id, field));
                }
            }
        }
        for fault in faults {
            self.report(fault);
        }
    }

    /// Notes the names that a fit or a stack takes as exact: nothing says how what they stand for is made.
    pub(super) fn note_exact(&self) {
        let mut faults = Vec::new();
        for (id, feature) in self.ids().filter(|(_, feature)| !feature.imported) {
            for field in &feature.fields {
                let Some(written) = field.written.as_ref().filter(|_| field.about.joins) else { continue };
                let evaluation = Evaluation::written(self, id, field);
                written.value.walk(&mut |part| {
                    let ExprKind::Path(path) = &part.kind else { return };
                    let Ok(Some((of, index))) = evaluation.field_at(path) else { return };
                    let value = self.value_of(of, &self.feature(of).fields[index]);
                    let is_exact = matches!(value, Ok(Value::Quantity(value)) if value.terms.is_empty());
                    if is_exact && self.feature(of).block.act == Act::Binds {
                        let message = format!("`{}` counts as exact here: a `let` is neither printed nor measured", path.text());
                        let fault = Fault::new("exact-name", part.span, message).label("a name for a number");
                        let fault = fault.also(self.feature(of).name_span, "given here");
                        faults.push(fault.help(
                            "name the dimension itself: of a `tongue`, `slot`, `hole`, `pin` or `distance`, or of something `bought`",
                        ));
                    }
                });
            }
        }
        for fault in faults {
            self.report(fault);
        }
    }

    fn one_sided(&self, id: FeatureId, field: &Field) -> Option<Fault> {
        let written = field.written.as_ref()?;
        let ValueKind::Bound { side, .. } = &written.value.kind else { return None };
        let value = field.value.get()?.as_ref()?.text();
        let (known, open) = match side {
            Side::Least => ("at least", "more"),
            Side::Most => ("at most", "less"),
        };
        let path = self.field_path(id, field);
        let message =
            format!("`{path}` is {known} {value} and counts as {value}: that it may be {open} is not checked");
        let fault = Fault::new("one-sided-bound", written.value.span, message).label("known to one side only");
        Some(fault.help("measure it, or write both bounds: `between … and …`"))
    }

    fn at_middle(&self, id: FeatureId, field: &Field) -> Option<Fault> {
        let written = field.written.as_ref().filter(|_| self.is_drawn(id))?;
        let drawn: Vec<&Expr> = match &written.value.kind {
            ValueKind::Plain(expr) | ValueKind::Toleranced { nominal: expr, .. } => vec![expr],
            ValueKind::Size(extents) => extents.iter().collect(),
            _ => return None,
        };
        let evaluation = Evaluation::written(self, id, field);
        let bounded = drawn.into_iter().find_map(|expr| {
            let terms = evaluation.quantity(expr).ok()?.terms;
            let inputs = terms.into_iter().filter_map(|term| self.input(term.input));
            inputs.into_iter().find(|input| input.kind == InputKind::Bounds)
        })?;
        let Input { label, at, .. } = bounded;
        let path = self.field_path(id, field);
        let message = format!("`{path}` is drawn from the middle of bounds ({label})");
        let fault = Fault::new("drawn-at-middle", written.value.span, message).label("takes the middle");
        let fault = match at {
            Some(at) => fault.also(at, "known by bounds only"),
            None => fault,
        };
        Some(fault.help("measure it, or say which is meant: `low(…)`, `middle(…)` or `high(…)`"))
    }
}
