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
    }
    .at(feature.name_span)
}
