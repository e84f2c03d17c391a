//! Findings accepted in writing.

use super::finding::{Finding, Level};
use super::library::Library;
use crate::fault::{Fault, did_you_mean};
use crate::model::{FeatureId, Model, Value};
use crate::source::Span;
use crate::vocabulary::Act;

/// The sheet's permits, by what they accept.
pub(super) struct Permits {
    list: Vec<Permit>,
    /// What is wrong with them.
    pub(super) faults: Vec<Fault>,
}

struct Permit {
    id: FeatureId,
    rule: String,
    on: FeatureId,
    reason: String,
}

impl Permits {
    pub(super) fn of(library: &Library, model: &Model) -> Self {
        let mut permits = Self { list: Vec::new(), faults: Vec::new() };
        for (id, feature) in model.ids().filter(|(_, feature)| feature.block.act == Act::Permits) {
            let value = |name: &str| model.field(id, name).and_then(|field| model.value_of(id, field).ok());
            let (Some(Value::Text(rule)), Some(Value::Feature(on)), Some(Value::Text(reason))) =
                (value("rule"), value("on"), value("reason"))
            else {
                continue;
            };
            let place = model.field(id, "rule").map_or(feature.span, |field| model.place_of(id, field));
            match library.rule(&rule) {
                None => {
                    // Told once: such a permit is not spent as well.
                    feature.uses.set(1);
                    permits.faults.push(unknown_rule(library, &rule, place));
                }
                Some(known) if known.reading.is_some() => permits.faults.push(not_permissible(&rule, place)),
                Some(_) => permits.list.push(Permit { id, rule: rule.to_string(), on, reason: reason.to_string() }),
            }
        }
        permits
    }

    pub(super) fn apply(&self, library: &Library, model: &Model, findings: &mut [(FeatureId, Finding)]) {
        for permit in &self.list {
            let meant = findings.iter_mut().filter(|(id, finding)| *id == permit.on && finding.rule == permit.rule);
            for (_, finding) in meant {
                if library.rule(&permit.rule).is_some_and(|rule| rule.caution) {
                    finding.acknowledged = Some(permit.reason.clone());
                    finding.level = Level::Note;
                } else {
                    finding.permitted = Some(permit.reason.clone());
                }
                let uses = &model.feature(permit.id).uses;
                uses.set(uses.get() + 1);
            }
        }
    }
}

fn unknown_rule(library: &Library, name: &str, at: Span) -> Fault {
    let help = did_you_mean(name, library.rules.iter().map(|rule| rule.name.as_str()));
    Fault::new("unknown-name", at, format!("there is no rule `{name}`"))
        .label("unknown rule")
        .help(help.unwrap_or_else(|| "`dryfit why` lists the rules".into()))
}

fn not_permissible(name: &str, at: Span) -> Fault {
    Fault::new("wrong-kind", at, format!("`{name}` is about the sheet's text; it cannot be permitted"))
        .help("mend the line that it points at")
}
