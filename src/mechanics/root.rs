use std::f64::consts::FRAC_PI_4;

use uom::si::f64::{Length, Ratio};

use super::out_of_range::{OutOfRange, check, poisson_ratio, positive};

/// What an arm grows from, of the arm's own material.
///
/// An arm on a base that gives deflects further at the same strain, so the choice matters most for short arms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Root {
    /// A clamp that neither turns nor sinks: the plain formula's, and the cautious choice.
    Rigid,
    /// A deep block as wide as the arm (plane stress).
    ///
    /// A base wider than the arm is stiffer: for that a thick [`Root::Wall`] is right.
    Block,
    /// A flat wall, wider than the arm, that bends as a plate.
    Wall {
        /// Of the wall, at least 0.35 root thicknesses.
        thickness: Length,
        /// From the arm's middle to where the wall is held, both ways in the direction of bending, at least 1.5 root
        /// thicknesses. A shorter reach is the cautious choice.
        reach: Length,
    },
}

/// How a root gives: rotation `C M / (E t^2 b) + c2 V / (E t b)` and sinking `c2 M / (E t b) + c3 V / (E b)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Softness {
    /// `C`.
    pub turn_by_moment: f64,
    /// `c2`, by reciprocity also the sinking by the moment.
    pub turn_by_shear: f64,
    /// `c3`.
    pub sink_by_shear: f64,
}

/// The thinnest wall, and the nearest at which it is held, over the arm's root thickness.
const THINNEST: f64 = 0.35;
const NEAREST: f64 = 1.5;

/// Errors: `OutOfRange` for a wall too thin or held too near.
pub(super) fn within(root: &Root, thickness: Length) -> Result<(), OutOfRange> {
    if let Root::Wall { thickness: deep, reach } = root {
        let (deep, reach) = (deep.value / thickness.value, reach.value / thickness.value);
        check("root.thickness", deep, "at least 0.35 root thicknesses", deep >= THINNEST)
            .and_then(|_| check("root.reach", reach, "at least 1.5 root thicknesses", reach >= NEAREST))
            .map_err(|error| error.by("root_thickness"))?;
    }
    Ok(())
}

/// Softness of a root under an arm of `thickness` and `width` with fillets of radius `fillet`; a wall too thin or held too
/// near counts as the thinnest, or the nearest, that there are figures for.
///
/// Errors: `OutOfRange` for a wall without size, a fillet above the thickness, or one at a rigid root.
///
/// Source: fitted to finite elements, see [`block`] and [`wall`].
pub(super) fn softness(
    root: &Root,
    thickness: Length,
    width: Length,
    poisson: Ratio,
    fillet: Length,
) -> Result<Softness, OutOfRange> {
    let unit = positive("root_thickness", thickness.value)?;
    let round = fillet.value / unit;
    check("fillet", round, "at most the root thickness", (0.0..=1.0).contains(&round))?;
    match *root {
        Root::Rigid => {
            check("fillet", round, "zero at a rigid root", round <= 0.0)?;
            Ok(Softness { turn_by_moment: 0.0, turn_by_shear: 0.0, sink_by_shear: 0.0 })
        }
        Root::Block => Ok(block(round)),
        Root::Wall { thickness, reach } => {
            let deep = positive("root.thickness", thickness.value)?.max(THINNEST * unit) / unit;
            let reach = positive("root.reach", reach.value)?.max(NEAREST * unit) / unit;
            let sharp = wall(deep, reach, width.value / unit, poisson_ratio(poisson.value)?);
            let (rounded, block) = (block(round), block(0.0));
            Ok(Softness {
                turn_by_moment: sharp.turn_by_moment + rounded.turn_by_moment - block.turn_by_moment,
                turn_by_shear: sharp.turn_by_shear + rounded.turn_by_shear - block.turn_by_shear,
                sink_by_shear: sharp.sink_by_shear + rounded.sink_by_shear - block.sink_by_shear,
            })
        }
    }
}

/// A block, with fillets of radius `round` (over the thickness).
///
/// Fitted to plane-stress finite elements (quadratic, 68 cases: no fillet and `R/t` 0.1 to 1, `L/t` 2.5 to 20, Poisson's
/// ratio 0.38, which hardly matters): largest error of the deflection 0.13 %.
fn block(round: f64) -> Softness {
    Softness {
        turn_by_moment: 4.9989 + round * (-6.4375 + round * (-3.0905 + round * 1.3007)),
        turn_by_shear: 0.3591 + round * (-2.3873 + round * 2.6057),
        sink_by_shear: 2.4996 - 1.2035 * round,
    }
}

/// A wall, all lengths over the arm's root thickness.
///
/// A thin plate of infinite width clamped at both reaches, under a moment spread over the arm's width, and the give of the
/// corner itself. Fitted to the whole deflection of arms on walls by solid finite elements (quadratic, 54 cases: wall 0.5
/// to 5, reach 2.5 to 12, width 1 to 4 root thicknesses, `L/t` 2.5, 6 and 15, Poisson's ratio 0.38; coarse meshes, with the
/// share that finer ones add in five cases): largest error of the fit 1.0 %.
fn wall(deep: f64, reach: f64, width: f64, poisson: f64) -> Softness {
    let plate = plate_turn(deep, reach, width, poisson);
    // Not fitted below one and above four: held there soon after.
    let spread = width.clamp(0.5, 6.0).ln();
    let corner = 3.0109 - 0.1982 * spread;
    let bent = 1.0092 * plate - (0.9514 + 0.3139 * spread) / deep.powi(3);
    Softness {
        turn_by_moment: corner + bent,
        turn_by_shear: 0.1775 + 0.4932 * bent * deep,
        sink_by_shear: -0.5676 + 2.6195 * spread + 0.2315 * plate * deep * deep,
    }
}

/// `C` of a thin plate clamped along both lines at `reach`, turned by a moment spread along a line of `width`.
///
/// Kirchhoff plate by Fourier integral along the line (derived); the integral over the width, a function of
/// `2 reach / width` alone, is fitted within 0.14 % from 0.01 to 10000.
fn plate_turn(deep: f64, reach: f64, width: f64, poisson: f64) -> f64 {
    let slim = 2.0 * reach / width;
    let square = slim * slim;
    // The last number makes the fit right for a reach without end: 0.54209 (pi / 4) / 1.47876.
    let shape = (1.0 + 0.896_47 * slim + 0.542_09 * square) / (1.0 + 0.651_19 * slim + 0.287_91 * square);
    let spread = (FRAC_PI_4 * slim * shape).ln_1p();
    12.0 * (1.0 - poisson * poisson) * width / (4.0 * std::f64::consts::PI * deep.powi(3)) * spread
}
