//! The whole pack is checked when it is loaded, not when a rule happens to fire.

use super::library::Library;
use super::rule::Rule;
use super::scope::RuleScope;
use crate::fault::{Fault, did_you_mean};
use crate::model::{Evaluation, Failure, FeatureId, Model, specimen};
use crate::pack::{BUILT_IN, Formula};
use crate::syntax::tree::{Expr, ExprKind};
use crate::vocabulary::{Block, Field, FieldKind};

/// Every fault in the parts of a library that did not come with the program.
pub(super) fn library(library: &Library) -> Vec<Fault> {
    let model = specimen(&library.vocabulary);
    let mut faults = Vec::new();
    for rule in library.rules.iter().filter(|rule| rule.at.source != BUILT_IN) {
        Checking { library, rule, model: &model, faults: &mut faults }.all();
    }
    for rule in &library.rules {
        limits(rule, &model, &mut faults);
    }
    for block in &library.vocabulary.blocks {
        fields(block, &library.vocabulary.blocks, &model, &mut faults);
    }
    profiles(library, &model, &mut faults);
    faults.retain(|fault| fault.at.source != BUILT_IN);
    faults
}

struct Checking<'a, 'v> {
    library: &'a Library,
    rule: &'a Rule,
    model: &'a Model<'v>,
    faults: &'a mut Vec<Fault>,
}

impl Checking<'_, '_> {
    fn all(&mut self) {
        self.shape();
        for kind in &self.rule.about {
            let known = self.model.ids().find(|(_, feature)| feature.block.name == *kind);
            if let Some((id, _)) = known {
                self.formulas(id);
            } else {
                let blocks = self.library.vocabulary.blocks.iter().map(|block| block.name.as_str());
                let help = did_you_mean(kind, blocks);
                let message = format!("`about` of `{}` names no kind of block: `{kind}`", self.rule.name);
                self.fault(message, help);
            }
        }
    }

    fn fault(&mut self, message: String, help: Option<String>) {
        self.faults.push(Fault::new("broken-pack", self.rule.at, message).label("in this rule").maybe_help(help));
    }

    /// What every rule must have.
    fn shape(&mut self) {
        let rule = self.rule;
        let missing = [
            ("title", rule.title.is_empty()),
            ("why", rule.why.trim().is_empty()),
            ("passes", rule.passes.trim().is_empty()),
            ("fails", rule.fails.trim().is_empty()),
            ("sources", rule.sources.is_empty() && rule.reading.is_none()),
            ("about", rule.about.is_empty() && rule.reading.is_none()),
            ("holds", rule.holds.is_empty() && rule.reading.is_none()),
        ];
        for (what, _) in missing.into_iter().filter(|(_, missing)| *missing) {
            self.fault(format!("the rule `{}` has no `{what}`", rule.name), None);
        }
        for level in rule.holds.iter().map(|(level, _)| *level).filter(|level| rule.says.at(*level).is_none()) {
            self.fault(format!("the rule `{}` has no `says` for the level {level}", rule.name), None);
        }
        for other in rule.yields_to.iter().filter(|other| self.library.rule(other).is_none()) {
            let help = did_you_mean(other, self.library.rules.iter().map(|rule| rule.name.as_str()));
            self.fault(format!("`yields-to` of `{}` names no rule: `{other}`", rule.name), help);
        }
        for limit in rule.limits.iter().filter(|limit| limit.source.is_empty() || limit.basis.is_empty()) {
            let at = limit.value.span();
            let fault =
                Fault::new("broken-pack", at, format!("the limit `{}` does not say where it comes from", limit.name));
            self.faults.push(
                fault.help("give `source`, and `basis`: published, derived, common-practice, memory or judgement"),
            );
        }
    }

    fn formulas(&mut self, id: FeatureId) {
        let locals = RuleScope::new(self.rule, self.model, id);
        let evaluation = locals.evaluation();
        if let Some(when) = &self.rule.when {
            self.condition(when, &evaluation);
        }
        for (_, step) in &self.rule.steps {
            self.value(step, &evaluation);
        }
        for (_, holds) in &self.rule.holds {
            self.condition(holds, &evaluation);
        }
        for change in &self.rule.change {
            self.change(change, &evaluation);
        }
        let messages = self.rule.says.iter().chain(self.rule.doubts.iter()).chain(self.rule.help.iter());
        for message in messages {
            self.faults.extend(message.check(&evaluation).into_iter().map(broken));
        }
    }

    fn value(&mut self, formula: &Formula, evaluation: &Evaluation) {
        if let Err(fault) = evaluated(formula, |expr| evaluation.value(expr).map(|_| ())) {
            self.faults.push(fault);
        }
    }

    fn condition(&mut self, formula: &Formula, evaluation: &Evaluation) {
        let result = evaluated(formula, |expr| match evaluation.value(expr)?.holds() {
            Some(_) => Ok(()),
            None => evaluation.condition(expr).map(|_| ()),
        });
        if let Err(fault) = result {
            let help = fault.help.clone();
            let comparison = || "write a comparison such as `thickness >= 2 * machine.line`".to_owned();
            self.faults.push(fault.help(help.unwrap_or_else(comparison)));
        }
    }

