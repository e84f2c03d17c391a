//! An original and its copy side by side, both read with the same jaws: where their difference comes from.

use super::numbers::numbers;
use super::{Entry, Lesson, SheetNotes};
use crate::learning::figures::Figures;
use crate::learning::reading;
use crate::model::Model;
use crate::notes::{Again, dimension};

/// What to put right first; never two of them at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum First {
    /// Nothing: all is as foretold.
    Nothing,
    /// The sheet's reading of the original.
    Readings,
    /// The machine's own figures.
    Machine,
    /// The copy's drawing.
    Drawing,
}

/// An original that was read again.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Original {
    /// Its path.
    pub path: String,
    /// What the sheet says of it, in mm.
    pub stated: f64,
    /// What it was read as now.
    pub again: f64,
    /// How far apart these are, in their standard uncertainty.
    pub zeta: f64,
    /// Its copies.
    pub copies: Vec<Copy>,
}

/// A copy beside its original: the difference taken apart, in mm. Its parts sum to `copy - again`.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Copy {
    /// Its path, and on which object.
    pub path: String,
    /// See [`Copy::path`].
    pub object: String,
    /// What the copy was read as.
    pub copy: f64,
    /// The standard uncertainty of the difference: what the jaws are off cancels.
    pub u: f64,
    /// Drawn more than the sheet says of the original: intended.
    pub intended: f64,
    /// The sheet's reading less the new one.
    pub reading: f64,
    /// What the machine adds to all of its kind: the bias as learnt, shrinkage and facets.
    pub machine: f64,
    /// What is left: the copy's own.
    pub rest: f64,
    /// The score of that.
    pub rest_zeta: f64,
    /// What to put right first.
    pub first: First,
}

/// The originals that notes read again, each with its copies among the readings.
pub(super) fn originals(
    model: &Model,
    one: &SheetNotes,
    read: &[(&Lesson, &Entry)],
    scatter: f64,
    figures: &Figures,
) -> Vec<Original> {
    one.notes.again.iter().map(|again| original(model, again, read, scatter, figures)).collect()
}

fn original(model: &Model, again: &Again, read: &[(&Lesson, &Entry)], scatter: f64, figures: &Figures) -> Original {
    let mean = reading::mean(&again.readings);
    // The sheet's own readings were as many, of the same hand: what the jaws are off cancels.
    let u = reading::own_variance(scatter, again.readings.len(), again.gauge.step).sqrt();
    let zeta = (again.stated - mean) / reading::copy_less_original_u(u, u);
    let copies = read.iter().filter(|(_, entry)| is_copy(model, &entry.path, &again.path)).map(|(lesson, entry)| {
        let own = reading::own_variance(scatter, entry.readings.len(), again.gauge.step).sqrt();
        let (bias, rest_zeta) = (lesson.learnt.bias(entry.length).mean, entry.left_out.zeta());
        let machine = entry.unbiased - entry.drawn + bias;
        let first = if zeta.abs() > figures.seldom_from {
            First::Readings
        } else if lesson.is_systematic() {
            First::Machine
        } else if rest_zeta.abs() > figures.seldom_from {
            First::Drawing
        } else {
            First::Nothing
        };
        Copy {
            path: entry.path.clone(),
            object: entry.object.clone(),
            copy: entry.came,
            u: reading::copy_less_original_u(u, own),
            intended: entry.drawn - again.stated,
            reading: again.stated - mean,
            machine,
            rest: entry.came - entry.drawn - machine,
            rest_zeta,
            first,
        }
    });
    let copies = copies.collect();
    Original { path: again.path.clone(), stated: again.stated, again: mean, zeta, copies }
}

/// Whether a dimension is a copy of an original: drawn from it, or mated with it in a fit.
fn is_copy(model: &Model, path: &str, original: &str) -> bool {
    let is_mated = model.ids().filter(|(_, feature)| &*feature.block.name == "fit").any(|(id, _)| {
        let is = |name: &str, wanted: &str| dimension(model, id, name).is_some_and(|(path, _)| path == wanted);
        (is("inside", path) && is("outside", original)) || (is("outside", path) && is("inside", original))
    });
    is_mated || numbers(model, &[path]).iter().any(|number| number.name == original)
}
