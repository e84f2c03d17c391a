//! What every block must say.

use std::collections::HashMap;

use super::{Feature, FeatureId, Field, Model};
use crate::fault::{Fault, WordFault};
use crate::vocabulary::{FieldKind, Head};

impl Model<'_> {
    /// `strange` counts the words in a feature that it does not know: each may be what it lacks.
    pub(super) fn check_required(&self, strange: &HashMap<FeatureId, usize>) {
        for (id, feature) in self.ids() {
            // A sheet need not have a title to be checked; a `sheet` line must have one.
            if id == Self::SHEET || feature.incomplete {
                continue;
            }
            let lacks = |field: &&Field| {
                field.about.required && field.written.is_none() && !feature.attempted.contains(&field.name)
            };
            let lacking: Vec<&Field> = feature.fields.iter().filter(lacks).collect();
            if strange.get(&id).is_none_or(|strange| lacking.len() > *strange) {
                for field in lacking {
                    self.report(missing(feature, field));
                }
            }
        }
    }
}

/// Whether a feature is called as the sizes are that a field takes: `nut M3 { … }`.
fn is_called_as_size(feature: &Feature, field: &Field) -> bool {
    let number = feature.name.strip_prefix('M').and_then(|number| number.parse::<f64>().ok());
    field.about.sizes.is_some() && number.is_some()
}

fn missing(feature: &Feature, field: &Field) -> Fault {
    let block = feature.block.name.to_string();
    let takes = match &field.about.kind {
        FieldKind::Text => "a text in quotes".to_owned(),
        kind => kind.describe(),
    };
    WordFault::MissingField {
        name: (feature.name != block).then(|| feature.name.clone()),
        block,
        field: field.name.clone(),
        doc: field.about.doc.to_string(),
        takes,
        first_line: (field.about.head == Head::Next)
            .then(|| feature.block.example.as_deref()?.lines().next().map(str::to_owned))
            .flatten(),
        is_size: is_called_as_size(feature, field),
    }
    .at(feature.name_span)
}
