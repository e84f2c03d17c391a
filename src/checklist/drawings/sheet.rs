//! Paper: lengths in tenths of a millimetre, so that a drawing printed at its own size is to scale.

use crate::report::Drawing;

/// Tenths of a millimetre in a millimetre.
pub(super) const MM: f64 = 10.0;

/// A point on the paper, in tenths of a millimetre from its upper left corner.
pub(super) type Point = (f64, f64);

/// Scales that a drawing may have, largest first: what is drawn over what is real.
///
/// ISO 5455 (from memory) has these, and further ones by tens.
const SCALES: [f64; 10] = [10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];

/// The largest usual scale at which something so large, in millimetres, stays within a room on the paper.
pub(super) fn scale(size: (f64, f64), room: (f64, f64)) -> f64 {
    let fits = |scale: &f64| size.0 * scale <= room.0 && size.1 * scale <= room.1;
    SCALES.into_iter().find(fits).unwrap_or(SCALES[SCALES.len() - 1])
}

/// `1 : 2`
pub(super) fn scale_words(scale: f64) -> String {
    if scale >= 1.0 { format!("{scale} : 1") } else { format!("1 : {:.0}", 1.0 / scale) }
}

/// An open picture with so much room, in tenths of a millimetre.
pub(super) fn finish(drawing: Drawing, size: Point, name: &str) -> String {
    drawing.inline((size.0 / MM, size.1 / MM), size, STYLE_CLASS, name)
}

/// The class that the page's style draws by.
const STYLE_CLASS: &str = "plan";
