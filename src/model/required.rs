//! What every block must say.

use std::collections::HashMap;

use super::{Feature, FeatureId, Field, Model};
use crate::fault::Fault;
use crate::vocabulary::FieldKind;

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
    let kind = &feature.block.name;
    let what = match &feature.name {
        name if *name == **kind => format!("this `{kind}`"),
        name => format!("the {kind} `{name}`"),
    };
    let message = format!("{what} does not say its `{}`", field.name);
    let kind = match &field.about.kind {
        FieldKind::Text => "a text in quotes".to_owned(),
        kind => kind.describe(),
    };
    Fault::new("missing-field", feature.name_span, message)
        .label(format!("no `{}`", field.name))
        .help(format!("add `{} …`: {} It takes {kind}.", field.name, field.about.doc))
}
