//! A comb of slots, or a row of holes, around the drawn width of a fit: what a bought part goes into and what it does not. The answer is
//! a drawn width, with the machine's bias and the part's size in it already.

use std::fmt::Write;

use super::shop::{quantity, value_of};
use super::{Body, Draft, Guide, NotServed, Outline, Plan, Point, Refusal, Row, Shop, Solid, mm, number};
use crate::fault::near;
use crate::learning::comb::counted_u;
use crate::model::{FeatureId, Model, Reference, Value};
use crate::quantity::Quantity;
use crate::source::printable_line;
use crate::syntax::tree::{ExprKind, ValueKind};

/// How far openings reach around what is needed, in standard uncertainties of it.
const REACH: f64 = 5.0;
const FEWEST: u32 = 5;
const MOST: u32 = 15;
/// No finer step than one that a drawing keeps.
const LEAST_STEP: f64 = 0.02;
const DEEP: f64 = 8.0;
const HIGH: f64 = 6.0;
const BACK: f64 = 4.0;
const BETWEEN: f64 = 2.0;
const BETWEEN_LINES: f64 = 4.0;
const MARK: f64 = 2.0;

/// A fit of a bought part.
struct Fit {
    title: String,
    drawn: f64,
    is_hole: bool,
    bought: Quantity,
    class: String,
}

pub(super) fn draft(shop: &Shop, model: &Model, on: Option<&str>) -> Result<Draft, Refusal> {
    let fit = chosen(model, on)?;
    let step = ((shop.gap_spread * 100.0).round() / 100.0).max(LEAST_STEP);
    let widths = widths(&fit, step, shop.gap_u.hypot(fit.bought.uncertainty()));
    let between = BETWEEN.max(BETWEEN_LINES * shop.line);
    let high = shop.layers(HIGH);
    let (outline, places, deep) =
        if fit.is_hole { row(&widths, between, shop.facets) } else { teeth(&widths, between) };
    let long = long(&widths, between);
    let counted_u = counted_u(step, shop.gap_spread);
    let guide = Guide::Comb { step, title: fit.title.clone(), counted_u };
    let mut draft = Draft { before: original(&fit), ..Draft::of(guide) };
    draft.parts = format!("part comb {{\n  up +z\n  size {} x {} x {}\n", number(long), number(deep), mm(high));
    let (mut fits, mut labels) = (String::new(), Vec::new());
    let (word, field) = if fit.is_hole { ("hole", "diameter") } else { ("slot", "width") };
    for (index, (width, at)) in widths.iter().zip(&places).enumerate() {
        let (name, drawn) = (format!("s{}", index + 1), mm(*width));
        let rest = if fit.is_hole {
            "through yes; axis +z".into()
        } else {
            format!("depth {}; axis +y; across +x; through yes", mm(DEEP))
        };
        // Writing to a text cannot fail.
        let _ = writeln!(draft.parts, "  {word} {name} {{ {field} {drawn}; {rest} }}");
        let _ = writeln!(
            fits,
            "fit \"{drawn}\" {{ inside comb.{name}.{field}; outside original.size; class {} }}",
            fit.class
        );
        labels.push((*at, number(*width)));
        draft.rows.push(Row {
            path: format!("comb.{name}.{field}"),
            drawn: *width,
            with: if fit.is_hole { "ground pins" } else { "inside jaws" },
        });
    }
    let _ = write!(draft.parts, "}}\n\n{fits}");
    let plan = Plan { outlines: vec![outline.clone()], labels };
    draft.bodies = vec![Body { name: "comb".into(), solid: Solid::drawn_out(&outline, high)?, plan }];
    Ok(draft)
}

/// Drawn widths around the fit's own, an odd number of them, so that its own is one.
fn widths(fit: &Fit, step: f64, u: f64) -> Vec<f64> {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between these")]
    let wanted = (1.0 + REACH * u / step).ceil().clamp(f64::from(FEWEST), f64::from(MOST)) as u32;
    let half = i32::try_from(wanted / 2).unwrap_or(2);
    (-half..=half)
        .map(|at| ((fit.drawn + f64::from(at) * step) * 100.0).round() / 100.0)
        .filter(|width| *width >= step)
        .collect()
}

