//! A sheet's own arm on a root of its own kind, with a ledge under its tip, and a stair that is pushed between the two: one arm, opened
//! step by step past what it needs.

use std::fmt::Write;

use super::shop::{quantity, value_of};
use super::{
    Body, Draft, Guide, Outline, Plan, Point, Refusal, Remark, Row, Seen, Shop, Sight, Solid, mm, number, on_circle,
};
use crate::fault::near;
use crate::geometry::{Vector, alignment, dot};
use crate::model::{FeatureId, Model, Value};

/// Openings as shares of what the arm needs.
pub const OPENINGS: [f64; 5] = [0.9, 1.0, 1.1, 1.25, 1.4];
/// The nib that the stair lifts, half round.
const NIB: f64 = 1.0;
/// Free height under the nib, and past it to the arm's end.
const FREE: f64 = 2.0;
const PAST: f64 = 2.0;
/// Thickness of what must not bend, in thicknesses of the arm, and at least.
const STIFF: f64 = 4.0;
const STIFF_LEAST: f64 = 6.0;
/// From step to step the stair rises at this slope; a step is longer than the arm is wide by this.
const RISE: f64 = 0.5;
const SPARE: f64 = 2.0;
const STAIR: f64 = 4.0;

/// The arm as drawn, in mm.
struct Arm {
    name: String,
    length: f64,
    thickness: f64,
    tip: f64,
    width: f64,
    fillet: f64,
    opens: f64,
    cycles: f64,
    points: Vector,
    bends: Vector,
    up: Vector,
    narrows: bool,
    base: String,
}

pub(super) fn draft(shop: &Shop, model: &Model, on: Option<&str>) -> Result<Draft, Refusal> {
    let arm = chosen(model, on)?;
    let (outline, free) = fork(&arm)?;
    let stair = stair(&arm, free, shop);
    let mut draft = Draft::of(Guide::Arm);
    let solid = Solid::drawn_out(&outline, arm.width)?.turned(standing(&arm));
    let [x, y, z] = solid.size().map(number);
    let (points, bends) = lies(&arm);
    draft.parts = format!(
        "part fork {{\n  up +z\n  size {x} x {y} x {z} mm\n  arm {name} {{\n    points {points}; bends {bends}; length {}; thickness {}; \
         tip-thickness {}; width {}\n    root-fillet {}; base block; opens {}; cycles {}\n  }}\n  \
         slot under {{ width {}; across {bends} }}\n}}\n\npart wedge {{\n  up +z\n",
        mm(arm.length),
        mm(arm.thickness),
        mm(arm.tip),
        mm(arm.width),
        mm(arm.fillet),
        mm(arm.opens),
        number(arm.cycles),
        mm(free),
        name = arm.name,
    );
    for (index, opening) in stair.openings.iter().enumerate() {
        let (name, high) = (format!("s{}", index + 1), free + opening);
        // Writing to a text cannot fail.
        let _ = writeln!(
            draft.parts,
            "  tongue {name} {{ width {}; across +y }}   # opens the arm by {}",
            mm(high),
            mm(*opening)
        );
        draft.rows.push(Row { path: format!("wedge.{name}.width"), drawn: high, with: "outside jaws" });
        draft.seen.push(Seen { what: Sight::Step { number: index + 1, opening: *opening }, line: None });
    }
    draft.parts += "}\n";
    draft.rows.push(Row {
        path: format!("fork.{}.thickness", arm.name),
        drawn: arm.thickness,
        with: "outside jaws or micrometer",
    });
    draft.rows.push(Row { path: "fork.under.width".into(), drawn: free, with: "drill shanks" });
    let label = ([arm.length / 2.0, arm.tip + 2.0], arm.name.clone());
    draft.bodies = vec![
        Body { name: "fork".into(), solid, plan: Plan { outlines: vec![outline], labels: vec![label] } },
        Body {
            name: "wedge".into(),
            solid: Solid::drawn_out(&stair.outline, shop.layers(STAIR))?,
            plan: Plan { outlines: vec![stair.outline], labels: stair.labels },
        },
    ];
    draft.remarks = remarks(&arm);
    Ok(draft)
}

fn remarks(arm: &Arm) -> Vec<Remark> {
    let narrows = arm.narrows.then(|| Remark::Narrows { arm: arm.name.clone() });
    let grows = || Remark::GrowsFrom { arm: arm.name.clone(), base: arm.base.clone() };
    narrows.into_iter().chain((arm.base != "block").then(grows)).collect()
}

/// The arm from the side: root block to the left, the ledge below, the nib under the tip. And the free height under the nib.
fn fork(arm: &Arm) -> Result<(Outline, f64), Refusal> {
    let (length, fillet) = (arm.length, arm.fillet);
    if fillet + PAST > length - NIB {
        return Err(Refusal::ShortArm { arm: arm.name.clone(), length, fillet });
    }
    if arm.opens * OPENINGS[4] > length / 3.0 {
        return Err(Refusal::OpensFar { arm: arm.name.clone() });
    }
    let stiff = (STIFF * arm.thickness).max(STIFF_LEAST);
    let deep = (NIB + FREE).max(fillet + NIB);
    let over = arm.tip.max(arm.thickness) + 2.0 * arm.thickness;
    let end = length + PAST;
    let quarter = std::f64::consts::FRAC_PI_2;
    let curve = |centre: Point, radius: f64, from: f64, turn: f64| {
        (0..=16).map(move |at| on_circle(centre, radius, from + turn * f64::from(at) / 16.0))
    };
    let mut line = vec![[-stiff, -deep - stiff], [end + PAST, -deep - stiff], [end + PAST, -deep], [0.0, -deep]];
    if fillet > 0.0 {
        line.extend(curve([fillet, -fillet], fillet, 2.0 * quarter, -quarter));
    } else {
        line.push([0.0, 0.0]);
    }
    line.extend(curve([length, 0.0], NIB, 2.0 * quarter, 2.0 * quarter));
    let at_end = arm.thickness + (arm.tip - arm.thickness) * end / length;
    line.extend([[end, 0.0], [end, at_end], [0.0, arm.thickness], [0.0, over], [-stiff, over]]);
    Ok((Outline::of(line), deep - NIB))
}

