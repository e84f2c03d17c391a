//! A cam of ever tighter arcs and strips to wrap around it: the strain at which the material whitens or cracks, without a root, a
//! length or a modulus in it.

use std::fmt::Write;

use super::{Body, Draft, Guide, Outline, Plan, Point, Refusal, Row, Shop, Sight, Solid, mm, number, on_circle};
use crate::learning::figures::Figures;
use crate::learning::specimen::arc_radius;
use crate::learning::strain_limit::median_of_sheet_limit;
use crate::quantity::number_to;

/// Arcs, from half to twice the median of what is believed, in even ratio: 4^(1/6).
const ARCS: i32 = 7;
/// A strip is so many lines thick: two lines would scatter twice as much in strain, and turn so far around that their end meets their
/// beginning.
const STRIP_LINES: f64 = 4.0;
const STRIPS: u32 = 3;
const WIDE: f64 = 8.0;
/// An arc is so long, unless all of them would turn farther than a strip can be wrapped.
const ARC: f64 = 12.0;
const TURN: f64 = 3.3;
/// The strip is held along a straight piece, and sticks out past the last arc.
const HELD: f64 = 14.0;
/// The end of the straight piece is so high, which leaves room for the square mark on a cam that turns little.
const END: f64 = 6.0;
const PAST: f64 = 6.0;
/// Each piece of an arc turns by no more than this.
const PIECE: f64 = 0.03;
/// Beyond a strain of so much a strip is no beam any more.
const MOST: f64 = 0.25;
const FOOT: [f64; 2] = [20.0, 14.0];
const MARK: [f64; 2] = [0.8, 4.0];

/// One arc: its number, strain and radius in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Arc {
    /// From 1, the widest.
    pub number: u32,
    /// The strain of a strip's outer fibre around it.
    pub strain: f64,
    /// Its radius.
    pub radius: f64,
}

pub(super) fn draft(shop: &Shop) -> Result<Draft, Refusal> {
    let thick = (STRIP_LINES * shop.line * 1e3).round() / 1e3;
    let arcs = arcs(shop.flex_once, thick, &shop.figures);
    if arcs.iter().any(|arc| arc.strain > MOST) {
        return Err(Refusal::BendsTooFar);
    }
    let turns: f64 = arcs.iter().map(|arc| ARC / arc.radius).sum();
    let each = ARC * (TURN / turns).min(1.0);
    let (edge, marks) = edge(&arcs, each);
    let high = shop.layers(WIDE + 2.0);
    let cam = Outline::of(edge);
    let bosses: Vec<Outline> = marks.iter().map(|mark| mark.boss.clone()).collect();
    let solid = Solid::with_bosses(&cam, high, &bosses, high + 2.0 * shop.layer)?;
    let mut draft = Draft::of(Guide::Arcs { arcs: arcs.clone(), thick });
    draft.part("cam", solid.size().map(|side| (side * 1e3).round() / 1e3));
    let labels = marks
        .iter()
        .zip(&arcs)
        .map(|(mark, arc)| (mark.at, format!("{}: {}", arc.number, percent(arc.strain))))
        .collect();
    draft.bodies.push(Body {
        name: "cam".into(),
        solid,
        plan: Plan { outlines: std::iter::once(cam).chain(bosses).collect(), labels },
    });
    let long = (HELD + each * f64::from(ARCS) + PAST).ceil();
    strips(shop, &mut draft, long, thick)?;
    draft.before = names(&arcs);
    for at in 1..=STRIPS {
        wrapped(&mut draft, &format!("strip-{at}"), &format!("strip-{at}.size.y"), thick, "");
    }
    wrapped(&mut draft, "upright", "upright.strip.thickness", thick, "across-layers yes; ");
    Ok(draft)
}

/// The arcs' radii by their names, so that notes can say `held arcs.a3`.
fn names(arcs: &[Arc]) -> String {
    let each = arcs.iter().map(|arc| format!("  a{} {}\n", arc.number, mm(rounded(arc.radius))));
    format!(
        "# Radii of the cam's arcs, the widest first: notes name them.\nbought arcs {{\n{}}}\n\n",
        each.collect::<String>()
    )
}

fn rounded(radius: f64) -> f64 {
    (radius * 100.0).round() / 100.0
}

/// What to write down of one strip.
fn wrapped(draft: &mut Draft, strip: &str, path: &str, thick: f64, across: &str) {
    draft.see(
        Sight::Wrapped { strip: strip.into() },
        format!(
            "strip {path} from {} {{ {across}held arcs.a3; cracked arcs.a4 }}   # or whitened, stays-bent",
            mm(thick)
        ),
    );
}

