//! Findings accepted in writing.

use std::collections::HashSet;
use std::fmt::Write;

use super::date::Date;
use super::finding::{Finding, Level};
use super::library::Library;
use crate::fault::{Fault, did_you_mean};
use crate::model::{FeatureId, Model, Value};
use crate::quantity::Quantity;
use crate::source::Span;
use crate::syntax::tree::Comparator;
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
    /// The reason, who accepts it and how long it is good for.
    reason: String,
    /// It is good no more.
    expired: bool,
    /// How bad the finding may get, and where the sheet says so.
    most: Option<(Quantity, Span)>,
}

impl Permits {
    pub(super) fn of(library: &Library, model: &Model) -> Self {
        let mut permits = Self { list: Vec::new(), faults: Vec::new() };
        for (id, feature) in model.ids().filter(|(_, feature)| feature.block.act == Act::Permits) {
            let (Some(Value::Text(rule)), Some(Value::Feature(on)), Some(Value::Text(reason))) =
                (value(model, id, "rule"), value(model, id, "on"), value(model, id, "reason"))
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
                Some(_) => {
                    let mut permit = Permit {
                        id,
                        rule: rule.to_string(),
                        on,
                        reason: reason.to_string(),
                        expired: false,
                        most: most(model, id),
                    };
                    permits.faults.extend(permit.bind(library, model));
                    if permit.expired {
                        // Told once, here too.
                        feature.uses.set(1);
                    }
                    permits.list.push(permit);
                }
            }
        }
        permits
    }

    pub(super) fn apply(&mut self, library: &Library, model: &Model, findings: &mut [(FeatureId, Finding)]) {
        for permit in &self.list {
            let meant = findings.iter_mut().filter(|(id, finding)| *id == permit.on && finding.rule == permit.rule);
            for (_, finding) in meant {
                // It is needed, whether it still accepts the finding or not.
                let uses = &model.feature(permit.id).uses;
                uses.set(uses.get() + 1);
                if permit.expired {
                    continue;
                }
                if library.rule(&permit.rule).is_some_and(|rule| rule.caution) {
                    finding.acknowledged = Some(permit.reason.clone());
                    finding.level = Level::Note;
                    continue;
                }
                match permit.accepts(finding) {
                    Ok(true) => finding.permitted = Some(permit.reason.clone()),
                    Ok(false) => permit.too_bad(finding),
                    Err(fault) => self.faults.push(*fault),
                }
            }
        }
    }
}

/// The rules that the sheet's permits name, each with its feature, good or not.
pub(super) fn meant(model: &Model) -> HashSet<(FeatureId, String)> {
    let permits = model.ids().filter(|(_, feature)| feature.block.act == Act::Permits);
    let one = |(id, _)| match (value(model, id, "rule"), value(model, id, "on")) {
        (Some(Value::Text(rule)), Some(Value::Feature(on))) => Some((on, rule.to_string())),
        _ => None,
    };
    permits.filter_map(one).collect()
}

fn value(model: &Model, id: FeatureId, name: &str) -> Option<Value> {
    model.field(id, name).and_then(|field| model.value_of(id, field).ok())
}

fn most(model: &Model, id: FeatureId) -> Option<(Quantity, Span)> {
    let place = model.place_of(id, model.field(id, "up-to")?);
    match value(model, id, "up-to")? {
        Value::Quantity(most) => Some((most, place)),
        _ => None,
    }
}

