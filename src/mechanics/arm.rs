use uom::si::f64::{Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::ratio::ratio;

use super::flexure::{Bent, LARGEST, Shape};
use super::out_of_range::{OutOfRange, check, finite, not_negative, poisson_ratio, positive};
use super::root::{self, Root, Softness, softness};

/// The shortest arm over its root thickness.
const SHORTEST: f64 = 1.5;

const TURNS_TOO_FAR: OutOfRange = OutOfRange::new("deflection", "one that turns the tip by less than a right angle");

/// A cantilever spring arm: rectangular section, thickness and width each constant or linear from root to tip.
///
/// Valid for arms at least 1.5 root thicknesses long (at least twice the fillet radius), with Poisson's ratio from 0 to
/// 0.5.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm {
    /// From the face it grows from to the load.
    pub length: Length,
    /// At the root, in the direction of bending.
    pub root_thickness: Length,
    /// At the tip, in the direction of bending.
    pub tip_thickness: Length,
    /// At the root, across the direction of bending.
    pub root_width: Length,
    /// At the tip, across the direction of bending.
    pub tip_width: Length,
    /// What it grows from.
    pub root: Root,
    /// Radius of the fillets on both faces at the root, zero for sharp corners, at most the root thickness.
    pub fillet: Length,
    /// Young's modulus, the secant modulus at the working strain where the material gives one.
    pub modulus: Pressure,
    /// Poisson's ratio.
    pub poisson: Ratio,
}

/// What bending an [`Arm`] does to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArmBending {
    /// Force across the unbent arm that holds the tip aside.
    pub tip_force: Force,
    /// Outer-fibre strain at the root by the moment there, without the notch effect of its corner.
    pub nominal_root_strain: Ratio,
    /// Largest outer-fibre strain along the arm, without the notch effect.
    pub peak_strain: Ratio,
    /// Where along the arm it is, from the root.
    pub peak_at: Length,
    /// `Q`: deflection over that of the same arm clamped rigidly and without shear, at the same small force.
    pub stiffness_factor: Ratio,
    /// Handbook figure `1.5 t y / L^2` of a constant rigid arm of the root's section.
    pub plain_strain: Ratio,
    /// Distance from root to tip along the unbent arm's direction.
    pub tip_reach: Length,
}

impl Arm {
    /// Bend the arm until its tip stands `deflection` aside.
    ///
    /// Beam theory with shear (factor 5/6), a root that gives, and large rotations; the load keeps its direction. The
    /// nominal root strain of constant arms lies within 3 % of plane finite elements from `L/t` 2.5 to 20, and within
    /// 1 % of the elastica up to a deflection of 0.4 of the length.
    ///
    /// ```
    /// use dryfit::mechanics::{arm::Arm, root::Root};
    /// use uom::si::f64::{Length, Pressure, Ratio};
    /// use uom::si::{length::millimeter, pressure::megapascal, ratio::percent, ratio::ratio};
    ///
    /// let mm = Length::new::<millimeter>;
    /// let arm = Arm {
    ///     length: mm(18.0),
    ///     root_thickness: mm(2.0),
    ///     tip_thickness: mm(2.0),
    ///     root_width: mm(8.0),
    ///     tip_width: mm(8.0),
    ///     root: Root::Block,
    ///     fillet: mm(0.0),
    ///     modulus: Pressure::new::<megapascal>(1800.0),
    ///     poisson: Ratio::new::<ratio>(0.38),
    /// };
    /// let bent = arm.bend(mm(1.5))?;
    /// // The plain formula overstates the strain: the root gives.
    /// assert_eq!(format!("{:.2}", bent.plain_strain.get::<percent>()), "1.39");
    /// assert_eq!(format!("{:.2}", bent.peak_strain.get::<percent>()), "1.21");
    /// # Ok::<(), dryfit::mechanics::out_of_range::OutOfRange>(())
    /// ```
    ///
    /// # Errors
    /// [`OutOfRange`] for a length, width or modulus not above zero, a deflection above half the length (less where
    /// a tip tapered below 0.3 of the root would turn by more than some 80 degrees), an arm too short, a fillet too large, or a root out of its own range.
    ///
    /// Source: Euler-Bernoulli and Timoshenko beams, the inextensible elastica (mechanics of materials); the root as
    /// [`Root`] says.
    pub fn bend(&self, deflection: Length) -> Result<ArmBending, OutOfRange> {
        let arm = self.checked()?;
        let aside = not_negative("deflection", deflection.value)? / arm.length;
        check("deflection", aside, "at most half the length", aside <= LARGEST).map_err(|error| error.by("length"))?;
        arm.report(arm.shape().bend(aside).ok_or(TURNS_TOO_FAR)?, aside)
    }

