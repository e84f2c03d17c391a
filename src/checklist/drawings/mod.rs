//! What the page draws of a part: three views as it lies on the bed, and what has no place as details beside them.

mod balloons;
mod detail;
mod legend;
mod sheet;
mod view;

use maud::{Markup, PreEscaped, html};

use super::PartPage;
use super::page::safe;
use crate::model::{FeatureId, Model};
use detail::Detail;
use legend::Entry;
use view::Views;

/// The drawings of one part, and the list of what they show.
#[derive(Debug, Clone, Default)]
pub struct Drawings {
    views: Option<(String, String)>,
    details: Vec<(String, String)>,
    entries: Vec<Entry>,
}

impl Drawings {
    pub(super) fn markup(&self) -> Markup {
        html! {
            @if !self.entries.is_empty() {
                section {
                    h3 { "Drawing" }
                    @if let Some((picture, words)) = &self.views {
                        figure.drawing { (PreEscaped(picture)) figcaption { (safe(words)) } }
                    }
                    @if !self.details.is_empty() {
                        div.drawings {
                            @for (picture, words) in &self.details {
                                figure.drawing { (PreEscaped(picture)) figcaption { (safe(words)) } }
                            }
                        }
                    }
                    (legend::markup(&self.entries))
                }
            }
        }
    }
}

/// The drawings of a part.
#[must_use]
pub fn drawings(model: &Model, part: &PartPage) -> Drawings {
    let features = legend::features(model, part.feature);
    let entries = features.iter().enumerate().map(|(index, id)| Entry::of(model, *id, index + 1)).collect();
    let views = Views::of(model, part.feature).map(|views| views.picture(model, &features, &part.name));
    let numbered = features.iter().enumerate();
    let details: Vec<(String, String)> =
        numbered.filter_map(|(index, id)| Some(Detail::of(model, *id)?.picture(&number(index, model, *id)))).collect();
    let fits = legend::fits(model, part);
    let fits = fits.into_iter().filter_map(|id| Some(detail::fit(model, id)?.picture(&model.path(id))));
    let details = details.into_iter().chain(fits).collect();
    Drawings { views, details, entries }
}

fn number(index: usize, model: &Model, id: FeatureId) -> String {
    format!("{}: {}", index + 1, model.feature(id).name)
}
