//! `handbook.csv`: what standards, handbooks and textbooks say. A number is met to its last printed digit; a formula is
//! worked out here, apart from the crate, at a few inputs.

use std::f64::consts::PI;

use dryfit::mechanics::annular;
use dryfit::mechanics::beam::{self, Beam, Load, Support};
use dryfit::mechanics::press_fit::{PressFit, Ring, press};
use dryfit::mechanics::root::Root;
use dryfit::mechanics::section::{self, Outline, Tension};
use dryfit::mechanics::torsion::{self, Bar, Section};
use dryfit::mechanics::u_arm::{self, BentArm, Turn};
use dryfit::mechanics::{hinge, screw, snap};
use uom::si::f64::Length;

use crate::given::{SLENDER, arm, deg, mm, mpa, newtons, one, strain_factors};
use crate::table::rounding;

const TABLE: &str = include_str!("handbook.csv");

struct Entry {
    id: String,
    inputs: String,
    value: String,
}

impl Entry {
    /// The numbers written `name=1.5` or `name 1.5` in the inputs.
    fn number(&self, name: &str) -> f64 {
        let (_, after) = self.inputs.split_once(name).unwrap_or_else(|| panic!("{}: no {name}", self.id));
        let text = after.trim_start_matches([' ', '=']);
        let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
        text[..end].parse().unwrap()
    }

    fn value(&self) -> f64 {
        self.value.parse().unwrap()
    }

    /// `found` rounds to the printed value.
    fn printed(&self, found: f64) {
        self.near(found, self.value(), rounding(&self.value) * 1.0001);
    }

    fn near(&self, found: f64, expected: f64, tolerance: f64) {
        let near = (found - expected).abs() <= tolerance;
        assert!(near, "{}: found {found}, expected {expected} within {tolerance}", self.id);
    }

    fn same(&self, found: f64, expected: f64) {
        self.near(found, expected, 1e-9 * expected.abs());
    }
}

fn entries() -> Vec<Entry> {
    let mut reader = csv::Reader::from_reader(TABLE.as_bytes());
    let field = |record: &csv::StringRecord, k: usize| record[k].to_string();
    reader
        .records()
        .map(|record| record.unwrap())
        .map(|r| Entry { id: field(&r, 0), inputs: field(&r, 2), value: field(&r, 3) })
        .collect()
}

#[test]
fn every_row_is_met() {
    let entries = entries();
    assert!(entries.len() > 85, "rows are missing: {}", entries.len());
    for entry in &entries {
        let family = entry.id.chars().next().unwrap();
        let number: u32 = entry.id[1..].parse().unwrap();
        match (family, number) {
            ('A', 1..=31) => arms(entry, number),
            ('A', 32..=58) => snaps(entry, number),
            // The inputs of the rows after them.
            ('A', 61..=68) => assert!(entry.inputs.starts_with("GIVEN"), "{}", entry.id),
            ('A', 69..=73) => worked_example(entry, number, &entries),
            ('A', 120 | 140) => sections(entry, number),
            ('A', 121..=126) => annular(entry, number),
            ('A', 134..=135) => torsion(entry, number),
            ('A', 136..=138) => bent_arms(entry, number),
            ('B', _) => roots(entry, number),
            ('C', _) => hinges(entry, number),
            ('G', 1 | 2) => beams(entry, number),
            ('G', 3 | 4) => press_fits(entry, number),
            ('G', 16 | 17) => screws(entry, number),
            _ => panic!("{}: not covered", entry.id),
        }
    }
}

/// Permissible deflection over `eps l^2 / t` of a slender arm, by its root strain.
fn reach(thickness_ratio: f64, width_ratio: f64) -> f64 {
    1.0 / strain_factors(&arm(SLENDER, thickness_ratio, width_ratio, Root::Rigid)).0
}

