//! What happens at the edges: inputs out of range, locked ramps, limits of formulas, and the formulas no table covers.

use dryfit::mechanics::arm::Arm;
use dryfit::mechanics::out_of_range::OutOfRange;
use dryfit::mechanics::root::Root;
use dryfit::mechanics::screw::Thread;
use dryfit::mechanics::strain_limit::{self, Use};
use dryfit::mechanics::strut::{self, Ends, Strut};
use dryfit::mechanics::torsion::{self, Bar, Section};
use dryfit::mechanics::u_arm::{self, BentArm, Turn};
use dryfit::mechanics::{annular, beam, deflection, fillet, hinge, hole, press_fit, screw, section, snap, sustained};
use uom::si::area::square_millimeter;
use uom::si::f64::{Area, Length, TemperatureInterval};
use uom::si::temperature_interval::kelvin;

use crate::given::{arm, deg, mm, mpa, newtons, one};

fn at_fault<T: std::fmt::Debug>(result: Result<T, OutOfRange>) -> &'static str {
    result.unwrap_err().input
}

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance * expected.abs(), "{found} is not {expected}");
}

/// Spoils one field of an arm that is otherwise good.
type Spoil = fn(&mut Arm, f64);

#[test]
fn an_arm_names_the_dimension_at_fault() {
    let spoils: [(&str, Spoil); 6] = [
        ("length", |arm, bad| arm.length = mm(bad)),
        ("root_thickness", |arm, bad| arm.root_thickness = mm(bad)),
        ("tip_thickness", |arm, bad| arm.tip_thickness = mm(bad)),
        ("root_width", |arm, bad| arm.root_width = mm(bad)),
        ("tip_width", |arm, bad| arm.tip_width = mm(bad)),
        ("modulus", |arm, bad| arm.modulus = mpa(bad)),
    ];
    for (name, spoil) in spoils {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let mut arm = arm(10.0, 1.0, 1.0, Root::Block);
            spoil(&mut arm, bad);
            assert_eq!(at_fault(arm.bend(mm(1.0))), name);
        }
    }
}

#[test]
fn an_arm_names_the_limit_it_passes() {
    let wall = |thickness, reach| Root::Wall { thickness: mm(thickness), reach: mm(reach) };
    let fault = |length, fillet, root, poisson, deflection| {
        let good = arm(length, 1.0, 1.0, root);
        let spoilt = Arm { fillet: mm(fillet), poisson: one(poisson), ..good };
        at_fault(spoilt.bend(mm(deflection)))
    };
    assert_eq!(fault(10.0, 0.0, Root::Block, 0.6, 1.0), "poisson");
    assert_eq!(fault(1.4, 0.0, Root::Block, 0.4, 0.1), "length");
    assert_eq!(fault(10.0, -0.1, Root::Block, 0.4, 1.0), "fillet");
    assert_eq!(fault(10.0, 1.1, Root::Block, 0.4, 1.0), "fillet");
    assert_eq!(fault(1.6, 0.9, Root::Block, 0.4, 0.1), "fillet");
    assert_eq!(fault(10.0, 0.2, Root::Rigid, 0.4, 1.0), "fillet");
    assert_eq!(fault(10.0, 0.0, wall(0.2, 5.0), 0.4, 1.0), "root.thickness");
    assert_eq!(fault(10.0, 0.0, wall(1.0, 1.0), 0.4, 1.0), "root.reach");
    assert_eq!(fault(10.0, 0.0, Root::Block, 0.4, 5.1), "deflection");
    assert_eq!(fault(10.0, 0.0, Root::Block, 0.4, -1.0), "deflection");
}

#[test]
fn an_unbent_arm_is_at_rest() {
    let bent = arm(10.0, 0.4, 0.5, Root::Block).bend(mm(0.0)).unwrap();
    assert!(bent.tip_force.value.abs() <= 0.0 && bent.peak_strain.value.abs() <= 0.0);
    near(bent.tip_reach.value, 0.01, 1e-12);
}

#[test]
fn a_constant_arm_is_strained_most_at_its_root() {
    let bent = arm(10.0, 1.0, 1.0, Root::Block).bend(mm(2.0)).unwrap();
    assert!(bent.peak_at <= mm(0.0));
    near(bent.peak_strain.value, bent.nominal_root_strain.value, 1e-12);
}

