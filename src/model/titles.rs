//! What goes by a title in quotes instead of a name, and what a sentence calls a feature.

use super::evaluate::Failure;
use super::{FeatureId, Model, Value};
use crate::fault::{Beside, ValueFault, near};
use crate::source::Span;
use crate::vocabulary::{Act, Naming};

impl Model<'_> {
    /// What goes by a title in quotes instead of a name: a block at the top of the sheet, or the sheet itself.
    pub(super) fn titled(&self, title: &str, at: Span) -> Result<FeatureId, Failure> {
        let titles = || self.ids().filter(|(id, _)| self.has_title(*id));
        let mut called = titles().filter(|(_, feature)| feature.name == title);
        match (called.next(), called.next()) {
            (Some((id, _)), None) => Ok(id),
            (Some((_, first)), Some((_, second))) => {
                let fault = ValueFault::TwoTitles { title: title.into() }.at(at);
                let fault = fault.also(first.name_span, Beside::One).also(second.name_span, Beside::TheOther);
                Err(Failure::fault(fault))
            }
            (None, _) if self.is_called(title) => Ok(Self::SHEET),
            (None, _) => {
                let known: Vec<String> = titles().map(|(_, feature)| feature.name.clone()).collect();
                let near = near(title, known.iter().map(String::as_str));
                Err(Failure::fault(ValueFault::NoTitle { title: title.into(), near, known }.at(at)))
            }
        }
    }

    /// Whether a title is the sheet's own.
    fn is_called(&self, title: &str) -> bool {
        let own = self.field(Self::SHEET, "title").and_then(|field| self.value_of(Self::SHEET, field).ok());
        matches!(own, Some(Value::Text(own)) if *own == *title)
    }

    /// Whether a block goes by a title in quotes instead of a name.
    pub(crate) fn has_title(&self, id: FeatureId) -> bool {
        let feature = self.feature(id);
        let holds = feature.block.act == Act::Holds && feature.block.naming == Naming::None;
        holds && id != Self::SHEET && feature.name != feature.block.name
    }

    /// A feature as a sentence names it: its path, or its title as the sheet writes it.
    #[must_use]
    pub fn in_words(&self, id: FeatureId) -> String {
        let path = self.path(id);
        if self.has_title(id) { format!("\"{path}\"") } else { format!("`{path}`") }
    }
}
