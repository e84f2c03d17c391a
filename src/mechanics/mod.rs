//! Textbook mechanics as pure functions with typed units.
//!
//! Every function returns `Result<_, OutOfRange>` when its formula has a limited range: an input outside it is an
//! error that names the input, never a NaN and never a panic. A force that has no finite value (a self-locking hook)
//! is `None` inside the `Ok`. Lengths, forces and strains are magnitudes: they are not negative.

/// Annular (ring) snaps: permissible undercut, strain and mating force.
pub mod annular;
/// Cantilever spring arms with taper, flexible root, shear, fillet and large deflection.
pub mod arm;
/// Beams under end, centre and spread loads: deflection and stress.
pub mod beam;
/// C-shaped spring clamps.
pub mod clamp;
/// Closed-form large-deflection corrections of a constant cantilever.
pub mod deflection;
/// Root fillets: stress factor and stiffening.
pub mod fillet;
/// Glued dowels and dovetails between the pieces of a part.
pub mod glued;
/// Living hinges: strain and bend radius.
pub mod hinge;
/// Round holes printed as polygons.
pub mod hole;
/// The one error of this module and its guards.
pub mod out_of_range;
/// Press fits by Lamé's thick-cylinder formulas.
pub mod press_fit;
/// What an arm grows from, and how far that gives way.
pub mod root;
/// Thread-forming screws in bosses: pull-out, torque, bursting.
pub mod screw;
/// Cross-sections other than the rectangle: outer fibre and section modulus.
pub mod section;
/// Snap forces with friction and a lead or return angle.
pub mod snap;
/// Permissible strain by use, layer direction and temperature.
pub mod strain_limit;
/// Struts: Euler and Johnson.
pub mod strut;
/// Sustained load as a fraction of yield.
pub mod sustained;
/// Torsion bars, round and rectangular.
pub mod torsion;
/// U- and L-shaped spring arms by Castigliano's theorem.
pub mod u_arm;

mod flexure;
mod mesh;