#[test]
fn an_arm_tapered_both_ways_is_strained_most_where_calculus_says() {
    for (thickness, width) in [(0.3, 0.5), (0.25, 1.3), (0.2, 0.1), (0.45, 1.0)] {
        let arm = arm(5000.0, thickness, width, Root::Rigid);
        let bent = arm.bend(mm(0.1)).unwrap();
        let u = 1.0 - (bent.peak_at / arm.length).value;
        assert!(u < 1.0);
        // The derivative of u / (b t^2), with b and t linear in u, is zero.
        let (db, dt) = (1.0 - width, 1.0 - thickness);
        near(2.0 * db * dt * u * u + width * dt * u, width * thickness, 1e-9);
    }
}

#[test]
fn the_solver_settles_over_its_whole_range() {
    for root in [Root::Rigid, Root::Block, Root::Wall { thickness: mm(0.5), reach: mm(10.0) }] {
        for length in [1.5, 3.0, 8.0, 40.0] {
            for (thickness, width) in [(1.0, 1.0), (0.2, 1.0), (1.0, 0.01), (0.3, 0.3), (2.0, 2.0)] {
                let arm = arm(length, thickness, width, root);
                let bent = arm.bend(arm.length * 0.499).unwrap();
                assert!(bent.peak_strain.value.is_finite() && bent.tip_force.value > 0.0);
            }
        }
    }
}

#[test]
fn a_thick_wall_is_no_softer_than_a_block() {
    let factor = |root| arm(5.0, 1.0, 1.0, root).stiffness_factor().unwrap();
    let wall = |thickness| factor(Root::Wall { thickness: mm(thickness), reach: mm(8.0) });
    assert!(wall(4.0) < factor(Root::Block));
    assert!(wall(4.0) > factor(Root::Rigid));
    assert!(wall(0.6) > factor(Root::Block));
}

#[test]
fn a_ramp_locks_where_friction_says_so() {
    let factor = |angle, friction| snap::ramp_factor(deg(angle), one(friction)).unwrap();
    assert_eq!(factor(90.0, 0.0), None);
    assert_eq!(factor(90.0, 0.3), None);
    assert_eq!(factor(45.0, 1.0), None);
    near(factor(45.0, 0.5).unwrap().value, 3.0, 1e-12);
    assert_eq!(snap::ramp_force(newtons(5.0), deg(80.0), one(0.3), 2).unwrap(), None);
    assert_eq!(at_fault(snap::ramp_factor(deg(91.0), one(0.3))), "angle");
    assert_eq!(at_fault(snap::ramp_factor(deg(-1.0), one(0.3))), "angle");
    assert_eq!(at_fault(snap::ramp_factor(deg(30.0), one(-0.1))), "friction");
    assert_eq!(at_fault(snap::ramp_force(newtons(5.0), deg(30.0), one(0.3), 0)), "arms");
}

#[test]
fn a_return_angle_gives_its_pull() {
    let angle = snap::return_angle(newtons(12.0), newtons(8.0), one(0.3)).unwrap().unwrap();
    near(snap::ramp_force(newtons(8.0), angle, one(0.3), 1).unwrap().unwrap().value, 12.0, 1e-12);
    assert_eq!(snap::return_angle(newtons(1.0), newtons(8.0), one(0.3)).unwrap(), None);
}

#[test]
fn fillets_and_closed_forms_keep_to_their_range() {
    assert_eq!(at_fault(fillet::stress_factor(mm(0.05), mm(1.0), mm(10.0))), "radius");
    assert_eq!(at_fault(fillet::stress_factor(mm(1.2), mm(1.0), mm(10.0))), "radius");
    assert_eq!(at_fault(fillet::stress_factor(mm(0.5), mm(1.0), mm(2.0))), "length");
    assert_eq!(at_fault(deflection::strain_factor(one(0.41))), "aside");
    assert_eq!(at_fault(deflection::force_factor(one(-0.1))), "aside");
    near(deflection::plain_strain(mm(2.0), mm(20.0), mm(1.0)).unwrap().value, 0.0075, 1e-12);
    near(deflection::plain_deflection(mm(2.0), mm(20.0), one(0.0075)).unwrap().value, 1e-3, 1e-12);
}

