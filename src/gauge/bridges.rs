//! Bridges of growing span and slopes of growing lean, around what the machine is said to manage.

use std::fmt::Write;

use super::{Body, Draft, Guide, Outline, Plan, Point, Refusal, Shop, Sight, Solid, mm, number, to_half};
use crate::geometry::Vector;

/// From one span to the next.
const RATIO: f64 = 1.45;
/// Spans below and above that of the profile.
const AROUND: [i32; 5] = [-2, -1, 0, 1, 2];
const WIDE: f64 = 6.0;
const FREE: f64 = 8.0;
const PILLAR: f64 = 4.0;
const PILLAR_LINES: f64 = 8.0;
const BEAM_LAYERS: f64 = 8.0;
/// Leans in degrees from that of the profile.
const LEANS: [f64; 8] = [-10.0, -5.0, 0.0, 5.0, 10.0, 15.0, 20.0, 25.0];
/// Past this an underside is a flat roof.
const STEEPEST: f64 = 75.0;
const FIN: f64 = 6.0;
const BASE: f64 = 2.0;
const THICK: f64 = 3.0;
/// What lay flat stands up: its drawing's upward side becomes the bed's.
const STANDING: [Vector; 3] = [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]];

pub(super) fn draft(shop: &Shop) -> Result<Draft, Refusal> {
    let mut draft = Draft::of(Guide::Bridges);
    bridges(shop, &mut draft)?;
    slopes(shop, &mut draft)?;
    Ok(draft)
}

fn bridges(shop: &Shop, draft: &mut Draft) -> Result<(), Refusal> {
    let pillar = to_half(PILLAR.max(PILLAR_LINES * shop.line));
    let (free, beam) = (shop.layers(FREE), BEAM_LAYERS * shop.layer);
    let mut corners: Vec<Point> = vec![[0.0, 0.0]];
    let (mut at, mut blocks, mut labels) = (pillar, String::new(), Vec::new());
    for (index, power) in AROUND.iter().enumerate() {
        let span = to_half(shop.bridge * RATIO.powi(*power)).max(1.0);
        corners.extend([[at, 0.0], [at, free], [at + span, free], [at + span, 0.0]]);
        labels.push(([at + span / 2.0, free / 2.0], number(span)));
        // Writing to a text cannot fail.
        let _ = writeln!(blocks, "  bridge b{} {{ span {} }}", index + 1, mm(span));
        let line = format!("sag bridges.b{}.span from {} measured    mm by caliper-depth", index + 1, mm(span));
        draft.see(Sight::Bridge { span }, line);
        at += span + pillar;
    }
    corners.extend([[at, 0.0], [at, free + beam], [0.0, free + beam]]);
    let outline = Outline::of(corners);
    let solid = Solid::drawn_out(&outline, WIDE)?.turned(STANDING);
    let _ = write!(
        draft.parts,
        "part bridges {{\n  up +z\n  size {} x {} x {}\n{blocks}}}\n\n",
        number(at),
        number(WIDE),
        mm(free + beam)
    );
    draft.bodies.push(Body { name: "bridges".into(), solid, plan: Plan { outlines: vec![outline], labels } });
    Ok(())
}

fn slopes(shop: &Shop, draft: &mut Draft) -> Result<(), Refusal> {
    let (base, fin) = (shop.layers(BASE), shop.layers(FIN));
    let mut edge: Vec<Point> = Vec::new();
    let (mut at, mut blocks, mut labels) = (THICK, String::new(), Vec::new());
    let leans = LEANS.iter().map(|from| shop.overhang.to_degrees().round() + from);
    for (index, lean) in leans.filter(|lean| (1.0..=STEEPEST).contains(lean)).enumerate() {
        let aside = fin * lean.to_radians().tan();
        let top = base + fin;
        edge.extend([[at, base], [at + aside, top], [at + aside + THICK, top], [at + THICK, base]]);
        labels.push(([at + aside + THICK / 2.0, top + 1.5], number(lean)));
        let tilt = number(90.0 - lean);
        let _ = writeln!(blocks, "  face f{} {{ faces -z tilted {tilt} deg toward +x }}", index + 1);
        let line = format!("slope slopes.f{} clean   # or rough, drooping", index + 1);
        draft.see(Sight::Slope { lean }, line);
        // The next one begins past what hangs over.
        at += aside + 2.0 * THICK;
    }
    edge.reverse();
    let outline = Outline::of([vec![[0.0, 0.0], [at, 0.0], [at, base]], edge, vec![[0.0, base]]].concat());
    let solid = Solid::drawn_out(&outline, 2.0 * WIDE)?.turned(STANDING);
    let _ = writeln!(
        draft.parts,
        "part slopes {{\n  up +z\n  size {} x {} x {}\n{blocks}}}",
        number(at),
        number(2.0 * WIDE),
        mm(base + fin)
    );
    draft.bodies.push(Body { name: "slopes".into(), solid, plan: Plan { outlines: vec![outline], labels } });
    Ok(())
}