fn arms(entry: &Entry, number: u32) {
    let constant = reach(1.0, 1.0);
    match number {
        1 | 4 => entry.printed(constant),
        2 => entry.printed(reach(0.5, 1.0)),
        3 => entry.printed(reach(1.0, 0.25)),
        5 => root_force(entry),
        6 | 8 | 10 => entry.printed(trapezoid_factor() * taper(number - 6)),
        7 | 9 | 11 => entry.printed(ring_factor() * taper(number - 7)),
        12..=14 => entry.printed(any_section_factor() * taper((number - 12) * 2)),
        15 => trapezoid_force(entry),
        16 => any_section_force(entry),
        17..=23 => entry.printed(reach(entry.number("h_tip/h_root"), 1.0) / constant),
        24 => peaks(entry),
        25..=29 => entry.printed(reach(1.0, entry.number("b_tip/b_root")) / constant),
        30 | 31 => comparison(entry, number),
        _ => panic!("{}: not covered", entry.id),
    }
}

/// The three shapes of the guide's table: constant, thickness to half, width to a quarter.
fn taper(shape: u32) -> f64 {
    let (thickness, width) = [(1.0, 1.0), (0.5, 1.0), (1.0, 0.25)][shape as usize / 2];
    reach(thickness, width) / reach(1.0, 1.0)
}

fn root_force(entry: &Entry) {
    for (thickness, width) in [(1.0, 1.0), (0.5, 1.0), (1.0, 0.25)] {
        let arm = arm(SLENDER, thickness, width, Root::Rigid);
        let bent = arm.bend(mm(1.0)).unwrap();
        let by_hand = 2000.0 / 6.0 * bent.nominal_root_strain.value / SLENDER;
        entry.near(bent.tip_force.value, by_hand, 1e-8 * by_hand);
    }
}

fn deflection(outline: &Outline) -> f64 {
    section::permissible_deflection(outline, mm(20.0), one(0.02)).unwrap().value * 1e3
}

/// `K` of a constant trapezoid, tension on the edge `b`.
fn trapezoid_factor() -> f64 {
    let (a, b, h) = (4.0, 7.0, 2.5);
    let outline = section::trapezoid(mm(b), mm(a), mm(h)).unwrap();
    deflection(&outline) / ((a + b) / (2.0 * a + b) * 0.02 * 400.0 / h)
}

fn ring() -> Outline {
    section::ring_segment(mm(17.5), mm(20.0), deg(75.0), Tension::Convex).unwrap()
}

/// `K` of a constant ring segment with `C = r2 / (3 c)`, `c` from the section integrals of row A120.
fn ring_factor() -> f64 {
    let shape = 20.0 / (3.0 * 2.534);
    deflection(&ring()) / (shape * 0.02 * 400.0 / 20.0)
}

/// `K` with the outer fibre's distance.
fn any_section_factor() -> f64 {
    let outline = section::half_round(mm(3.0)).unwrap();
    deflection(&outline) * outline.outer_fibre.value * 1e3 / (0.02 * 400.0)
}

fn trapezoid_force(entry: &Entry) {
    let (a, b, h): (f64, f64, f64) = (4.0, 7.0, 2.5);
    let outline = section::trapezoid(mm(b), mm(a), mm(h)).unwrap();
    let force = section::tip_force(&outline, mm(20.0), mpa(1800.0), one(0.02)).unwrap();
    let by_hand = h * h / 12.0 * (a * a + 4.0 * a * b + b * b) / (2.0 * a + b) * 1800.0 * 0.02 / 20.0;
    entry.same(force.value, by_hand);
}

fn any_section_force(entry: &Entry) {
    let outline = section::rectangle(mm(5.0), mm(2.0)).unwrap();
    let force = section::tip_force(&outline, mm(20.0), mpa(1800.0), one(0.02)).unwrap();
    entry.same(force.value, 5.0 * 4.0 / 6.0 * 1800.0 * 0.02 / 20.0);
}

/// The ratios are those that the row's inputs state.
fn peaks(entry: &Entry) {
    for (ratio, expected, digits) in [(0.4, 1.042, 5e-4), (1.0 / 3.0, 1.125, 5e-4), (0.3, 1.19, 5e-3)] {
        let (root, peak) = strain_factors(&arm(SLENDER, ratio, 1.0, Root::Rigid));
        entry.near(peak / root, expected, digits);
    }
    let at = |ratio| arm(SLENDER, ratio, 1.0, Root::Rigid).bend(mm(1.0)).unwrap().peak_at;
    let limit = entry.value();
    assert!(at(limit - 0.01) > mm(0.0), "{}", entry.id);
    assert!(at(limit + 0.01) <= mm(0.0), "{}", entry.id);
}