/// How long openings are in a row, with material between and around them.
fn long(widths: &[f64], between: f64) -> f64 {
    widths.iter().map(|width| width + between).sum::<f64>() + between
}

/// Slots open to one side: the outline, a place in each, and how deep the whole is.
fn teeth(widths: &[f64], between: f64) -> (Outline, Vec<Point>, f64) {
    let (top, floor) = (BACK + DEEP, BACK);
    let mut edge = vec![[0.0, top]];
    let (mut at, mut places) = (between, Vec::new());
    for width in widths {
        edge.extend([[at, top], [at, floor], [at + width, floor], [at + width, top]]);
        places.push([at + width / 2.0, floor + DEEP / 2.0]);
        at += width + between;
    }
    edge.push([at, top]);
    edge.reverse();
    let foot = vec![[0.0, MARK], [MARK, 0.0], [at, 0.0]];
    (Outline::of([foot, edge].concat()), places, top)
}

/// The same for a round part.
fn row(widths: &[f64], between: f64, facets: u32) -> (Outline, Vec<Point>, f64) {
    let widest = widths.iter().copied().fold(0.0, f64::max);
    let deep = widest + 2.0 * (between + MARK);
    let long = long(widths, between);
    let mut outline = Outline::of(vec![[0.0, MARK], [MARK, 0.0], [long, 0.0], [long, deep], [0.0, deep]]);
    let (mut at, mut places) = (between, Vec::new());
    for width in widths {
        let centre = [at + width / 2.0, deep / 2.0];
        outline = outline.without(&Outline::circle(centre, *width, facets));
        places.push(centre);
        at += width + between;
    }
    (outline, places, deep)
}

fn original(fit: &Fit) -> String {
    let u = fit.bought.uncertainty();
    let doubt = if u > 0.0 { format!(" ± {}", mm(2.0 * u)) } else { String::new() };
    format!(
        "# As `{}` of the sheet states it.\nbought original {{ size {}{doubt} }}\n\n",
        printable_line(&fit.title),
        mm(fit.bought.value)
    )
}

fn chosen(model: &Model, on: Option<&str>) -> Result<Fit, Refusal> {
    let fits: Vec<FeatureId> = model
        .ids()
        .filter(|(_, feature)| &*feature.block.name == "fit" && !feature.imported)
        .map(|(id, _)| id)
        .collect();
    let title = |id: &FeatureId| model.feature(*id).name.clone();
    let Some(on) = on else {
        return fits.iter().find_map(|id| fit(model, *id).ok()).ok_or(Refusal::NoFit);
    };
    let Some(id) = fits.iter().find(|id| title(id) == on) else {
        let names: Vec<String> = fits.iter().map(title).collect();
        return Err(Refusal::NoSuchFit { title: on.into(), near: near(on, names.iter().map(String::as_str)) });
    };
    fit(model, *id).map_err(|why| Refusal::NotServed { title: on.into(), why })
}

/// What a fit is about, or why a comb does not serve it.
fn fit(model: &Model, id: FeatureId) -> Result<Fit, NotServed> {
    let (drawn, bought) =
        quantity(model, id, "inside").zip(quantity(model, id, "outside")).ok_or(NotServed::Unknown)?;
    let owner = |name: &str| {
        let field = model.field(id, name)?;
        let ValueKind::Plain(expr) = &field.written.as_ref()?.value.kind else { return None };
        let ExprKind::Path(path) = &expr.kind else { return None };
        model.references(id, field, path).into_iter().rev().flatten().find_map(|reference| match reference {
            Reference::Field(owner, _) => Some(owner),
            Reference::Feature(_) => None,
        })
    };
    if owner("outside").is_some_and(|owner| model.is_drawn(owner)) {
        return Err(NotServed::PrintedPair);
    }
    let kind = owner("inside").map_or("", |owner| &*model.feature(owner).block.name);
    if !matches!(kind, "slot" | "hole") {
        return Err(NotServed::NoOpening);
    }
    let class = match value_of(model, id, "class") {
        Some(Value::Text(class)) if &*class != "stated" => class.to_string(),
        _ => "sliding".into(),
    };
    Ok(Fit { title: model.feature(id).name.clone(), drawn: drawn.value, is_hole: kind == "hole", bought, class })
}