#[test]
fn a_polygon_hole_is_tight_by_its_chords() {
    // cos 60, 45 and 30 degrees.
    for (sides, factor) in [(3, 0.5), (4, 0.5_f64.sqrt()), (6, 0.75_f64.sqrt())] {
        near(hole::chord_factor(sides).unwrap().value, factor, 1e-12);
    }
    let drawn = hole::corner_diameter(mm(5.0), 12).unwrap();
    near(hole::clear_diameter(drawn, 12).unwrap().value, 5e-3, 1e-12);
    assert_eq!(at_fault(hole::chord_factor(2)), "sides");
    assert_eq!(at_fault(hole::clear_diameter(mm(0.0), 8)), "diameter");
}

#[test]
fn a_share_of_the_yield_stress_is_reached_on_a_parabola() {
    let at = |share, modulus| {
        strain_limit::strain_share(one(share), mpa(modulus), one(0.02), mpa(40.0)).map(|share| share.value)
    };
    // As stiff all the way: a straight line.
    near(at(0.6, 2000.0).unwrap(), 0.6, 1e-12);
    // Twice as stiff at first: 2 x - x^2 = 0.75 at a half; stiffer still counts as that.
    near(at(0.75, 4000.0).unwrap(), 0.5, 1e-12);
    near(at(0.75, 9000.0).unwrap(), 0.5, 1e-12);
    // Softer than its own yield point at first: counts as a straight line.
    near(at(0.6, 500.0).unwrap(), 0.6, 1e-12);
    // In between, what comes out lies on the curve.
    let x = at(0.6, 3000.0).unwrap();
    near(1.5 * x - 0.5 * x * x, 0.6, 1e-12);
    near(at(1.0, 3000.0).unwrap(), 1.0, 1e-12);
    assert_eq!(at_fault(at(0.0, 3000.0)), "share");
    assert_eq!(at_fault(at(1.1, 3000.0)), "share");
    assert_eq!(at_fault(at(0.5, 0.0)), "modulus");
}

#[test]
fn a_strain_falls_evenly_with_the_logarithm_of_its_repeats() {
    let at = |cycles: f64, many: f64| {
        strain_limit::repeated(one(0.03), one(0.018), one(cycles), one(10.0), one(many)).map(|strain| strain.value)
    };
    for (cycles, expected) in [(1.0, 0.03), (10.0, 0.03), (1000_f64.sqrt(), 0.024), (100.0, 0.018), (1e6, 0.018)] {
        near(at(cycles, 100.0).unwrap(), expected, 1e-12);
    }
    assert_eq!(at_fault(at(0.5, 100.0)), "cycles");
    assert_eq!(at_fault(at(20.0, 10.0)), "many");
    // Once may be what few is.
    let from = |few: f64| strain_limit::repeated(one(0.03), one(0.018), one(10.0), one(few), one(100.0));
    near(from(1.0).unwrap().value, 0.024, 1e-12);
    assert_eq!(at_fault(from(0.5).map(|strain| strain.value)), "few");
}

#[test]
fn warmth_takes_its_share_along_a_line() {
    let left = |temperature: f64, limit: f64| {
        let [above, span] = [temperature - 23.0, limit - 23.0].map(TemperatureInterval::new::<kelvin>);
        strain_limit::warmth(above, span, one(0.6), one(0.05)).map(|share| share.value)
    };
    for (temperature, expected) in [(-20.0, 1.0), (23.0, 1.0), (38.0, 0.8), (53.0, 0.6), (68.0, 0.4), (200.0, 0.05)] {
        near(left(temperature, 53.0).unwrap(), expected, 1e-9);
    }
    assert_eq!(at_fault(left(30.0, 23.0)), "span");
}

#[test]
fn a_strain_limit_meets_both_directions() {
    let limit = |angle, bond| {
        let usage =
            Use { once: one(0.04), repeated: one(0.6), bond: one(bond), angle: deg(angle), temperature: one(0.8) };
        strain_limit::limit(&usage)
    };
    near(limit(0.0, 0.4).unwrap().value, 0.0192, 1e-12);
    near(limit(90.0, 0.4).unwrap().value, 0.0192 * 0.4, 1e-12);
    // At 45 degrees Hankinson's formula is the harmonic mean, 2 k / (1 + k).
    near(limit(45.0, 0.4).unwrap().value, 0.0192 * 0.8 / 1.4, 1e-12);
    assert_eq!(at_fault(limit(45.0, 0.0)), "bond");
    assert_eq!(at_fault(limit(45.0, 1.1)), "bond");
    assert_eq!(at_fault(limit(100.0, 0.5)), "angle");
}

