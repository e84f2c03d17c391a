//! `mechanics.csv`: finite elements and closed forms. A row known exactly is met within its own tolerance; a
//! finite-element row is met by the formula within 3 %.

use dryfit::mechanics::press_fit::{PressFit, Pressed, Ring, press, push_out_force};
use dryfit::mechanics::root::Root;
use dryfit::mechanics::{deflection, fillet, hinge};

use crate::given::{SLENDER, arm, deg, mm, mpa, one, strain_factors};
use crate::table::{Row, Worst, rows};

const TABLE: &str = include_str!("mechanics.csv");
/// What a formula may miss finite elements by.
const MODEL: f64 = 0.03;

#[test]
fn every_row_is_met() {
    let rows = rows(TABLE);
    let mut worst = Worst::default();
    for row in &rows {
        let (family, _) = row.id.rsplit_once('_').unwrap();
        let (found, tolerance) = value(row, &rows);
        row.assert_within(found, tolerance);
        worst.note(row, family, found);
    }
    worst.print("mechanics.csv");
}

/// What the crate gives for a row, and how near it must come.
fn value(row: &Row, rows: &[Row]) -> (f64, f64) {
    let id = row.id.as_str();
    match id.split('_').next().unwrap() {
        "rigid" => rigid(row, rows),
        "block" => block(row),
        "ttaper" if id.contains("_FE_") => (sheared_taper(row), MODEL),
        "ttaper" => (thickness_taper(row), row.tolerance),
        "wtaper" => (width_taper(row), row.tolerance),
        "elastica" => (elastica(row), row.tolerance),
        "fillet" => (filleted(row), MODEL),
        "press" => (pressed(row), row.tolerance),
        "hinge" => (hinged(row), row.tolerance),
        _ => panic!("{id}: not covered"),
    }
}

fn rigid(row: &Row, rows: &[Row]) -> (f64, f64) {
    let length = row.number("L_over_t");
    let factor = arm(length, 1.0, 1.0, Root::Rigid).stiffness_factor().unwrap().value;
    let id = row.id.as_str();
    if id.contains("kratio_EB") {
        (1.0 / factor, MODEL)
    } else if id.contains("kratio_Timo") {
        let twin = rows.iter().find(|r| r.id == id.replace("Timo", "EB")).unwrap();
        (twin.expected * factor, row.tolerance)
    } else if id.contains("K_Timo") {
        (1.5 / factor, row.tolerance)
    } else {
        (strain_factors(&arm(length, 1.0, 1.0, Root::Rigid)).0, MODEL)
    }
}

fn block(row: &Row) -> (f64, f64) {
    if row.id == "block_CM" {
        let long = |root| arm(SLENDER, 1.0, 1.0, root).stiffness_factor().unwrap().value;
        return ((long(Root::Block) - long(Root::Rigid)) * 4.0 * SLENDER, row.tolerance);
    }
    let length = row.number("L_over_t");
    let on_block = arm(length, 1.0, 1.0, Root::Block);
    let factor = on_block.stiffness_factor().unwrap().value;
    let clamped = arm(length, 1.0, 1.0, Root::Rigid).stiffness_factor().unwrap().value;
    let found = match row.id.as_str() {
        id if id.contains("Q_EB") => factor,
        id if id.contains("Q_rigid") => factor / clamped,
        _ => strain_factors(&on_block).0,
    };
    (found, MODEL)
}

fn thickness_taper(row: &Row) -> f64 {
    let ratio = row.number("r_tip_over_root_thickness");
    let arm = arm(SLENDER, ratio, 1.0, Root::Rigid);
    let (root, peak) = strain_factors(&arm);
    match row.id.as_str() {
        id if id.contains("Kroot") => root,
        id if id.contains("Kpeak") => peak,
        id if id.contains("xpeak") => (arm.bend(mm(1.0)).unwrap().peak_at / arm.length).value,
        _ => stiffness(ratio, 1.0),
    }
}

