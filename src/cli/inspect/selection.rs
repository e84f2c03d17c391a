//! Which findings a report shows. All of them count for the verdict.

use std::path::{Path, PathBuf};

use crate::cli::sheets::{Threshold, no_rule};
use crate::fault::did_you_mean;
use crate::rules::Finding;
use crate::workspace::Workspace;

#[derive(Debug, clap::Args)]
pub(super) struct Selection {
    /// Show findings from this level on; the verdict counts all
    #[arg(long, value_name = "LEVEL")]
    level: Option<Threshold>,
    /// Show findings on this feature and what is in it, such as clip.jaw
    #[arg(long, value_name = "FEATURE")]
    on: Option<String>,
    /// Show findings of this rule; may be repeated
    #[arg(long, value_name = "RULE")]
    only: Vec<String>,
    /// Leave out findings of this rule; may be repeated
    #[arg(long, value_name = "RULE")]
    without: Vec<String>,
}

impl Selection {
    /// Whether a finding is to be shown.
    pub(super) fn wants(&self, finding: &Finding) -> bool {
        let level = self.level.is_none_or(|level| finding.level >= level.level());
        let inside = |on: &String| {
            finding.about == *on || finding.about.strip_prefix(on.as_str()).is_some_and(|rest| rest.starts_with('.'))
        };
        let only = self.only.is_empty() || self.only.contains(&finding.rule);
        level && only && self.on.as_ref().is_none_or(inside) && !self.without.contains(&finding.rule)
    }

    /// A rule or a feature that is named and that there is none of, in a sentence.
    pub(super) fn unknown(&self, workspace: &Workspace, sheets: &[PathBuf]) -> Option<String> {
        let sheet = sheets.first()?;
        self.unknown_rule(workspace, sheet).or_else(|| self.unknown_feature(workspace, sheets))
    }

    fn unknown_feature(&self, workspace: &Workspace, sheets: &[PathBuf]) -> Option<String> {
        let on = self.on.as_ref()?;
        let mut known = Vec::new();
        for sheet in sheets.iter().filter_map(|path| workspace.sheet(path).ok()) {
            let model = sheet.analysis().model;
            known.extend(model.ids().map(|(id, _)| model.path(id)));
        }
        if known.is_empty() || known.contains(on) {
            return None;
        }
        let help = did_you_mean(on, known.iter().map(String::as_str));
        let help = help.unwrap_or_else(|| "name it as reports do, such as `clip.jaw`".into());
        Some(format!("there is no feature `{on}`; {help}"))
    }

    fn unknown_rule(&self, workspace: &Workspace, sheet: &Path) -> Option<String> {
        let library = &workspace.home(sheet)?.library;
        let named = self.only.iter().chain(&self.without);
        let unknown = named.into_iter().find(|name| library.rule(name).is_none())?;
        Some(no_rule(library, unknown))
    }
}