impl Permit {
    /// Who accepts it and until when: told with the reason. A fault where that is over or cannot be told.
    fn bind(&mut self, library: &Library, model: &Model) -> Option<Fault> {
        if let Some(Value::Text(by)) = value(model, self.id, "by") {
            // Writing to a text cannot fail.
            let _ = write!(self.reason, "; accepted by {by}");
        }
        if let Some((most, _)) = &self.most {
            // Writing to a text cannot fail.
            let _ = write!(self.reason, "; up to {}", most.text());
        }
        let Some(Value::Text(until)) = value(model, self.id, "until") else { return None };
        let place = model.field(self.id, "until").map(|field| model.place_of(self.id, field))?;
        let ended = if let Some(day) = Date::read(&until) {
            // Writing to a text cannot fail.
            let _ = write!(self.reason, "; until {day}");
            match library.today {
                Some(today) if today > day => Some(format!("it was good until {day}, and today is {today}")),
                Some(_) => None,
                None => {
                    self.reason.push_str(" (not checked: no day was given to check it by)");
                    None
                }
            }
        } else if let Some(revision) = until.strip_prefix("revision ").map(str::trim).filter(|name| !name.is_empty()) {
            // Writing to a text cannot fail.
            let _ = write!(self.reason, "; until revision {revision}");
            let Some(Value::Text(now)) = value(model, Model::SHEET, "revision") else {
                let fault =
                    Fault::new("missing-field", place, "this permit ends with a revision, and the sheet states none");
                return Some(
                    fault.label("no revision to compare").help("write `sheet \"…\" revision \"A\"` at the top"),
                );
            };
            let reached = order_of(&now) >= order_of(revision);
            reached.then(|| format!("it was good until revision {revision}, and this is revision {now}"))
        } else {
            let fault =
                Fault::new("wrong-kind", place, format!("`until` takes a revision or a day; this is \"{until}\""));
            return Some(fault.help("write `until \"revision D\"` or `until \"2027-03-31\"`"));
        };
        let ended = ended?;
        self.expired = true;
        let message = format!("the permit for {} on {} has expired: {ended}", self.rule, model.in_words(self.on));
        let fault = Fault::new("expired-permit", place, message).label("its time is over");
        Some(fault.help("mend the finding, or decide anew and move the end"))
    }

    /// Whether the finding is no worse than what was accepted.
    fn accepts(&self, finding: &Finding) -> Result<bool, Box<Fault>> {
        let Some((most, at)) = &self.most else { return Ok(true) };
        let wrong = |message: String, help: String| {
            Err(Box::new(Fault::new("wrong-kind", *at, message).label("cannot be compared").help(help)))
        };
        let Some(margin) = &finding.margin else {
            let message = format!("`{}` compares nothing here, so that no `up-to` can bind it", self.rule);
            return wrong(message, "leave `up-to` out".into());
        };
        if most.dimension != margin.left.dimension {
            let message = format!(
                "`{}` compares {}, not {}",
                self.rule,
                margin.left.dimension.describe(),
                most.dimension.describe()
            );
            return wrong(message, format!("it is {} now: write a value like that", margin.left.text()));
        }
        // As with every comparison: the last bit does not decide.
        let slack = 1e-9 * most.value.abs();
        Ok(match margin.comparator {
            Comparator::Greater | Comparator::AtLeast => margin.left.value >= most.value - slack,
            _ => margin.left.value <= most.value + slack,
        })
    }

    /// The finding comes back, and says why.
    fn too_bad(&self, finding: &mut Finding) {
        let (Some((most, at)), Some(margin)) = (&self.most, &finding.margin) else { return };
        finding.message =
            format!("{}; it is permitted up to {}, and this is {}", finding.message, most.text(), margin.left.text());
        finding.others.push((*at, format!("permitted up to {}", most.text())));
    }
}

/// How revisions follow each other: by their numbers, and by their letters, shorter before longer
/// (Z before AA).
fn order_of(revision: &str) -> Vec<(usize, String)> {
    let parts = revision.split(|c: char| !c.is_alphanumeric()).filter(|part| !part.is_empty());
    let mut order = Vec::new();
    for part in parts {
        let mut rest = part;
        while let Some(first) = rest.chars().next() {
            let alike = |c: char| c.is_ascii_digit() == first.is_ascii_digit();
            let end = rest.find(|c| !alike(c)).unwrap_or(rest.len());
            let run = rest[..end].to_uppercase();
            let run = if first.is_ascii_digit() { run.trim_start_matches('0').to_owned() } else { run };
            order.push((run.chars().count(), run));
            rest = &rest[end..];
        }
    }
    order
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

#[cfg(test)]
mod tests {
    use super::order_of;

    #[test]
    fn revisions_follow_each_other() {
        for (earlier, later) in [("A", "B"), ("Z", "AA"), ("9", "10"), ("1.9", "1.10"), ("b", "C"), ("2", "2.1")] {
            assert!(order_of(earlier) < order_of(later), "{earlier} {later}");
        }
        assert_eq!(order_of("c"), order_of("C"));
        assert_eq!(order_of("03"), order_of("3"));
    }
}