/// Same stiffness, tip at 30 % of the root. The guide prints 46 % more strain; the beam's integral gives 44.9 %.
fn comparison(entry: &Entry, number: u32) {
    let force = |ratio| arm(SLENDER, ratio, 1.0, Root::Rigid).bend(mm(1.0)).unwrap().tip_force;
    let thicker = (force(1.0) / force(0.3)).value.cbrt();
    let strain = |ratio| strain_factors(&arm(SLENDER, ratio, 1.0, Root::Rigid)).1;
    if number == 30 {
        let more = 100.0 * (strain(1.0) / (strain(0.3) * thicker) - 1.0);
        entry.near(more, entry.value(), 1.5);
    } else {
        entry.printed(100.0 * (1.0 / (thicker * 0.65) - 1.0));
    }
}

fn snaps(entry: &Entry, number: u32) {
    let factor = |angle, friction| snap::ramp_factor(deg(angle), one(friction)).unwrap();
    match number {
        32 => {
            for (angle, friction) in [(15.0_f64, 0.1_f64), (40.0, 0.35)] {
                let by_hand = (angle.to_radians() + friction.atan()).tan();
                entry.same(factor(angle, friction).unwrap().value, by_hand);
                let both = snap::ramp_force(newtons(4.0), deg(angle), one(friction), 3).unwrap();
                entry.same(both.unwrap().value, 12.0 * by_hand);
            }
        }
        33 => {
            for friction in [0.1_f64, 0.3, 0.8] {
                let limit = entry.value() - friction.atan().to_degrees();
                let locks = |angle| snap::locks_itself(deg(angle), one(friction)).unwrap();
                assert!(!locks(limit - 1e-6) && locks(limit + 1e-6), "{}", entry.id);
                let angle = snap::locking_angle(one(friction)).unwrap();
                entry.same(angle.value, limit.to_radians());
            }
        }
        _ => entry.printed(factor(entry.number("alpha"), entry.number("mu")).unwrap().value),
    }
}

/// The guide's hook tapers to half; its results follow from the rows that give the inputs.
fn worked_example(entry: &Entry, number: u32, entries: &[Entry]) {
    let given = |id: &str| entries.iter().find(|e| e.id == id).unwrap().value();
    let (length, width, undercut) = (given("A061"), given("A062"), given("A063"));
    let strain = given("A066") / 100.0;
    let thickness = reach(0.5, 1.0) * strain * length * length / undercut;
    let root = section::rectangle(mm(width), mm(3.28)).unwrap();
    let force = section::tip_force(&root, mm(length), mpa(given("A067")), one(strain)).unwrap();
    let push = snap::ramp_factor(deg(given("A064")), one(given("A068"))).unwrap().unwrap();
    match number {
        69 => entry.printed(thickness),
        70 => entry.printed(force.value),
        71 => entry.printed(push.value),
        73 => entry.printed((force * push).value),
        _ => panic!("{}: not covered", entry.id),
    }
}

fn sections(entry: &Entry, number: u32) {
    if number == 140 {
        let outline = section::half_round(mm(3.0)).unwrap();
        // Recalled as 0.578; the section integral gives 0.5791.
        entry.near(deflection(&outline) * 3.0 / (0.02 * 400.0), entry.value(), 0.002);
        entry.near(outline.outer_fibre.value * 1e3 / 3.0, entry.number(", c"), 5e-5);
        entry.near(outline.modulus.value * 1e9, half_round_modulus_in_strips(3.0), 1e-4);
        return;
    }
    let concave = section::ring_segment(mm(17.5), mm(20.0), deg(75.0), Tension::Concave).unwrap();
    entry.near(ring().outer_fibre.value * 1e3, entry.number("convex"), 5e-4);
    entry.near(concave.outer_fibre.value * 1e3, entry.number("concave edge"), 5e-4);
    entry.near(ring().modulus.value * 1e9, entry.number("Z"), 0.05);
    entry.near(concave.modulus.value * 1e9, entry.number("43.7 convex / "), 0.05);
}

