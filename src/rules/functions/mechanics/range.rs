//! What is said where a formula does not hold: its range, in the words of the rule's function and the sheet's fields.

use super::MechanicsFunction;
use crate::fault::ValueFault;
use crate::mechanics::out_of_range::OutOfRange;
use crate::model::{Evaluation, Value};
use crate::quantity::Quantity;

/// What the mechanics call a parameter and rules do not.
const RENAMED: &[(&str, &str)] = &[
    ("root_thickness", "thickness"),
    ("root_width", "width"),
    ("fillet", "root-fillet"),
    ("root.thickness", "base-thickness"),
    ("root.reach", "base-reach"),
    ("hub.free_diameter", "hub-outside"),
    ("shaft.free_diameter", "shaft-bore"),
];

/// What rules call a parameter and no sheet does, in words.
const IN_WORDS: &[(&str, &str)] =
    &[("hub-outside", "outside around the hole"), ("shaft-bore", "bore of what is pressed in")];

/// That a function's formula does not hold for what it was given.
pub(super) fn fault(
    function: &MechanicsFunction,
    error: OutOfRange,
    values: &[Quantity],
    evaluation: &Evaluation,
) -> ValueFault {
    let input = parameter(function, error.input);
    let told = [Some(input.clone()), error.by.map(|by| parameter(function, by))];
    let here = |name: String| {
        let place = function.takes.iter().position(|(known, _)| *known == name)?;
        Some(here(&name, values.get(place)?, evaluation))
    };
    let here: Vec<String> = told.into_iter().flatten().filter_map(here).collect();
    ValueFault::OutsideFormula {
        function: function.name.to_owned(),
        input: in_words(&input).to_owned(),
        allowed: error.allowed.to_owned(),
        here: here.join(" and "),
    }
}

fn in_words(parameter: &str) -> &str {
    IN_WORDS.iter().find(|(known, _)| *known == parameter).map_or(parameter, |(_, words)| words)
}

/// The name of a parameter in rules.
fn parameter(function: &MechanicsFunction, name: &str) -> String {
    let renamed = RENAMED.iter().find(|(known, _)| *known == name).map(|(_, rule)| *rule);
    let renamed = renamed.filter(|rule| function.takes.iter().any(|(known, _)| known == rule));
    renamed.map_or_else(|| name.replace('_', "-"), str::to_owned)
}

/// `length is 2.7 mm`, and where a field of that name is drawn otherwise, `length is drawn 2.7 mm and prints 2.75 mm`.
fn here(name: &str, value: &Quantity, evaluation: &Evaluation) -> String {
    let feature = evaluation.model.feature(evaluation.feature);
    let field = feature.fields.iter().find(|field| field.name == name);
    let drawn = field.and_then(|field| evaluation.model.value_of(evaluation.feature, field).ok());
    let text = value.text();
    match drawn {
        Some(Value::Quantity(drawn)) if drawn.text() != text => {
            format!("{name} is drawn {} and prints {text}", drawn.text())
        }
        _ => format!("{} is {text}", in_words(name)),
    }
}
