//! What must hold for every input.

use dryfit::mechanics::arm::Arm;
use dryfit::mechanics::press_fit::{PressFit, Ring, press};
use dryfit::mechanics::root::Root;
use dryfit::mechanics::snap::ramp_factor;
use dryfit::mechanics::strain_limit::layer_factor;
use dryfit::mechanics::strut::{self, Ends, Strut};
use dryfit::mechanics::torsion::{Bar, Section, permissible_twist, twist};
use dryfit::mechanics::u_arm::{self, BentArm, Turn};
use dryfit::mechanics::{fillet, hinge};
use proptest::prelude::*;
use uom::si::area::square_millimeter;
use uom::si::f64::Area;

use crate::given::{SLENDER, arm, deg, mm, mpa, one};

fn roots() -> impl Strategy<Value = Root> {
    prop_oneof![
        Just(Root::Rigid),
        Just(Root::Block),
        (0.4..4.0, 2.0..20.0).prop_map(|(t, r)| Root::Wall { thickness: mm(t), reach: mm(r) }),
    ]
}

fn arms() -> impl Strategy<Value = Arm> {
    (2.0..40.0, 0.3..1.5, 0.1..1.5, roots()).prop_map(|(l, t, b, root)| arm(l, t, b, root))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn twice_the_thickness_is_twice_the_strain_and_eight_times_the_force(
        taper in 0.1..1.5, width in 0.1..1.5, aside in 1e-5..1e-3,
    ) {
        let thin = arm(SLENDER, taper, width, Root::Rigid);
        let thick = Arm { root_thickness: thin.root_thickness * 2.0, tip_thickness: thin.tip_thickness * 2.0, ..thin };
        let (thin, thick) = (thin.bend(thin.length * aside).unwrap(), thick.bend(thick.length * aside).unwrap());
        prop_assert!(((thick.peak_strain / thin.peak_strain).value - 2.0).abs() < 1e-6);
        prop_assert!(((thick.tip_force / thin.tip_force).value - 8.0).abs() < 1e-6);
    }

    #[test]
    fn a_bent_arm_is_positive_and_more_bent_is_more(arm in arms(), aside in 0.001..0.45) {
        let less = arm.bend(arm.length * aside).unwrap();
        let more = arm.bend(arm.length * (aside * 1.1)).unwrap();
        prop_assert!(less.tip_force.value > 0.0 && less.nominal_root_strain.value > 0.0);
        prop_assert!(less.peak_strain >= less.nominal_root_strain);
        prop_assert!(less.peak_at >= mm(0.0) && less.peak_at < arm.length);
        prop_assert!(more.tip_force > less.tip_force && more.peak_strain > less.peak_strain);
        prop_assert!(more.tip_reach < less.tip_reach && less.tip_reach < arm.length);
    }

    #[test]
    fn force_and_width_go_together_on_a_rigid_root(arm in arms(), aside in 0.001..0.45, times in 0.1..10.0_f64) {
        let arm = Arm { root: Root::Rigid, ..arm };
        let wide = Arm { root_width: arm.root_width * times, tip_width: arm.tip_width * times, ..arm };
        let (one, other) = (arm.bend(arm.length * aside).unwrap(), wide.bend(arm.length * aside).unwrap());
        prop_assert!(((other.tip_force / one.tip_force).value / times - 1.0).abs() < 1e-9);
        prop_assert!(((other.peak_strain / one.peak_strain).value - 1.0).abs() < 1e-9);
    }

    #[test]
    fn size_does_not_matter_to_strain(arm in arms(), aside in 0.001..0.45, times in 0.1..10.0) {
        let root = match arm.root {
            Root::Wall { thickness, reach } => Root::Wall { thickness: thickness * times, reach: reach * times },
            other => other,
        };
        let large = Arm {
            length: arm.length * times,
            root_thickness: arm.root_thickness * times,
            tip_thickness: arm.tip_thickness * times,
            root_width: arm.root_width * times,
            tip_width: arm.tip_width * times,
            root,
            ..arm
        };
        let (one, other) = (arm.bend(arm.length * aside).unwrap(), large.bend(large.length * aside).unwrap());
        prop_assert!(((other.peak_strain / one.peak_strain).value - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_root_that_gives_lowers_strain(arm in arms(), aside in 0.001..0.4) {
        let rigid = Arm { root: Root::Rigid, ..arm };
        let deflection = arm.length * aside;
        prop_assert!(arm.stiffness_factor().unwrap() >= rigid.stiffness_factor().unwrap());
        let (given, held) = (arm.bend(deflection).unwrap(), rigid.bend(deflection).unwrap());
        prop_assert!(given.nominal_root_strain <= held.nominal_root_strain * 1.000_001);
    }

    #[test]
    fn a_larger_fillet_stiffens_and_soothes(length in 4.0..30.0, radius in 0.1..0.9) {
        let factor = |radius| {
            let arm = Arm { fillet: mm(radius), ..arm(length, 1.0, 1.0, Root::Block) };
            arm.stiffness_factor().unwrap()
        };
        prop_assert!(factor(radius + 0.05) < factor(radius));
        let stress = |radius| fillet::stress_factor(mm(radius), mm(1.0), mm(length)).unwrap();
        prop_assert!(stress(radius + 0.05) < stress(radius));
    }

    #[test]
    fn a_steeper_or_rougher_ramp_needs_more(angle in 0.0..60.0, friction in 0.0..0.4) {
        let factor = |a, m| ramp_factor(deg(a), one(m)).unwrap().unwrap();
        prop_assert!(factor(angle + 1.0, friction) > factor(angle, friction));
        prop_assert!(factor(angle, friction + 0.01) > factor(angle, friction));
    }

    #[test]
    fn a_layer_factor_lies_between_its_ends(bond in 0.05..1.0, angle in 0.0..89.0) {
        let factor = |a| layer_factor(one(bond), deg(a)).unwrap().value;
        prop_assert!(factor(angle + 1.0) <= factor(angle));
        prop_assert!(factor(angle) >= bond * (1.0 - 1e-12) && factor(angle) <= 1.0 + 1e-12);
    }

    #[test]
    fn a_press_fit_is_linear_and_its_displacements_close(
        bore in 2.0..20.0, wall in 0.5..10.0, hollow in 0.0..0.9, tight in 0.01..0.2,
        hub in 500.0..4000.0, shaft in 500.0..200_000.0,
    ) {
        let ring = |free, modulus| Ring { free_diameter: mm(free), modulus: mpa(modulus), poisson: one(0.36) };
        let fit = |tight| PressFit {
            diameter: mm(bore),
            interference: mm(tight),
            hub: ring(bore + 2.0 * wall, hub),
            shaft: ring(bore * hollow, shaft),
        };
        let (one, two) = (press(&fit(tight)).unwrap(), press(&fit(2.0 * tight)).unwrap());
        prop_assert!(one.pressure.value > 0.0);
        prop_assert!(((two.pressure / one.pressure).value - 2.0).abs() < 1e-9);
        // What the hub widens is at most the interference.
        prop_assert!(one.hub_hoop_strain.value * bore < tight);
    }

    #[test]
    fn a_slender_strut_bears_less(length in 10.0..400.0, gyration in 0.5..5.0) {
        let load = |length| {
            let strut = Strut {
                length: mm(length),
                area: Area::new::<square_millimeter>(10.0),
                gyration: mm(gyration),
                ends: Ends::Pinned,
                modulus: mpa(2000.0),
                yield_stress: mpa(50.0),
            };
            strut::critical_load(&strut).unwrap()
        };
        prop_assert!(load(length * 1.1) < load(length));
        prop_assert!(load(length).value < 500.0);
    }

    #[test]
    fn a_permissible_twist_reaches_its_strain(width in 0.5..5.0, height in 0.5..20.0, strain in 0.001..0.1) {
        let bar = Bar {
            length: mm(30.0),
            section: Section::Rectangle { width: mm(width), height: mm(height) },
            modulus: mpa(2000.0),
            poisson: one(0.37),
        };
        let angle = permissible_twist(&bar, one(strain)).unwrap();
        let state = twist(&bar, angle).unwrap();
        prop_assert!((state.shear_strain.value / strain - 1.0).abs() < 1e-9);
        prop_assert!(state.torque.value > 0.0);
    }

    #[test]
    fn a_longer_leg_is_softer_and_less_strained(tip in 5.0..30.0, root in 1.0..30.0, radius in 0.8..5.0) {
        for turn in [Turn::L, Turn::U] {
            let bent = |root| {
                let arm = BentArm {
                    turn,
                    tip_leg: mm(tip),
                    root_leg: mm(root),
                    radius: mm(radius),
                    thickness: mm(1.0),
                    width: mm(5.0),
                    modulus: mpa(2000.0),
                };
                u_arm::bend(&arm, mm(1.0)).unwrap()
            };
            let (short, long) = (bent(root), bent(root * 1.1));
            prop_assert!(long.tip_force < short.tip_force);
            prop_assert!(short.inner_strain >= short.strain);
        }
    }

    #[test]
    fn a_hinge_is_strained_alike_by_both_formulas(thickness in 0.1..0.6, land in 0.5..5.0, angle in 10.0..180.0) {
        // A land bent by an angle has its mid-plane radius, whose inner radius is half a thickness less.
        let middle = hinge::bend_radius(mm(land), deg(angle)).unwrap();
        let inner = middle - mm(thickness / 2.0);
        prop_assume!(inner > mm(0.0));
        let (one, other) = (hinge::strain(mm(thickness), mm(land), deg(angle)).unwrap(), hinge::strain_at_inner_radius(mm(thickness), inner).unwrap());
        prop_assert!((one / other).value - 1.0 < 1e-9);
        prop_assert!((other / one).value - 1.0 < 1e-9);
    }
}
