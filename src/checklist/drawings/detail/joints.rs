//! What two parts do to each other.

use super::arms::run;
use super::{Detail, Measures, rectangle};
use crate::checklist::row::shown;

/// Both sides of a fit as printed, with the clearance between them drawn larger than it is.
pub(super) fn pair(measures: &Measures) -> Detail {
    let [inside, outside, sides] = [0, 1, 2].map(|index| measures.at(index));
    let play = (inside - outside) / sides.max(1.0);
    let way = if play < 0.0 { "interference" } else { "clearance" };
    // So much on the paper, whatever it is: a tenth of the width.
    let gap = 0.1 * outside * play.signum();
    let (core, wall, high) = (outside, outside / 4.0, outside * 0.6);
    let bore = core + 2.0 * gap;
    let outlines = vec![
        (rectangle((0.0, 0.0), (wall, high)), "outline"),
        (rectangle((wall + bore, 0.0), (wall, high)), "outline"),
        (rectangle((wall + gap, high * 0.15), (core, high * 0.7)), "shaded"),
    ];
    let words = format!(
        "{} into {} as printed; {way} {} a side, drawn larger than it is",
        measures.said(1),
        measures.said(0),
        shown(play.abs(), measures.unit(0)),
    );
    Detail { outlines, words, ..Detail::default() }
}

/// From the side: the arm's end with its hook, in the window of the other part that it catches in.
pub(super) fn catch(measures: &Measures) -> Detail {
    let [depth, foot, window, thick] = [0, 1, 2, 3].map(|index| measures.at(index));
    let (lead, back) = (run(depth, measures.get(4)), run(depth, measures.get(5)));
    let aside = (window - foot) / 2.0;
    let lip = window.max(2.0 * depth);
    // The hook's foot begins after the near edge of the window; the other part lies on the arm.
    let from = lip + aside;
    let (over, wall) = (thick + 0.15 * depth, 1.5 * depth);
    let arm = vec![
        (0.0, 0.0),
        (from + foot, 0.0),
        (from + foot, thick),
        ((from + foot - lead).max(from + back), thick + depth),
        (from + back, thick + depth),
        (from, thick),
        (0.0, thick),
    ];
    let outlines = vec![
        (rectangle((0.0, over), (lip, wall)), "shaded"),
        (rectangle((lip + window, over), (lip, wall)), "shaded"),
        (arm, "outline"),
    ];
    let words = format!(
        "from the side: a hook {} deep, its foot {} long, in a window {} wide",
        measures.said(0),
        measures.said(1),
        measures.said(2),
    );
    Detail { outlines, words, ..Detail::default() }
}