/// Section modulus of a half circle at its curved side, from the definition: strips of it, each with its area times the
/// square of its distance from the centroid.
fn half_round_modulus_in_strips(radius: f64) -> f64 {
    const STRIPS: i32 = 20_000;
    let thick = radius / f64::from(STRIPS);
    let strips = (0..STRIPS).map(|index| (f64::from(index) + 0.5) * thick);
    let strips: Vec<_> = strips.map(|at| (at, 2.0 * (radius * radius - at * at).sqrt() * thick)).collect();
    let area: f64 = strips.iter().map(|(_, area)| area).sum();
    let centroid = strips.iter().map(|(at, area)| at * area).sum::<f64>() / area;
    let second: f64 = strips.iter().map(|(at, area)| area * (at - centroid).powi(2)).sum();
    second / (radius - centroid)
}

fn annular(entry: &Entry, number: u32) {
    let bore = 20.0;
    match number {
        121 => {
            let undercut = annular::permissible_undercut(one(0.03), mm(bore)).unwrap();
            entry.same(undercut.value * 1e3, 0.6);
            entry.same(annular::strain(undercut, mm(bore)).unwrap().value, 0.03);
        }
        _ => panic!("{}: not covered", entry.id),
    }
}

fn torsion(entry: &Entry, number: u32) {
    if number == 134 {
        let shear = torsion::permissible_shear_strain(one(1.0), one(0.35)).unwrap();
        entry.printed(shear.value);
        return;
    }
    let (length, radius, lever, strain) = (30.0, 2.0, 25.0, 0.03);
    let bar = Bar {
        length: mm(length),
        section: Section::Round { diameter: mm(2.0 * radius) },
        modulus: mpa(1900.0),
        poisson: one(0.37),
    };
    let angle = torsion::permissible_twist(&bar, one(strain)).unwrap();
    entry.same(angle.value, strain * length / radius);
    let state = torsion::twist(&bar, angle).unwrap();
    let force = torsion::lever_force(state.torque, mm(lever), 2).unwrap();
    let shear_modulus = 1900.0 / (2.0 * 1.37);
    entry.same(force.value * lever, 2.0 * shear_modulus * strain * PI * radius.powi(3) / 2.0);
    let back = torsion::lever_angle(mm(lever), mm(lever * angle.value.sin())).unwrap();
    entry.same(back.value, angle.value);
}

fn bent_arms(entry: &Entry, number: u32) {
    let (tip, radius, thickness): (f64, f64, f64) = (12.0, 3.0, 1.2);
    let root = if number == 138 { 17.0 } else { tip };
    let arm = BentArm {
        turn: Turn::U,
        tip_leg: mm(tip),
        root_leg: mm(root),
        radius: mm(radius),
        thickness: mm(thickness),
        width: mm(6.0),
        modulus: mpa(1900.0),
    };
    let bent = u_arm::bend(&arm, mm(1.5)).unwrap();
    let stiffness = 1900.0 * 6.0 * thickness.powi(3) / 12.0;
    let sum = 4.0 * tip.powi(3) + 3.0 * radius * (2.0 * PI * tip * tip + PI * radius * radius + 8.0 * tip * radius);
    match number {
        136 => entry.same(bent.tip_force.value, 6.0 * stiffness * 1.5 / sum),
        137 => entry.same(bent.strain.value, 3.0 * (tip + radius) * thickness * 1.5 / sum),
        _ => {
            let curve = radius * (PI * tip * tip + 4.0 * tip * radius + PI * radius * radius / 2.0);
            let give = tip.powi(3) / 3.0 + curve + (tip.powi(3) - (tip - root).powi(3)) / 3.0;
            entry.same(bent.tip_force.value, 1.5 * stiffness / give);
        }
    }
}

