//! The form that is filled in at the bench: what to read and try, with the values drawn at the time of printing.

use std::fmt::Write;

use super::profile_of;
use crate::model::{FeatureId, Model, Value};
use crate::quantity::number;

/// A dimension to read.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Asked {
    /// Its path.
    pub path: String,
    /// What is drawn, with its unit.
    pub drawn: String,
    /// What it is measured with, where that is not plain; empty otherwise.
    pub hint: String,
}

const HEAD: &str = "\
# Fill in what you read and take the # away: three readings on one place, away from the seam, half an hour after printing.
# First read something whose size is known (a bearing ring, a ground pin), to see what the caliper is off.
# A block for each object; copies of one plate say the same plate. What held is worth writing down as much as what broke.
";

/// The form for a sheet: one object, each line a comment until it is filled in.
#[must_use]
pub fn form(model: &Model, sheet: &str, day: Option<&str>, asked: &[Asked]) -> String {
    let mut out = format!("notes \"{sheet}\"\n\n{HEAD}\nprinted \"1\" {{\n");
    // Writing to a text cannot fail.
    let revision = text(model, Model::SHEET, "revision");
    if let Some(revision) = revision {
        let _ = writeln!(out, "  revision \"{revision}\"");
    }
    let _ = match day {
        Some(day) => writeln!(out, "  plate \"1\"; on \"{day}\""),
        None => writeln!(out, "  plate \"1\"   # ; on \"2027-02-11\""),
    };
    for kind in ["machine", "material"] {
        let name = profile_of(model, kind);
        if !name.is_empty() {
            let _ = writeln!(out, "  {kind} {name}");
        }
    }
    for Asked { path, drawn, hint } in asked {
        let hint = if hint.is_empty() { String::new() } else { format!("   # {hint}") };
        let _ = writeln!(out, "  # came {path} from {drawn} measured    mm{hint}");
    }
    for (id, opening) in arms(model) {
        // The arm as it is drawn today: tomorrow's sheet may have another.
        let drawn: String = ["length", "thickness"]
            .into_iter()
            .filter_map(|name| Some(format!("; {name} {} mm", rounded(quantity(model, id, name)?))))
            .collect();
        let _ = writeln!(
            out,
            "  # trial {} {{ held {opening} mm{drawn} }}   # or cracked, whitened, stays-bent; times 50",
            model.path(id)
        );
    }
    for title in fits(model) {
        let _ = writeln!(out, "  # went \"{title}\" together   # or too-tight, rattles");
    }
    for id in hooks(model) {
        let _ = writeln!(out, "  # pull {} measured    N by spring-balance", model.path(id));
    }
    out.push_str("}\n");
    crate::syntax::format::tidy(&out)
}

fn text(model: &Model, id: FeatureId, name: &str) -> Option<String> {
    match model.value_of(id, model.field(id, name)?).ok()? {
        Value::Text(text) => Some(text.to_string()),
        _ => None,
    }
}

fn own<'m>(model: &'m Model, kind: &'static str) -> impl Iterator<Item = FeatureId> + 'm {
    let all = model.ids().filter(move |(_, feature)| &*feature.block.name == kind && !feature.imported);
    all.map(|(id, _)| id)
}

/// The arms with how far each opens.
fn arms<'m>(model: &'m Model<'_>) -> impl Iterator<Item = (FeatureId, String)> + 'm {
    own(model, "arm").filter_map(|id| {
        let hook = model.feature(id).children.iter().find(|child| &*model.feature(*child).block.name == "hook");
        let opens = quantity(model, id, "opens").or_else(|| quantity(model, hook?, "depth"))?;
        Some((id, rounded(opens)))
    })
}

fn rounded(length: f64) -> String {
    number((length * 1e3).round() / 1e3)
}

/// The hooks that a pull lets go.
fn hooks<'m>(model: &'m Model<'_>) -> impl Iterator<Item = FeatureId> + 'm {
    const UPRIGHT: f64 = 1.5;
    own(model, "hook").filter(|id| quantity(model, *id, "return").is_some_and(|angle| angle < UPRIGHT))
}

fn fits<'m>(model: &'m Model<'_>) -> impl Iterator<Item = String> + 'm {
    own(model, "fit").map(|id| model.feature(id).name.clone())
}

fn quantity(model: &Model, id: FeatureId, name: &str) -> Option<f64> {
    match model.value_of(id, model.field(id, name)?).ok()? {
        Value::Quantity(quantity) => Some(quantity.value),
        _ => None,
    }
}
