//! A row of upright holes in a plate and a row of pins alike.

use std::fmt::Write;

use super::{Body, Draft, Guide, Outline, Plan, Point, Refusal, Row, Shop, Solid, mm, number, shuffled, to_half};

/// Drawn diameters in mm, for a machine whose least hole is no more than the first.
const DIAMETERS: [f64; 4] = [3.0, 5.0, 8.0, 12.0];
const LONG: f64 = 64.0;
const WIDE: f64 = 16.0;
const PLATE: f64 = 5.0;
const FOOT: f64 = 2.0;
const PIN: f64 = 8.0;

pub(super) fn draft(shop: &Shop) -> Result<Draft, Refusal> {
    // No smaller than comes out round, all in the same proportion.
    let larger = (shop.hole / DIAMETERS[0]).max(1.0);
    let all: Vec<f64> = DIAMETERS.iter().map(|diameter| to_half(diameter * larger)).collect();
    // Places are drawn from the machine's words, so that no size always lies at the same side of the bed.
    let all = shuffled(all, &shop.words);
    let (long, wide) = (to_half(LONG * larger), to_half(WIDE * larger));
    let apart = (long - all.iter().sum::<f64>()) / 5.0;
    let mut from = 0.0;
    let mut circles: Vec<(f64, Outline, Point)> = Vec::new();
    for diameter in all {
        let centre = [from + apart + diameter / 2.0, wide / 2.0];
        circles.push((diameter, Outline::circle(centre, diameter, shop.facets), centre));
        from += apart + diameter;
    }
    let base = Outline::rectangle([0.0, 0.0], [long, wide]);
    let plate = circles.iter().fold(base.clone(), |plate, (_, circle, _)| plate.without(circle));
    let (thick, foot) = (shop.layers(PLATE), shop.layers(FOOT));
    let top = foot + shop.layers(PIN);
    let bosses: Vec<Outline> = circles.iter().map(|(_, circle, _)| circle.clone()).collect();
    let labels: Vec<(Point, String)> = circles.iter().map(|(diameter, _, at)| (*at, number(*diameter))).collect();
    let mut draft = Draft::of(Guide::Holes);
    let (mut holes, mut pins) = (String::new(), String::new());
    for (diameter, _, _) in &circles {
        let name = name(*diameter);
        // Writing to a text cannot fail.
        let _ = writeln!(holes, "  hole {name} {{ diameter {}; through yes; axis +z }}", mm(*diameter));
        let _ = writeln!(pins, "  pin {name} {{ diameter {}; height {}; axis +z }}", mm(*diameter), mm(top - foot));
        draft.rows.push(Row {
            path: format!("plate.{name}.diameter"),
            drawn: *diameter,
            with: "ground pins or drill shanks",
        });
        draft.rows.push(Row { path: format!("pins.{name}.diameter"), drawn: *diameter, with: "outside jaws" });
    }
    let side = format!("{} x {}", number(long), number(wide));
    draft.parts = format!(
        "part plate {{\n  up +z\n  size {side} x {}\n{holes}}}\n\npart pins {{\n  up +z\n  size {side} x {}\n{pins}}}\n",
        mm(thick),
        mm(top)
    );
    let plan = |outlines: Vec<Outline>| Plan { outlines, labels: labels.clone() };
    draft.bodies = vec![
        Body { name: "plate".into(), solid: Solid::drawn_out(&plate, thick)?, plan: plan(vec![plate]) },
        Body {
            name: "pins".into(),
            solid: Solid::with_bosses(&base, foot, &bosses, top)?,
            plan: plan(std::iter::once(base).chain(bosses).collect()),
        },
    ];
    Ok(draft)
}

fn name(diameter: f64) -> String {
    format!("d{}", number(diameter).replace('.', "-"))
}