fn width_taper(row: &Row) -> f64 {
    let ratio = row.number("q_tip_over_root_width").max(1e-9);
    if row.id.contains("Kroot") {
        strain_factors(&arm(SLENDER, 1.0, ratio, Root::Rigid)).0
    } else {
        stiffness(1.0, ratio)
    }
}

/// Tip force over that of the constant arm.
fn stiffness(thickness_ratio: f64, width_ratio: f64) -> f64 {
    let force = |t, b| arm(SLENDER, t, b, Root::Rigid).bend(mm(1.0)).unwrap().tip_force;
    (force(thickness_ratio, width_ratio) / force(1.0, 1.0)).value
}

fn sheared_taper(row: &Row) -> f64 {
    let ratio = row.number("r_tip_over_root_thickness");
    strain_factors(&arm(row.number("L_over_t"), ratio, 1.0, Root::Rigid)).0
}

fn elastica(row: &Row) -> f64 {
    let aside = row.number("y_over_L");
    let arm = arm(SLENDER, 1.0, 1.0, Root::Rigid);
    let bent = arm.bend(arm.length * aside).unwrap();
    let linear = 3.0 * aside * 2000.0 / 12.0 / SLENDER.powi(2);
    let (found, closed) = match row.id.as_str() {
        id if id.contains("strain") => {
            ((bent.nominal_root_strain / bent.plain_strain).value, deflection::strain_factor(one(aside)))
        }
        id if id.contains("force") => (bent.tip_force.value / linear, deflection::force_factor(one(aside))),
        _ => ((bent.tip_reach / arm.length).value, deflection::reach_factor(one(aside))),
    };
    row.assert_within(closed.unwrap().value, 1e-4);
    found
}

fn filleted(row: &Row) -> f64 {
    let (radius, length) = (row.number("R_over_t"), row.number("L_over_t"));
    let at_face = fillet::stress_factor(mm(radius), mm(1.0), mm(length)).unwrap().value;
    match row.id.as_str() {
        id if id.contains("Kt_face") => at_face,
        id if id.contains("Kt_tan") => at_face * length / (length - radius),
        _ => {
            let mut arm = arm(length, 1.0, 1.0, Root::Block);
            arm.fillet = mm(radius);
            arm.stiffness_factor().unwrap().value
        }
    }
}

fn pressed(row: &Row) -> f64 {
    let bore = mm(row.number("bore_d_mm"));
    let (stiff, squeeze) = match row.word("pin") {
        "rigid" => (f64::INFINITY, 0.3),
        _ => (row.number("E_pin_MPa"), row.number("nu_pin")),
    };
    let fit = PressFit {
        diameter: bore,
        interference: mm(row.number("interference_diametral_mm")),
        hub: Ring {
            free_diameter: mm(row.number("outer_D_mm")),
            modulus: mpa(row.number("E_MPa")),
            poisson: one(row.number("nu")),
        },
        shaft: Ring { free_diameter: mm(0.0), modulus: mpa(stiff), poisson: one(squeeze) },
    };
    of_press(row, &press(&fit).unwrap())
}

fn of_press(row: &Row, state: &Pressed) -> f64 {
    let megapascals = |p: uom::si::f64::Pressure| p.value / 1e6;
    match row.id.as_str() {
        id if id.contains("hoop_strain") => state.hub_hoop_strain.value,
        id if id.contains("pressure") => megapascals(state.pressure),
        id if id.contains("hoop_stress") => megapascals(state.hub_hoop_stress),
        id if id.contains("vonMises") => megapascals(state.hub_von_mises),
        _ => {
            let (bore, length) = (mm(row.number("bore_d_mm")), mm(row.number("length_mm")));
            push_out_force(state.pressure, bore, length, one(row.number("mu"))).unwrap().value
        }
    }
}

fn hinged(row: &Row) -> f64 {
    let (land, angle) = (mm(row.number("Lh_mm")), deg(row.number("angle_deg")));
    if row.id.contains("radius") {
        hinge::bend_radius(land, angle).unwrap().value * 1e3
    } else {
        hinge::strain(mm(row.number("t_mm")), land, angle).unwrap().value
    }
}
