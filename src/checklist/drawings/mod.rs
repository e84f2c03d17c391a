//! What the page draws of a part: three views as it lies on the bed, and what has no place as details beside them.

mod balloons;
mod detail;
mod legend;
mod marks;
mod sheet;
mod tags;
mod view;

use maud::{Markup, PreEscaped, html};

use super::PartPage;
use super::page::safe;
use crate::model::{FeatureId, Model};
use crate::rules::Mark;
use detail::{Detail, Picture};
use legend::Entry;
use view::Views;

/// The drawings of one part, and the list of what they show.
#[derive(Debug, Clone, Default)]
pub struct Drawings {
    views: Option<(String, String)>,
    details: Vec<Picture>,
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
                            @for one in &self.details {
                                figure.drawing {
                                    (PreEscaped(&one.svg))
                                    figcaption { strong { (safe(&one.names.join(", "))) } " (" (safe(&one.words)) ")" }
                                }
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
    let marks: Vec<(FeatureId, Mark)> =
        part.errands.iter().filter_map(|errand| Some((errand.feature, errand.marks?))).collect();
    let entry = |(index, id): (usize, &FeatureId)| Entry::of(model, *id, index + 1, &marks);
    let entries = features.iter().enumerate().map(entry).collect();
    let views = Views::of(model, part.feature).map(|views| views.picture(model, &features, &marks, &part.name));
    let own = features.iter().enumerate().filter(|(_, id)| !Detail::is_in_views(model, **id));
    let own = own.filter_map(|(index, id)| Some(Detail::of(model, *id)?.picture(number(index, model, *id))));
    let joints = legend::joints(model, part);
    let joints = joints.into_iter().filter_map(|id| Some(Detail::of(model, id)?.picture(model.path(id))));
    Drawings { views, details: detail::gathered(own.chain(joints)), entries }
}

fn number(index: usize, model: &Model, id: FeatureId) -> String {
    format!("{}: {}", index + 1, model.feature(id).name)
}
