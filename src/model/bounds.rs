//! Notes on dimensions that are known to one side only, and on names and numbers that count as exact.

use super::{Evaluation, Feature, FeatureId, Field, Model, Value};
use crate::fault::{Beside, Fault, ValueFault};
use crate::syntax::tree::{ExprKind, Side, ValueKind};
use crate::vocabulary::Act;

impl Model<'_> {
    /// Notes what counts as its one bound.
    pub(super) fn note_bounds(&self) {
        let all = self.ids().filter(|(_, feature)| !feature.imported);
        // A copy says what its source says.
        let own = |id: FeatureId, field: &Field| field.written.as_ref().is_some_and(|written| written.scope == id);
        let of = |(id, feature): (FeatureId, &Feature)| {
            feature.fields.iter().filter(|field| own(id, field)).filter_map(|field| self.one_sided(id, field)).collect()
        };
        let faults: Vec<Vec<Fault>> = all.map(of).collect();
        for fault in faults.into_iter().flatten() {
            self.report(fault);
        }
    }

    /// Notes the names and numbers that a fit or a stack takes as exact: nothing says how what they mean is made.
    pub(super) fn note_exact(&self) {
        let mut faults = Vec::new();
        for (id, feature) in self.ids().filter(|(_, feature)| !feature.imported) {
            for field in &feature.fields {
                let Some(written) = field.written.as_ref().filter(|_| field.about.joins) else { continue };
                faults.extend(self.exact_number(id, field));
                let evaluation = Evaluation::written(self, id, field);
                written.value.walk(&mut |part| {
                    let ExprKind::Path(path) = &part.kind else { return };
                    let Ok(Some((of, index))) = evaluation.field_at(path) else { return };
                    let value = self.value_of(of, &self.feature(of).fields[index]);
                    let is_exact = matches!(value, Ok(Value::Quantity(value)) if value.terms.is_empty());
                    if is_exact && self.feature(of).block.act == Act::Binds {
                        let fault = ValueFault::ExactName { name: path.text() }.at(part.span);
                        faults.push(fault.also(self.feature(of).name_span, Beside::Given));
                    }
                });
            }
        }
        for fault in faults {
            self.report(fault);
        }
    }

    /// A dimension that is a number alone: nothing says how sure it is. In a sum with dimensions it is an allowance.
    fn exact_number(&self, id: FeatureId, field: &Field) -> Option<Fault> {
        let written = field.written.as_ref()?;
        let (ValueKind::Plain(expr), None) = (&written.value.kind, &written.class) else { return None };
        let mut is_bare = true;
        expr.walk(&mut |part| is_bare &= !matches!(part.kind, ExprKind::Path(_)));
        let Ok(Value::Quantity(number)) = self.value_of(id, field) else { return None };
        is_bare.then(|| ValueFault::ExactNumber { number: number.text() }.at(written.value.span))
    }

    fn one_sided(&self, id: FeatureId, field: &Field) -> Option<Fault> {
        let written = field.written.as_ref()?;
        let ValueKind::Bound { side, .. } = &written.value.kind else { return None };
        let value = self.known((id, field.index), |known| known.value.clone())??.text();
        let code = ValueFault::OneSided { path: self.field_path(id, field), value, is_least: *side == Side::Least };
        Some(code.at(written.value.span))
    }
}