struct Stair {
    outline: Outline,
    openings: Vec<f64>,
    labels: Vec<(Point, String)>,
}

fn stair(arm: &Arm, free: f64, shop: &Shop) -> Stair {
    let openings: Vec<f64> = OPENINGS.iter().map(|share| (share * arm.opens * 100.0).round() / 100.0).collect();
    let long = arm.width + SPARE;
    // In front of the first step it slips under the nib freely.
    let low = free - 2.0 * shop.line.min(free / 4.0);
    let mut top: Vec<Point> = vec![[0.0, low], [long, low]];
    let (mut at, mut height, mut labels) = (long, low, Vec::new());
    for opening in &openings {
        let step = free + opening;
        at += (step - height) / RISE;
        top.extend([[at, step], [at + long, step]]);
        labels.push(([at + long / 2.0, step + 1.0], mm(*opening)));
        (at, height) = (at + long, step);
    }
    top.reverse();
    Stair { outline: Outline::of([vec![[0.0, 0.0], [at, 0.0]], top].concat()), openings, labels }
}

/// The axes that turn the drawing (x along the arm, y the way it bends, z across) so that the part's `up` points up.
fn standing(arm: &Arm) -> [Vector; 3] {
    let along = [arm.points, arm.bends].map(|way| dot(way, arm.up));
    let sign = |share: f64| if share < 0.0 { -1.0 } else { 1.0 };
    match along {
        [points, bends] if points.abs() >= bends.abs() && points.abs() > 0.7 => {
            let s = sign(points);
            [[0.0, 0.0, s], [s, 0.0, 0.0], [0.0, 1.0, 0.0]]
        }
        [_, bends] if bends.abs() > 0.7 => {
            let s = sign(bends);
            [[1.0, 0.0, 0.0], [0.0, 0.0, s], [0.0, -s, 0.0]]
        }
        _ => [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    }
}

/// How the piece's arm points and bends, as it stands on the bed.
fn lies(arm: &Arm) -> (&'static str, &'static str) {
    let [along, bends, _] = standing(arm);
    (word(along), word(bends))
}

fn word(way: Vector) -> &'static str {
    let words = [["+x", "-x"], ["+y", "-y"], ["+z", "-z"]];
    let axis = (0..3).max_by(|a, b| way[*a].abs().total_cmp(&way[*b].abs())).unwrap_or(0);
    words[axis][usize::from(way[axis] < 0.0)]
}

fn chosen(model: &Model, on: Option<&str>) -> Result<Arm, Refusal> {
    let arms: Vec<FeatureId> = model
        .ids()
        .filter(|(_, feature)| &*feature.block.name == "arm" && !feature.imported)
        .map(|(id, _)| id)
        .collect();
    let Some(on) = on else { return arm(model, *arms.first().ok_or(Refusal::NoArm)?) };
    let Some(id) = arms.iter().find(|id| model.path(**id) == on) else {
        let names: Vec<String> = arms.iter().map(|id| model.path(*id)).collect();
        return Err(Refusal::NoSuchArm { path: on.into(), near: near(on, names.iter().map(String::as_str)) });
    };
    arm(model, *id)
}

fn arm(model: &Model, id: FeatureId) -> Result<Arm, Refusal> {
    let name = model.feature(id).name.clone();
    let lacks = |field: &'static str| Refusal::ArmLacks { arm: model.path(id), field };
    let number =
        |name: &'static str| quantity(model, id, name).map(|quantity| quantity.value).ok_or_else(|| lacks(name));
    let way = |id: FeatureId, name: &'static str| match value_of(model, id, name) {
        Some(Value::Direction(way)) => Ok(way),
        _ => Err(lacks(name)),
    };
    let hook = model.feature(id).children.iter().find(|child| &*model.feature(*child).block.name == "hook");
    let depth = hook.and_then(|hook| quantity(model, hook, "depth")).map(|depth| depth.value);
    let (points, bends) = (way(id, "points")?, way(id, "bends")?);
    if alignment(points, bends) > 0.1 {
        return Err(Refusal::BendsAskew { arm: model.path(id) });
    }
    let width = number("width")?;
    Ok(Arm {
        length: number("length")?,
        thickness: number("thickness")?,
        tip: number("tip-thickness")?,
        width,
        fillet: number("root-fillet")?,
        opens: quantity(model, id, "opens").map(|opens| opens.value).or(depth).ok_or_else(|| lacks("opens"))?,
        cycles: number("cycles")?,
        points,
        bends,
        // Without a way up it lies as an arm best does: in the layers.
        up: model.feature(id).parent.and_then(|part| way(part, "up").ok()).unwrap_or_default(),
        narrows: (number("tip-width")? - width).abs() > 1e-9,
        base: match value_of(model, id, "base") {
            Some(Value::Text(base)) => base.to_string(),
            _ => "block".into(),
        },
        name,
    })
}
