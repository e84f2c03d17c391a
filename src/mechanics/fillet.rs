use uom::si::f64::{Length, Ratio};
use uom::si::ratio::ratio;

use super::out_of_range::{OutOfRange, check, positive};

/// Surface strain in the root fillet over the nominal root strain `6 F L / (E b t^2)`, `L` to the face.
///
/// For equal fillets of `radius` on both sides of an arm of `thickness` and `length` that grows from a block, in bending
/// by a tip load. Valid from `R/t` 0.1 to 1, from `L/t` 2.5 up, `L` at least twice `R`. A short arm with a large fillet
/// gives a factor below one: the thick part of the fillet carries the largest moment.
///
/// # Errors
/// [`OutOfRange`] outside the valid range.
///
/// Source: fitted to plane-stress finite elements (quadratic, 60 cases, `R/t` 0.1 to 1, `L/t` 2.5 to 20, Poisson's ratio
/// 0.38; between 0.3 and 0.45 it moves by 0.3 %); largest error of the fit 0.8 %. `tests/reference` computes cases anew.
pub fn stress_factor(radius: Length, thickness: Length, length: Length) -> Result<Ratio, OutOfRange> {
    let thickness = positive("thickness", thickness.value)?;
    let sharpness = radius.value / thickness;
    check("radius", sharpness, "from 0.1 to 1 thickness", (0.1..=1.0).contains(&sharpness))
        .map_err(|error| error.by("thickness"))?;
    let slim = thickness / positive("length", length.value)?;
    check("length", slim, "at least 2.5 thicknesses", slim <= 0.4).map_err(|error| error.by("thickness"))?;
    let long = 0.9503 + 0.1914 * sharpness.powf(-0.7291);
    let short = 0.283 - 1.6521 * sharpness + 0.427 * sharpness * sharpness;
    Ok(Ratio::new::<ratio>(long + short * slim))
}
