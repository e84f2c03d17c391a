//! What a dimension is measured with.

use crate::model::{FeatureId, Field, Model, Value};
use crate::vocabulary::Makes;

/// Below this, the lands of inside jaws touch the wall of a round hole beside its diameter and read low: by
/// D - sqrt(D² - f²) for lands f wide, 0.04 mm at 8 mm with lands of 0.8 mm (geometry). Pins and drill shanks do not.
const ROUND: f64 = 8.0;
/// Narrower gaps do not take a caliper's inside jaws. Common practice, no published source.
const NARROW: f64 = 2.5;

/// What a dimension is measured with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Jaws {
    /// The caliper's outside jaws.
    Outside,
    /// Its inside jaws.
    Inside,
    /// Its depth rod.
    Depth,
    /// Pins or drill shanks of known diameter: the largest that goes in by its own weight.
    Pins,
    /// Feeler gauges or strips of known thickness: the most that goes in.
    Feelers,
    /// Outside jaws over two features, and inside jaws between them: the pitch is half their sum.
    Spacing,
}

impl Jaws {
    /// What a drawn dimension is measured with; `None` for what the machine does not make or what has no number.
    pub(super) fn of(model: &Model, id: FeatureId, field: &Field) -> Option<Self> {
        let value = match model.value_of(id, field).ok()? {
            Value::Quantity(quantity) => quantity.value,
            Value::Size(_) => return Some(Self::Outside),
            _ => return None,
        };
        Some(match field.about.makes? {
            Makes::Outside => Self::Outside,
            Makes::Spacing => Self::Spacing,
            Makes::Hole if value < ROUND => Self::Pins,
            Makes::Inside if field.about.along.as_deref() == Some("axis") => Self::Depth,
            Makes::Inside if value < NARROW => Self::Feelers,
            Makes::Hole | Makes::Inside => Self::Inside,
        })
    }

    /// What to take, in a few words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Outside => "outside jaws",
            Self::Inside => "inside jaws",
            Self::Depth => "depth rod",
            Self::Pins => "pins or drill shanks",
            Self::Feelers => "feeler strips",
            Self::Spacing => "outside and inside jaws, half the sum",
        }
    }
}