/// Rows B009 to B014 rest on a published root rotation of `5.306 M / (E h^2)`; finite elements of a sharp-cornered arm on
/// a half plane give 4.99, and the crate follows them. As a factor the two agree within 3 % from `L/h` 3 up.
fn roots(entry: &Entry, number: u32) {
    let factor = |length: f64, root| {
        let mut arm = arm(length, 1.0, 1.0, root);
        arm.poisson = one(0.35);
        arm.stiffness_factor().unwrap().value
    };
    match number {
        2 => {
            entry.near(1.0 / reach(0.5, 1.0), entry.number("tapered to half:"), 0.005);
            entry.near(1.0 / reach(1.0, 1.0), entry.number("eps ="), 1e-8);
        }
        7 | 15 => {
            let coefficient = (factor(4.0, Root::Rigid) - 1.0) * 16.0;
            let expected = if number == 7 { entry.value() * 1.35 } else { entry.value() * 2.0 * 1.35 / 4.0 };
            entry.near(coefficient, expected, 1e-9);
        }
        _ => {
            let (_, sheared) = entry.value.split_once(" / ").unwrap();
            let expected: f64 = sheared.parse().unwrap();
            entry.near(factor(entry.number("L/h"), Root::Block), expected, 0.03 * expected);
        }
    }
}

fn hinges(entry: &Entry, number: u32) {
    if number == 1 {
        let strain = hinge::strain_at_inner_radius(mm(0.3), mm(0.8)).unwrap();
        entry.same(strain.value, 0.3 / (1.6 + 0.3));
    } else {
        let strain = hinge::strain(mm(0.4), mm(3.0), deg(180.0)).unwrap();
        entry.printed(strain.value * 3.0 / 0.4);
    }
}

fn beams(entry: &Entry, number: u32) {
    let (support, load, bending, stress) = match number {
        1 => (Support::Cantilever, Load::End, 3.0, 6.0),
        _ => (Support::Simple, Load::Centre, 48.0, 1.5),
    };
    let (length, width, height): (f64, f64, f64) = (60.0, 8.0, 3.0);
    let beam = Beam { length: mm(length), width: mm(width), height: mm(height), modulus: mpa(2100.0), support };
    let bent = beam::bend(&beam, load, newtons(7.0)).unwrap();
    let second_moment = width * height.powi(3) / 12.0;
    entry.same(bent.deflection.value * 1e3, 7.0 * length.powi(3) / (bending * 2100.0 * second_moment));
    entry.same(bent.stress.value / 1e6, stress * 7.0 * length / (width * height * height));
}

fn press_fits(entry: &Entry, number: u32) {
    let (joint, outside, bore): (f64, f64, f64) = (8.0, 15.0, if number == 3 { 4.0 } else { 0.0 });
    let (hub, shaft, hub_nu, shaft_nu) = (2000.0, 3000.0, 0.38, 0.3);
    let ring = |free, modulus, nu| Ring { free_diameter: mm(free), modulus: mpa(modulus), poisson: one(nu) };
    let fit = PressFit {
        diameter: mm(joint),
        interference: mm(0.1),
        hub: ring(outside, hub, hub_nu),
        shaft: ring(bore, shaft, shaft_nu),
    };
    let state = press(&fit).unwrap();
    let pressure = state.pressure.value / 1e6;
    let square = |x: f64| x * x;
    let wide = (square(outside) + square(joint)) / (square(outside) - square(joint));
    if number == 3 {
        let thin = (square(joint) + square(bore)) / (shaft * (square(joint) - square(bore)));
        let by_hand = 0.1 / joint / (thin + wide / hub - shaft_nu / shaft + hub_nu / hub);
        entry.same(pressure, by_hand);
        entry.same(state.hub_hoop_stress.value / 1e6, by_hand * wide);
    } else {
        let stress = pressure * wide;
        let by_hand = stress * joint / wide * ((wide + hub_nu) / hub + (1.0 - shaft_nu) / shaft);
        entry.same(0.1, by_hand);
    }
}

fn screws(entry: &Entry, number: u32) {
    let (diameter, engagement): (Length, Length) = (mm(3.5), mm(8.0));
    let cylinder = 45.0 / 3.0_f64.sqrt() * PI * 3.5 * 8.0;
    let force = match number {
        16 => screw::pull_out_force(diameter, engagement, mpa(45.0), one(1.2), one(2.0)),
        _ => screw::strip_force(diameter, engagement, mpa(45.0)),
    };
    entry.same(force.unwrap().value, cylinder * if number == 16 { 0.6 } else { 0.5 });
}
