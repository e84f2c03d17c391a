//! Whether a permit is needed, where that cannot be told yet.

use super::super::finding::{Finding, Level};
use super::super::inputs::Inputs;
use super::super::judge::{Applies, Closeness, judge};
use super::super::library::Library;
use super::super::scope::RuleScope;
use super::{Permit, Permits};
use crate::model::{FeatureId, Model};

impl Permits {
    /// What could not be worked out may be found once the values are right: until then its permit is not spent.
    pub(in crate::rules) fn keep_unknown(
        &mut self,
        library: &Library,
        model: &Model,
        findings: &[(FeatureId, Box<Finding>)],
    ) {
        for permit in &self.list {
            let uses = self.uses.entry(permit.id).or_default();
            if *uses < 1 && permit.is_unknown(library, model, findings) {
                *uses = 1;
            }
        }
    }
}

impl Permit {
    fn is_unknown(&self, library: &Library, model: &Model, findings: &[(FeatureId, Box<Finding>)]) -> bool {
        let Some(rule) = library.rule(&self.rule) else { return false };
        match judge(library, rule, model, self.on, Closeness::Plain).applies {
            Applies::AtFault | Applies::Trouble(_) => true,
            Applies::Yes | Applies::NotGiven(_) => false,
            // It may only be out of its reach because of a value that cannot stay as it is.
            Applies::No => {
                let scope = RuleScope::new(rule, model, self.on);
                let Some(Ok(when)) = rule.when.as_ref().map(|when| when.expr()) else { return false };
                let asked = Inputs::of(rule, when, &scope.evaluation()).stated;
                let mut stops = findings.iter().filter(|(_, finding)| finding.level == Level::Stop);
                stops.any(|(_, stop)| stop.permitted.is_none() && asked.iter().any(|stated| stated.at == stop.at))
            }
        }
    }
}