    fn change(&mut self, formula: &Formula, evaluation: &Evaluation) {
        let result = evaluated(formula, |expr| match &expr.kind {
            ExprKind::Path(path) => evaluation.field_at(path).map(|field| field.is_some()),
            _ => Ok(false),
        });
        match result {
            Ok(true) => {}
            Ok(false) => {
                let message = format!("`change` names no field: `{}`", formula.text);
                self.faults.push(Fault::new("broken-pack", formula.span(), message));
            }
            Err(_) if self.of_another_kind(formula) => {}
            Err(fault) => self.faults.push(fault),
        }
    }

    /// Whether a word is a field of one of the kinds that the rule is about: the others do without.
    fn of_another_kind(&self, formula: &Formula) -> bool {
        let blocks = self.rule.about.iter().filter_map(|kind| self.library.vocabulary.block(kind));
        blocks.into_iter().any(|block| block.fields.iter().any(|field| field.name == formula.text))
    }
}

/// The result of a formula on the specimen; only real faults count.
fn evaluated<T: Default>(formula: &Formula, evaluate: impl Fn(&Expr) -> Result<T, Failure>) -> Result<T, Fault> {
    let expr = formula.expr().map_err(|fault| broken(fault.clone()))?;
    match evaluate(expr) {
        Ok(value) => Ok(value),
        Err(Failure::Fault(fault)) => Err(broken(*fault)),
        Err(_) => Ok(T::default()),
    }
}

/// A fault in a pack is a broken pack, whatever it would be in a sheet.
fn broken(fault: Fault) -> Fault {
    Fault { name: "broken-pack", ..fault }
}

fn limits(rule: &Rule, model: &Model, faults: &mut Vec<Fault>) {
    for limit in &rule.limits {
        let evaluation = Evaluation::new(model, Model::SHEET);
        let dimension =
            |formula: &Formula| evaluated(formula, |expr| evaluation.quantity(expr).map(|found| Some(found.dimension)));
        let found = match dimension(&limit.value) {
            Ok(found) => found,
            Err(fault) => {
                faults.push(fault);
                continue;
            }
        };
        let wanted = limit.was.as_ref().and_then(|was| dimension(was).ok()).flatten();
        if let (Some(found), Some(wanted), Some(was)) = (found, wanted, &limit.was)
            && found != wanted
        {
            let message = format!("the limit `{}` is {}; this is {}", limit.name, wanted.describe(), found.describe());
            let fault = Fault::new("broken-pack", limit.value.span(), message).label(found.describe());
            faults.push(fault.help(format!("it was `{}`: write the new one in the same kind of unit", was.text)));
        }
    }
}

fn fields(block: &Block, blocks: &[Block], model: &Model, faults: &mut Vec<Fault>) {
    for outer in &block.stands_in {
        if !blocks.iter().any(|known| known.name == *outer) {
            let at = block.fields.iter().find_map(|field| field.default.as_ref()).map(Formula::span);
            faults.extend(at.map(|at| {
                Fault::new("broken-pack", at, format!("`{}` stands in `{outer}`, which is no block", block.name))
            }));
        }
    }
    let Some((id, _)) = model.ids().find(|(_, feature)| feature.block.name == block.name) else { return };
    for field in &block.fields {
        let formulas = [&field.default, &field.above, &field.at_least, &field.at_most, &field.step, &field.step_up];
        for formula in formulas.into_iter().flatten() {
            if matches!(field.kind, FieldKind::Quantity(_)) {
                faults.extend(quantity_field(formula, field, id, model));
            }
        }
    }
}

/// A default or bound must be of the field's own dimension.
fn quantity_field(formula: &Formula, field: &Field, id: FeatureId, model: &Model) -> Option<Fault> {
    let evaluation = Evaluation::new(model, id);
    let expected = match &field.kind {
        FieldKind::Quantity(unit) => unit.map_or(crate::quantity::Dimension::NONE, |unit| unit.dimension),
        _ => return None,
    };
    match formula.expr() {
        Err(fault) => Some(broken(fault.clone())),
        Ok(expr) => match evaluation.quantity(expr) {
            Ok(found) if found.dimension == expected => None,
            Ok(found) => {
                let message =
                    format!("`{}` takes {}; this is {}", field.name, field.kind.describe(), found.dimension.describe());
                Some(Fault::new("broken-pack", formula.span(), message))
            }
            Err(Failure::Fault(fault)) => Some(broken(*fault)),
            Err(_) => None,
        },
    }
}

/// Profiles may only give what their block has, in its unit.
fn profiles(library: &Library, model: &Model, faults: &mut Vec<Fault>) {
    for block in &library.vocabulary.blocks {
        let Some(section) = block.profile.as_deref().and_then(|section| library.vocabulary.profiles.get(section))
        else {
            continue;
        };
        for profile in section.values() {
            for (name, value) in &profile.values {
                let fault = match block.field(name) {
                    None => {
                        let help = did_you_mean(name, block.fields.iter().map(|field| field.name.as_str()));
                        let message = format!("a {} has no `{name}`", block.name);
                        Some(Fault::new("broken-pack", value.value.span(), message).maybe_help(help))
                    }
                    Some(field) => model.check_profile_value(block, field, &value.value).map(broken),
                };
                faults.extend(fault);
            }
        }
    }
}