    /// The same, carried on from the edge of the range where the arm or its bend lies beyond it.
    ///
    /// From the furthest bend on, strain and force grow in proportion with the deflection; from the shortest arm on, as in the
    /// plain formulas, with one over the length's square and cube; a wall stays as soft as the last that there are figures for.
    /// That is a rough figure, but one that never falls as the arm gets shorter or is bent further.
    ///
    /// # Errors
    /// [`OutOfRange`] as for [`Arm::bend`] where a length, width or modulus is not above zero, a fillet larger than the
    /// root thickness or half the length, or a tip would turn too far.
    ///
    /// Source: as for [`Arm::bend`]; beyond its range the plain cantilever, `1.5 t y / L^2` and `3 E I y / L^3` (Roark's Formulas for
    /// Stress and Strain, beams, left end free and right end fixed; from memory).
    pub fn bend_beyond(&self, deflection: Length) -> Result<ArmBending, OutOfRange> {
        let arm = self.measured()?;
        let aside = not_negative("deflection", deflection.value)? / arm.length;
        let bent = arm.shape().bend(aside.min(LARGEST)).ok_or(TURNS_TOO_FAR)?;
        let on = (aside / LARGEST).max(1.0);
        arm.report(Bent { phi: bent.phi * on, peak: bent.peak * on, ..bent }, aside)
    }

    /// `Q`: small deflection over that of the same arm clamped rigidly and without shear.
    ///
    /// # Errors
    /// [`OutOfRange`] as for [`Arm::bend`].
    ///
    /// Source: as for [`Arm::bend`]; the magnification factor of the snap-fit handbooks.
    pub fn stiffness_factor(&self) -> Result<Ratio, OutOfRange> {
        let factor = self.checked()?.shape().stiffness_factor();
        Ok(Ratio::new::<ratio>(factor))
    }

    /// The same for an arm of any length, counted as the shortest where it is shorter.
    ///
    /// # Errors
    /// [`OutOfRange`] as for [`Arm::bend_beyond`].
    ///
    /// Source: as for [`Arm::stiffness_factor`].
    pub fn stiffness_factor_beyond(&self) -> Result<Ratio, OutOfRange> {
        let factor = self.measured()?.shape().stiffness_factor();
        Ok(Ratio::new::<ratio>(factor))
    }

    /// How many times as stiff a wide arm is as a beam of the same section: one for a strip, up to `1 / (1 - nu^2)` for a
    /// plate.
    ///
    /// A beam's section bulges sideways as it bends; a clamp, and the width itself, keep a wide arm from that. Within
    /// 0.5 % of solid finite elements of clamped arms with a length of 4 to 15 and a width of 1 to 16 thicknesses.
    /// Counts for forces; the strain along the arm hardly changes. The mean of both widths counts.
    ///
    /// # Errors
    /// [`OutOfRange`] as for [`Arm::bend`].
    ///
    /// Source: the two ends are beam and plate theory (mechanics of materials), between them a fit to those finite
    /// elements.
    pub fn plate_factor(&self) -> Result<Ratio, OutOfRange> {
        Ok(self.checked()?.plate_factor())
    }