#[test]
fn a_sustained_stress_is_measured_against_its_part_of_yield() {
    near(sustained::usage(mpa(6.0), mpa(40.0), one(0.25)).unwrap().value, 0.6, 1e-12);
    near(sustained::permissible(mpa(40.0), one(0.25)).unwrap().value, 10e6, 1e-12);
    assert_eq!(at_fault(sustained::usage(mpa(6.0), mpa(40.0), one(1.5))), "fraction");
    assert_eq!(at_fault(sustained::usage(mpa(6.0), mpa(0.0), one(0.2))), "yield_stress");
}

fn strut(length: f64, ends: Ends) -> Strut {
    Strut {
        length: mm(length),
        area: Area::new::<square_millimeter>(10.0),
        gyration: mm(1.0),
        ends,
        modulus: mpa(2000.0),
        yield_stress: mpa(50.0),
    }
}

#[test]
fn johnson_and_euler_meet_at_half_the_yield_stress() {
    // Euler's stress is 25 MPa at a slenderness of pi sqrt(2000 / 25).
    let meeting = std::f64::consts::PI * 80.0_f64.sqrt();
    for shift in [-1e-6, 1e-6] {
        let load = strut::critical_load(&strut(meeting + shift, Ends::Pinned)).unwrap();
        near(load.value, 250.0, 1e-6);
    }
    near(strut::critical_load(&strut(1e-3, Ends::Pinned)).unwrap().value, 500.0, 1e-6);
    let slender = strut(300.0, Ends::ClampedFree);
    assert_eq!(strut::critical_load(&slender).unwrap(), strut::euler_load(&slender).unwrap());
    assert_eq!(at_fault(strut::euler_load(&strut(0.0, Ends::Pinned))), "length");
}

#[test]
fn tightening_matches_the_wedge_of_the_thread() {
    let thread = Thread {
        pitch_diameter: mm(3.0),
        pitch: mm(1.5),
        flank: deg(15.0),
        friction: one(0.2),
        head_diameter: mm(5.0),
        head_friction: one(0.25),
    };
    let torque = screw::tightening_torque(&thread, newtons(100.0)).unwrap().unwrap();
    let climb = (1.5_f64 / (3.0 * std::f64::consts::PI)).atan();
    let grip = (0.2_f64 / 15.0_f64.to_radians().cos()).atan();
    near(torque.value, 0.1 * (1.5 * (climb + grip).tan() + 0.25 * 2.5), 1e-12);
    let stuck = Thread { friction: one(10.0), ..thread };
    assert_eq!(screw::tightening_torque(&stuck, newtons(100.0)).unwrap(), None);
    assert_eq!(at_fault(screw::tightening_torque(&Thread { flank: deg(90.0), ..thread }, newtons(1.0))), "flank");
}

#[test]
fn a_boss_bursts_like_a_press_fit_hub() {
    let found = screw::boss_hoop_stress(newtons(300.0), deg(30.0), mm(3.5), mm(8.0), mm(7.0)).unwrap();
    let pressure = 300.0 * 30.0_f64.to_radians().tan() / (std::f64::consts::PI * 3.5 * 8.0);
    near(found.value, 1e6 * pressure * 5.0 / 3.0, 1e-12);
    for small in [3.0, 3.5] {
        let refused = screw::boss_hoop_stress(newtons(300.0), deg(30.0), mm(3.5), mm(8.0), mm(small));
        assert_eq!(at_fault(refused), "boss_diameter");
    }
    let safety = screw::pull_out_force(mm(3.5), mm(8.0), mpa(40.0), one(1.2), one(0.5));
    assert_eq!(at_fault(safety), "safety");
}