/// The arcs for a strip of a thickness.
pub(super) fn arcs(flex_once: f64, thick: f64, figures: &Figures) -> Vec<Arc> {
    let median = median_of_sheet_limit(flex_once, figures.limits_vary, figures.arms_scatter, figures.arms_failing);
    let strain = |at: i32| median * 4.0_f64.powf(f64::from(at) / f64::from(ARCS - 1) - 0.5);
    (0..ARCS)
        .zip(1..)
        .map(|(at, number)| Arc { number, strain: strain(at), radius: arc_radius(thick, strain(at)) })
        .collect()
}

/// A mark at the end of an arc, and where its number is written in the drawing.
struct Mark {
    boss: Outline,
    at: Point,
}

/// The cam's line, counterclockwise, each arc touching the next, and a mark where each ends.
fn edge(arcs: &[Arc], each: f64) -> (Vec<Point>, Vec<Mark>) {
    let (mut line, mut marks) = (vec![[-HELD, 0.0]], Vec::new());
    let (mut at, mut heading): (Point, f64) = ([0.0, 0.0], 0.0);
    line.push(at);
    for arc in arcs {
        let quarter = std::f64::consts::FRAC_PI_2;
        let centre = on_circle(at, arc.radius, heading + quarter);
        let turn = each / arc.radius;
        let pieces = (turn / PIECE).ceil().max(4.0);
        let point = |share: f64| on_circle(centre, arc.radius, heading - quarter + turn * share);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a few hundred at most")]
        line.extend((1..=pieces as u32).map(|piece| point(f64::from(piece) / pieces)));
        let middle = heading + turn / 2.0;
        (at, heading) = (point(1.0), heading + turn);
        let inward = [-heading.sin(), heading.cos()];
        marks.push(Mark {
            boss: mark(at, [heading.cos(), heading.sin()], inward),
            at: on_circle(centre, arc.radius + 4.0, middle - quarter),
        });
    }
    // The last arc ends where the cam does.
    if let Some(mark) = marks.last_mut() {
        mark.boss = Outline::rectangle([-HELD / 2.0, 2.0], [2.0 - HELD / 2.0, 4.0]);
    }
    line.push([-HELD, END]);
    (line, marks)
}

/// A bar that points inward from the edge.
fn mark(at: Point, along: Point, inward: Point) -> Outline {
    let corner = |side: f64, deep: f64| [0, 1].map(|axis| at[axis] + side * along[axis] + deep * inward[axis]);
    let [wide, long] = MARK;
    Outline::of(vec![corner(-wide, 0.8), corner(0.0, 0.8), corner(0.0, 0.8 + long), corner(-wide, 0.8 + long)])
}

/// Strips on edge, as arms lie, and one upright on a foot that is cut off: it bends across its layers.
fn strips(shop: &Shop, draft: &mut Draft, long: f64, thick: f64) -> Result<(), Refusal> {
    let (wide, foot) = (shop.layers(WIDE), shop.layers(3.0 * shop.layer));
    for name in (1..=STRIPS).map(|at| format!("strip-{at}")) {
        let outline = Outline::rectangle([0.0, 0.0], [long, thick]);
        draft.part(&name, [long, thick, wide]);
        draft.rows.push(Row { path: format!("{name}.size.y"), drawn: thick, with: "micrometer or outside jaws" });
        let plan = Plan { outlines: vec![outline.clone()], labels: vec![([long / 2.0, thick / 2.0], name.clone())] };
        draft.bodies.push(Body { name, solid: Solid::drawn_out(&outline, wide)?, plan });
    }
    let base = Outline::rectangle([0.0, 0.0], FOOT);
    let [x, y] = FOOT.map(|side| side / 2.0);
    let strip = Outline::rectangle([x - WIDE / 2.0, y - thick / 2.0], [x + WIDE / 2.0, y + thick / 2.0]);
    let top = foot + shop.layers(long);
    // Writing to a text cannot fail.
    let _ = writeln!(
        draft.parts,
        "\npart upright {{\n  up +z\n  size {} x {} x {}\n  wall strip {{ thickness {}; height {}; faces +y }}\n}}",
        number(FOOT[0]),
        number(FOOT[1]),
        mm(top),
        mm(thick),
        mm(top - foot)
    );
    draft.rows.push(Row { path: "upright.strip.thickness".into(), drawn: thick, with: "micrometer or outside jaws" });
    let plan = Plan { outlines: vec![base.clone(), strip.clone()], labels: vec![([x, y + 3.0], "upright".into())] };
    draft.bodies.push(Body { name: "upright".into(), solid: Solid::with_bosses(&base, foot, &[strip], top)?, plan });
    Ok(())
}

fn percent(strain: f64) -> String {
    format!("{} %", number_to(strain * 100.0, 3))
}