    /// The same for an arm of any length.
    ///
    /// # Errors
    /// [`OutOfRange`] as for [`Arm::bend_beyond`].
    ///
    /// Source: as for [`Arm::plate_factor`].
    pub fn plate_factor_beyond(&self) -> Result<Ratio, OutOfRange> {
        Ok(self.measured()?.plate_factor())
    }

    /// The arm, if it is within the range.
    fn checked(&self) -> Result<Checked, OutOfRange> {
        let arm = self.measured()?;
        let slender = arm.length / arm.thickness;
        check("length", slender, "at least 1.5 root thicknesses", slender >= SHORTEST)
            .map_err(|error| error.by("root_thickness"))?;
        root::within(&self.root, self.root_thickness)?;
        Ok(arm)
    }

    /// The arm, if there can be such a one.
    fn measured(&self) -> Result<Checked, OutOfRange> {
        let length = positive("length", self.length.value)?;
        let thickness = positive("root_thickness", self.root_thickness.value)?;
        let width = positive("root_width", self.root_width.value)?;
        let fillet = not_negative("fillet", self.fillet.value)?;
        check("fillet", fillet, "at most half the length", 2.0 * fillet <= length)
            .map_err(|error| error.by("length"))?;
        Ok(Checked {
            length,
            thickness,
            thickness_ratio: positive("tip_thickness", self.tip_thickness.value)? / thickness,
            width,
            width_ratio: positive("tip_width", self.tip_width.value)? / width,
            modulus: positive("modulus", self.modulus.value)?,
            poisson: poisson_ratio(self.poisson.value)?,
            softness: softness(&self.root, self.root_thickness, self.root_width, self.poisson, self.fillet)?,
        })
    }
}

struct Checked {
    length: f64,
    thickness: f64,
    thickness_ratio: f64,
    width: f64,
    width_ratio: f64,
    modulus: f64,
    poisson: f64,
    softness: Softness,
}

impl Checked {
    fn plate_factor(&self) -> Ratio {
        let width = self.width * (1.0 + self.width_ratio) / 2.0;
        let plate = 1.0 / (1.0 - self.poisson * self.poisson) - 1.0;
        let held = 0.62 * (width / self.length).powf(1.42) * (self.length / self.thickness).powf(0.35);
        Ratio::new::<ratio>(1.0 + plate * held / (1.0 + held))
    }

    /// What its strain and force follow from; a shorter arm than the shortest gives like that one, for its length.
    fn shape(&self) -> Shape {
        let t = (self.thickness / self.length).min(1.0 / SHORTEST);
        // A root rotation of C M / (E t^2 b) with M = phi E b t^3 / (12 L^2) times the moment arm, and so on.
        Shape {
            thickness_ratio: self.thickness_ratio,
            width_ratio: self.width_ratio,
            turn_by_moment: self.softness.turn_by_moment * t / 12.0,
            turn_by_shear: self.softness.turn_by_shear * t * t / 12.0,
            sink_by_shear: self.softness.sink_by_shear * t.powi(3) / 12.0,
            // F / (kappa G b t) with kappa = 5/6 and G = E / (2 (1 + nu)).
            shear: 0.2 * (1.0 + self.poisson) * t * t,
        }
    }

    fn report(&self, bent: Bent, aside: f64) -> Result<ArmBending, OutOfRange> {
        let slim = self.thickness / self.length;
        let second_moment = self.width * self.thickness.powi(3) / 12.0;
        let force = bent.phi * self.modulus * second_moment / self.length.powi(2);
        let strain = |factor: f64| Ratio::new::<ratio>(factor * slim / 2.0);
        Ok(ArmBending {
            tip_force: Force::new::<newton>(finite("modulus", force)?),
            nominal_root_strain: strain(bent.phi * bent.reach),
            peak_strain: strain(bent.peak),
            peak_at: Length::new::<meter>(bent.peak_at * self.length),
            stiffness_factor: Ratio::new::<ratio>(bent.stiffness_factor),
            plain_strain: Ratio::new::<ratio>(1.5 * slim * aside),
            tip_reach: Length::new::<meter>(bent.reach * self.length),
        })
    }
}