#[test]
fn a_press_fit_inverts_and_rejects() {
    let ring = |free, modulus| press_fit::Ring { free_diameter: mm(free), modulus: mpa(modulus), poisson: one(0.35) };
    let fit = press_fit::PressFit {
        diameter: mm(6.0),
        interference: mm(0.1),
        hub: ring(10.0, 2000.0),
        shaft: ring(3.0, 3000.0),
    };
    let state = press_fit::press(&fit).unwrap();
    let back = press_fit::interference_at_strain(&fit, state.hub_hoop_strain).unwrap();
    near(back.value, 1e-4, 1e-12);
    // Lamé at the bore of a tube pressed from outside: -2 p / (1 - k^2).
    near(state.shaft_hoop_stress.value, -2.0 * state.pressure.value / 0.75, 1e-12);
    let solid = press_fit::press(&press_fit::PressFit { shaft: ring(0.0, 3000.0), ..fit }).unwrap();
    near(solid.shaft_hoop_stress.value, -solid.pressure.value, 1e-12);
    let fault = |fit| at_fault(press_fit::press(&fit));
    assert_eq!(fault(press_fit::PressFit { hub: ring(6.0, 2000.0), ..fit }), "hub.free_diameter");
    assert_eq!(fault(press_fit::PressFit { shaft: ring(6.0, 2000.0), ..fit }), "shaft.free_diameter");
    let stiff = f64::INFINITY;
    assert_eq!(fault(press_fit::PressFit { hub: ring(10.0, stiff), shaft: ring(0.0, stiff), ..fit }), "modulus");
    assert_eq!(fault(press_fit::PressFit { interference: mm(-0.1), ..fit }), "interference");
}

#[test]
fn a_square_bar_turns_either_way_round() {
    let bar = |width, height| Bar {
        length: mm(50.0),
        section: Section::Rectangle { width: mm(width), height: mm(height) },
        modulus: mpa(2000.0),
        poisson: one(0.35),
    };
    let twist = |bar: &Bar| torsion::twist(bar, deg(5.0)).unwrap();
    assert_eq!(twist(&bar(2.0, 5.0)), twist(&bar(5.0, 2.0)));
    // A long thin strip: J = a b^3 / 3, gamma = b phi / l.
    let strip = twist(&bar(1.0, 1000.0));
    near(strip.shear_strain.value, deg(5.0).value / 50.0, 1e-9);
    near(strip.torque.value * 1e3, 2000.0 / 2.7 * 1000.0 / 3.0 * deg(5.0).value / 50.0, 1e-3);
    assert_eq!(at_fault(torsion::lever_angle(mm(10.0), mm(11.0))), "deflection");
    assert_eq!(at_fault(torsion::lever_force(strip.torque, mm(10.0), 0)), "bars");
}

#[test]
fn a_bent_arm_with_a_wide_bend_is_strained_like_a_straight_one() {
    let arm = |turn, radius: f64| BentArm {
        turn,
        tip_leg: mm(5.0),
        root_leg: mm(3.0),
        radius: mm(radius),
        thickness: mm(1.0),
        width: mm(4.0),
        modulus: mpa(2000.0),
    };
    for turn in [Turn::L, Turn::U] {
        let strains = |radius| {
            let bent = u_arm::bend(&arm(turn, radius), mm(0.5)).unwrap();
            bent.inner_strain.value / bent.strain.value
        };
        near(strains(1e5), 1.0, 1e-4);
        // Both forms of the curved-beam factor, on either side of where they change over.
        near(strains(499.0), strains(501.0), 1e-5);
        assert!(strains(1.0) > 1.5);
        assert_eq!(at_fault(u_arm::bend(&arm(turn, 0.5), mm(0.5))), "radius");
    }
}

