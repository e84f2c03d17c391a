//! Findings accepted in writing.

mod revision;
mod unknown;

use std::collections::{HashMap, HashSet};

use super::date::Date;
use super::finding::{Acceptance, ExceededNote, Finding, Level, MarginNote, Named, Until};
use super::library::Library;
use crate::fault::{Beside, End, Fault, PermitFault, near};
use crate::model::{FeatureId, Model, Value};
use crate::quantity::Quantity;
use crate::source::Span;
use crate::syntax::tree::Comparator;
use crate::vocabulary::Act;
use revision::order_of;

/// The sheet's permits, by what they accept.
pub(super) struct Permits {
    list: Vec<Permit>,
    /// What is wrong with them.
    pub(super) faults: Vec<Fault>,
    /// How often each is needed: by findings that it names, accepted or not.
    pub(super) uses: HashMap<FeatureId, usize>,
}

struct Permit {
    id: FeatureId,
    rule: String,
    on: FeatureId,
    reason: String,
    by: Option<String>,
    until: Option<Until>,
    /// It is good no more, or what it says cannot be read: it accepts nothing.
    void: bool,
    /// How bad the finding may get, and where the sheet says so.
    most: Option<(Quantity, Span)>,
}

impl Permits {
    pub(super) fn of(library: &Library, model: &Model) -> Self {
        let mut permits = Self { list: Vec::new(), faults: Vec::new(), uses: HashMap::new() };
        for (id, _) in model.ids().filter(|(_, feature)| feature.block.act == Act::Permits) {
            // What is wrong with a permit is told once: it is not spent as well.
            permits.uses.insert(id, 1);
            let (Some(Value::Text(rule)), Some(Value::Feature(on)), Some(Value::Text(reason))) =
                (value(model, id, "rule"), value(model, id, "on"), value(model, id, "reason"))
            else {
                continue;
            };
            let place = place(model, id, "rule");
            // For its names of before every rule has to be read: only where none goes by the name now.
            let renamed = || {
                let now = library.formerly(&rule)?;
                permits.faults.push(old_name(&rule, &now.name, place));
                Some(now)
            };
            match library.rule(&rule).or_else(renamed) {
                None => permits.faults.push(unknown_rule(library, &rule, place)),
                Some(known) if known.reading.is_some() => permits.faults.push(not_permissible(&rule, place)),
                Some(_) if reason.trim().is_empty() => permits.faults.push(no_reason(model, id)),
                Some(known) => {
                    let rule = known.name.to_string();
                    if let Some(first) = permits.list.iter().find(|p| p.rule == rule && p.on == on && !p.void) {
                        permits.faults.push(repeated(model, first, place));
                        continue;
                    }
                    let mut permit = Permit {
                        id,
                        rule,
                        on,
                        reason: reason.to_string(),
                        by: None,
                        until: None,
                        void: is_unclear(model, id),
                        most: None,
                    };
                    permits.faults.extend(permit.bind(library, model));
                    if !permit.void {
                        permits.uses.insert(id, 0);
                    }
                    permits.list.push(permit);
                }
            }
        }
        permits
    }

    pub(super) fn apply(&mut self, library: &Library, findings: &mut [(FeatureId, Box<Finding>)]) {
        for permit in &self.list {
            let meant = findings.iter_mut().filter(|(id, finding)| *id == permit.on && finding.rule == permit.rule);
            for (_, finding) in meant {
                // It is needed, whether it still accepts the finding or not.
                *self.uses.entry(permit.id).or_default() += 1;
                if permit.void {
                    continue;
                }
                let caution = library.rule(&permit.rule).is_some_and(|rule| rule.caution);
                match permit.accepts(finding) {
                    Ok(true) if caution => {
                        finding.acknowledged = Some(permit.acceptance(finding));
                        finding.level = Level::Note;
                    }
                    Ok(true) => finding.permitted = Some(permit.acceptance(finding)),
                    Ok(false) => permit.too_bad(finding),
                    Err(fault) => self.faults.push(*fault),
                }
            }
        }
    }

    /// How often a permit is needed: by findings that it names, accepted or not.
    pub(super) fn uses(&self, permit: FeatureId) -> usize {
        self.uses.get(&permit).copied().unwrap_or_default()
    }

    /// A permit that nothing needs may only name the wrong thing: where its rule does find something is said.
    pub(super) fn point_out(&self, model: &Model, findings: &mut [(FeatureId, Box<Finding>)]) {
        for permit in self.list.iter().filter(|permit| self.uses(permit.id) < 1) {
            let is_open = |(_, finding): &&(FeatureId, Box<Finding>)| {
                finding.rule == permit.rule && finding.permitted.is_none() && finding.acknowledged.is_none()
            };
            let mut open: Vec<FeatureId> = findings.iter().filter(is_open).map(|(id, _)| *id).collect();
            // What lies in the thing named comes first.
            open.sort_by_key(|id| (!model.outward(*id).any(|outer| outer == permit.on), *id));
            open.dedup();
            for (_, spent) in findings.iter_mut().filter(|(id, _)| *id == permit.id) {
                let named = |id: &FeatureId| Named { path: model.path(*id), is_title: model.has_title(*id) };
                spent.elsewhere = open.iter().map(named).collect();
            }
        }
    }
}

/// A permit for a rule by its name of before: it counts.
fn old_name(rule: &str, now: &str, at: Span) -> Fault {
    PermitFault::OldName { rule: rule.into(), now: now.into() }.at(at)
}

