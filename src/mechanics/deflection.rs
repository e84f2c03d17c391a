use uom::si::f64::{Length, Ratio};
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, not_negative, positive};

/// True root strain over `1.5 t y / L^2` of a constant cantilever clamped rigidly, by its large deflection.
///
/// `aside` is the tip's deflection over the length, from 0 to 0.4. The load keeps its direction. [`super::arm::Arm::bend`]
/// solves the same problem for tapered arms on roots that give; there this closed form is only a rough guide, with the
/// deflection less the part that is the root's rotation.
///
/// # Errors
/// [`OutOfRange`] for a deflection outside 0 to 0.4.
///
/// Source: series of the inextensible elastica in `(y/L)^2` (mechanics of materials), its coefficients fitted to the
/// elliptic-integral solution from 0 to 0.4; largest error 0.001 %.
pub fn strain_factor(aside: Ratio) -> Result<Ratio, OutOfRange> {
    even(aside, STRAIN)
}

/// True tip force over `3 E I y / L^3` of a constant cantilever clamped rigidly, by its large deflection.
///
/// As for [`strain_factor`]; largest error 0.004 %.
///
/// # Errors
/// [`OutOfRange`] for a deflection outside 0 to 0.4.
///
/// Source: as for [`strain_factor`].
pub fn force_factor(aside: Ratio) -> Result<Ratio, OutOfRange> {
    even(aside, FORCE)
}

/// Tip's distance from the root along the unbent cantilever over its length, by its large deflection.
///
/// As for [`strain_factor`]; largest error 0.001 %.
///
/// # Errors
/// [`OutOfRange`] for a deflection outside 0 to 0.4.
///
/// Source: as for [`strain_factor`].
pub fn reach_factor(aside: Ratio) -> Result<Ratio, OutOfRange> {
    even(aside, REACH)
}

/// Strain of the plain formula, `1.5 t y / L^2`: constant section, rigid root, small deflection, no shear.
///
/// # Errors
/// [`OutOfRange`] when the thickness or length is not above zero or the deflection negative.
///
/// Source: Euler-Bernoulli cantilever; Snap-Fit Joints for Plastics - A Design Guide, table 1.
pub fn plain_strain(thickness: Length, length: Length, deflection: Length) -> Result<Ratio, OutOfRange> {
    let thickness = positive("thickness", thickness.value)?;
    let length = positive("length", length.value)?;
    let deflection = not_negative("deflection", deflection.value)?;
    Ok(Ratio::new::<ratio>(1.5 * thickness * deflection / (length * length)))
}

/// Deflection at which the plain formula reaches `strain`, the inverse of [`plain_strain`].
///
/// # Errors
/// [`OutOfRange`] when the thickness or length is not above zero or the strain negative.
///
/// Source: as for [`plain_strain`].
pub fn plain_deflection(thickness: Length, length: Length, strain: Ratio) -> Result<Length, OutOfRange> {
    let thickness = positive("thickness", thickness.value)?;
    let length = positive("length", length.value)?;
    let strain = not_negative("strain", strain.value)?;
    Ok(Length::new::<meter>(strain * length * length / (1.5 * thickness)))
}

// Coefficients of (y/L)^2, (y/L)^4 and (y/L)^6.
const STRAIN: [f64; 3] = [0.428_94, 0.358_77, 0.535_83];
const FORCE: [f64; 3] = [1.030_16, 1.132_92, 2.116_31];
const REACH: [f64; 3] = [-0.600_08, -0.202_42, -0.167_43];

fn even(aside: Ratio, [a, b, c]: [f64; 3]) -> Result<Ratio, OutOfRange> {
    let aside = aside.value;
    check("aside", aside, "from 0 to 0.4", (0.0..=0.4).contains(&aside))?;
    let square = aside * aside;
    Ok(Ratio::new::<ratio>(1.0 + square * (a + square * (b + square * c))))
}
