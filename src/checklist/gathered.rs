//! Things to do that differ by their feature alone, in one line.

use crate::rules::{Errand, Moment};

/// A box to tick.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Line {
    /// What to do, and how high the print is then.
    pub says: String,
    /// Why.
    pub because: String,
}

/// The lines of things to do, in their order; what is alike is said once, with the names of all that it is about.
pub(super) fn gathered<'e>(errands: impl Iterator<Item = &'e Errand>) -> Vec<Line> {
    let mut groups: Vec<(Alike, Vec<String>)> = Vec::new();
    for errand in errands {
        let alike = Alike::of(errand);
        match groups.iter_mut().find(|(known, _)| *known == alike) {
            Some((_, names)) => names.push(quoted(errand)),
            None => groups.push((alike, vec![quoted(errand)])),
        }
    }
    groups.into_iter().map(|(alike, names)| alike.line(&names.join(", "))).collect()
}

/// An errand without the name of its feature.
#[derive(PartialEq)]
struct Alike<'e> {
    task: &'e str,
    says: Vec<String>,
    because: Vec<String>,
    height: String,
    /// The whole text, where it does not name its feature: such are never put together.
    whole: Option<&'e str>,
}

impl<'e> Alike<'e> {
    fn of(errand: &'e Errand) -> Self {
        let name = quoted(errand);
        let parts = |text: &str| text.split(&name).map(str::to_owned).collect::<Vec<_>>();
        let says = parts(&errand.says);
        let whole = (says.len() == 1).then_some(errand.about.as_str());
        Self { task: &errand.task, says, because: parts(&errand.because), height: at_height(errand), whole }
    }

    fn line(&self, names: &str) -> Line {
        Line { says: self.says.join(names) + &self.height, because: self.because.join(names) }
    }
}

/// The feature's name as sentences have it.
fn quoted(errand: &Errand) -> String {
    format!("`{}`", errand.about)
}

/// Where the print is then.
fn at_height(errand: &Errand) -> String {
    match errand.height {
        Some(height) if errand.moment == Moment::During => format!(", at {height:.1} mm"),
        _ => String::new(),
    }
}