/// Whether a permit says something that could not be read: what it accepts is not known then.
fn is_unclear(model: &Model, id: FeatureId) -> bool {
    let feature = model.feature(id);
    let unread = |field: &crate::model::Field| field.written.is_some() && model.value_of(id, field).is_err();
    feature.incomplete || !feature.attempted.is_empty() || feature.fields.iter().any(unread)
}

/// Where a permit's field is; the permit itself where it does not say it.
fn place(model: &Model, id: FeatureId, name: &str) -> Span {
    model.field(id, name).map_or(model.feature(id).span, |field| model.place_of(id, field))
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

impl Permit {
    /// Who accepts it, how far and until when. A fault where that cannot be told, or is over: then it
    /// accepts nothing.
    fn bind(&mut self, library: &Library, model: &Model) -> Option<Fault> {
        if let Some(Value::Text(by)) = value(model, self.id, "by") {
            self.by = Some(by.to_string());
        }
        let fault = self.bind_most(model).or_else(|| self.bind_end(library, model));
        self.void |= fault.is_some();
        fault
    }

    fn bind_most(&mut self, model: &Model) -> Option<Fault> {
        let at = place(model, self.id, "up-to");
        match value(model, self.id, "up-to")? {
            Value::Quantity(most) => {
                self.most = Some((most, at));
                None
            }
            other => Some(PermitFault::LimitKind { found: other.describe() }.at(at)),
        }
    }

    fn bind_end(&mut self, library: &Library, model: &Model) -> Option<Fault> {
        let Some(Value::Text(until)) = value(model, self.id, "until") else { return None };
        let place = place(model, self.id, "until");
        let ended = if let Some(day) = Date::read(&until) {
            self.until = Some(Until::Day { day: day.to_string(), checked: library.today.is_some() });
            let over = library.today.filter(|today| *today > day);
            over.map(|today| End::Day { day: day.to_string(), today: today.to_string() })
        } else if let Some(revision) = until.strip_prefix("revision ").map(str::trim).filter(|name| !name.is_empty()) {
            self.until = Some(Until::Revision(revision.to_owned()));
            let Some(Value::Text(now)) = value(model, Model::SHEET, "revision") else {
                return Some(PermitFault::NoRevision {}.at(place));
            };
            let (is, end) = (order_of(&now), order_of(revision));
            let now = (is != end).then(|| now.to_string());
            (is >= end).then(|| End::Revision { end: revision.into(), now })
        } else {
            return Some(PermitFault::EndForm { until: until.to_string() }.at(place));
        };
        let (rule, on) = (self.rule.clone(), model.in_words(self.on));
        Some(PermitFault::Expired { rule, on, end: ended? }.at(place))
    }

    /// What a finding that it accepts says of it.
    fn acceptance(&self, finding: &Finding) -> Acceptance {
        Acceptance {
            reason: self.reason.clone(),
            by: self.by.clone(),
            most: self.most.as_ref().map(|(most, _)| most.clone()),
            downward: finding.margin.as_ref().is_some_and(wants_more),
            until: self.until.clone(),
        }
    }

    /// Whether the finding is no worse than what was accepted.
    fn accepts(&self, finding: &Finding) -> Result<bool, Box<Fault>> {
        let Some((most, at)) = &self.most else { return Ok(true) };
        let rule = || self.rule.clone();
        let Some(margin) = &finding.margin else {
            return Err(Box::new(PermitFault::NothingCompared { rule: rule() }.at(*at)));
        };
        if most.dimension != margin.left.dimension {
            let (compares, most) = (margin.left.dimension.describe(), most.dimension.describe());
            let code = PermitFault::OtherDimension { rule: rule(), compares, most, now: margin.left.text() };
            return Err(Box::new(code.at(*at)));
        }
        let left = &margin.left;
        // What the report shows can be copied into the permit: digits that it does not show decide nothing.
        let as_shown = |one: &Quantity, other: &Quantity| {
            Quantity { unit: one.shown_unit(), ..other.clone() }.text() == one.text()
        };
        let same = as_shown(left, most) || as_shown(most, left);
        Ok(same || if wants_more(margin) { left.value >= most.value } else { left.value <= most.value })
    }

    /// The finding comes back, and says why.
    fn too_bad(&self, finding: &mut Finding) {
        let (Some((most, at)), Some(margin)) = (&self.most, &finding.margin) else { return };
        let (found, downward) = (margin.left.clone(), wants_more(margin));
        finding.exceeded = Some(ExceededNote { at: *at, most: most.clone(), found, downward });
    }
}

/// Whether a comparison wants at least something: it gets worse downward.
fn wants_more(margin: &MarginNote) -> bool {
    matches!(margin.comparator, Comparator::Greater | Comparator::AtLeast)
}

fn unknown_rule(library: &Library, name: &str, at: Span) -> Fault {
    let near = near(name, library.rules.iter().map(|rule| rule.name.as_str()));
    PermitFault::UnknownRule { name: name.into(), near }.at(at)
}

fn not_permissible(rule: &str, at: Span) -> Fault {
    PermitFault::NotPermissible { rule: rule.into() }.at(at)
}

fn no_reason(model: &Model, id: FeatureId) -> Fault {
    PermitFault::NoReason {}.at(place(model, id, "reason"))
}

fn repeated(model: &Model, first: &Permit, at: Span) -> Fault {
    let fault = PermitFault::Repeated { rule: first.rule.clone(), on: model.in_words(first.on) }.at(at);
    fault.also(place(model, first.id, "rule"), Beside::FirstPermitted)
}