#[test]
fn small_formulas_reject_what_they_cannot_take() {
    assert_eq!(at_fault(hinge::strain(mm(0.3), mm(0.0), deg(90.0))), "length");
    assert_eq!(at_fault(hinge::strain_at_inner_radius(mm(0.3), mm(-1.0))), "inner_radius");
    let ring = |elastic, free, undercut, from_end| {
        let (diameter, free_diameter) = (mm(20.0), mm(free));
        let tube = annular::Tube { elastic, diameter, free_diameter, modulus: mpa(2000.0), poisson: one(0.4) };
        annular::radial_force(&tube, mm(undercut), mm(from_end))
    };
    assert_eq!(at_fault(ring(annular::Elastic::Hub, 19.0, 0.4, 0.0)), "free_diameter");
    assert_eq!(at_fault(ring(annular::Elastic::Shaft, 21.0, 0.4, 0.0)), "free_diameter");
    assert_eq!(at_fault(ring(annular::Elastic::Shaft, 0.0, -0.4, 0.0)), "undercut");
    assert_eq!(at_fault(ring(annular::Elastic::Shaft, 0.0, 0.4, -1.0)), "from_end");
    assert_eq!(at_fault(section::trapezoid(mm(0.0), mm(0.0), mm(1.0))), "tension_edge");
    let flat = section::ring_segment(mm(5.0), mm(5.0), deg(60.0), section::Tension::Convex);
    assert_eq!(at_fault(flat), "outer");
    let held = beam::Beam {
        length: mm(10.0),
        width: mm(1.0),
        height: mm(1.0),
        modulus: mpa(2000.0),
        support: beam::Support::Fixed,
    };
    assert_eq!(at_fault(beam::bend(&held, beam::Load::End, newtons(1.0))), "load");
    assert_eq!(at_fault(beam::bend(&held, beam::Load::At(held.length * 1.01), newtons(1.0))), "load");
    let said = beam::bend(&held, beam::Load::Centre, newtons(-1.0)).unwrap_err();
    assert_eq!(said.to_string(), "force must be zero or more");
}

#[test]
fn a_triangle_with_its_edge_in_tension_has_a_third_of_its_height() {
    let outline = section::trapezoid(mm(6.0), mm(0.0), mm(3.0)).unwrap();
    near(outline.outer_fibre.value, 1e-3, 1e-12);
    near(outline.modulus.value * 1e9, 6.0 * 27.0 / 36.0, 1e-12);
    let ring: Length = section::half_round(mm(2.0)).unwrap().outer_fibre;
    let almost = section::ring_segment(mm(1e-6), mm(2.0), deg(180.0), section::Tension::Convex).unwrap();
    near(almost.outer_fibre.value, ring.value, 1e-9);
}

#[test]
fn a_thread_thin_tip_bent_far_is_refused_not_guessed() {
    let thread = arm(40.0, 0.05, 0.01, Root::Rigid);
    assert_eq!(at_fault(thread.bend(mm(20.0))), "deflection");
    assert!(thread.bend(mm(4.0)).is_ok());
}

/// Beyond its range an arm goes on from the edge, as the plain cantilever does (Roark's Formulas for Stress and Strain, beams, left end
/// free and right end fixed; from memory): strain with `y t / L^2`, force with `y t^3 / L^3`.
#[test]
fn an_arm_goes_on_from_the_edge_of_its_range() {
    use uom::si::force::newton;
    use uom::si::ratio::ratio;
    for root in [Root::Rigid, Root::Block, Root::Wall { thickness: mm(2.0), reach: mm(3.0) }] {
        let at = |length: f64, deflection: f64| {
            let bent = arm(length, 1.0, 1.0, root).bend_beyond(mm(deflection)).unwrap();
            (bent.peak_strain.get::<ratio>(), bent.tip_force.get::<newton>())
        };
        let within = arm(10.0, 1.0, 1.0, root).bend(mm(5.0)).unwrap();
        let (strain, force) = at(10.0, 5.0);
        near(strain, within.peak_strain.get::<ratio>(), 1e-12);
        near(force, within.tip_force.get::<newton>(), 1e-12);
        near(at(10.0, 12.0).0, strain * 12.0 / 5.0, 1e-9);
        near(at(10.0, 12.0).1, force * 12.0 / 5.0, 1e-9);
        // From the shortest arm on, at the same deflection over the length.
        let (strain, force) = at(1.5, 0.3);
        near(strain, arm(1.5, 1.0, 1.0, root).bend(mm(0.3)).unwrap().peak_strain.get::<ratio>(), 1e-12);
        near(at(0.5, 0.1).0, 3.0 * strain, 1e-9);
        near(at(0.5, 0.1).1, 9.0 * force, 1e-9);
    }
    let thin =
        |deep| arm(6.0, 1.0, 1.0, Root::Wall { thickness: mm(deep), reach: mm(3.0) }).bend_beyond(mm(1.0)).unwrap();
    near(thin(0.2).peak_strain.value, thin(0.35).peak_strain.value, 1e-12);
    assert_eq!(
        at_fault(arm(10.0, 1.0, 1.0, Root::Wall { thickness: mm(0.0), reach: mm(3.0) }).bend_beyond(mm(1.0))),
        "root.thickness"
    );
}
