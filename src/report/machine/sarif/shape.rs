//! The part of the format that is written, as serde sees it; the names are the format's.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::Serialize;

#[derive(Serialize)]
pub(super) struct Log<'a> {
    #[serde(rename = "$schema")]
    pub schema: &'a str,
    pub version: &'a str,
    pub runs: Vec<Run<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Run<'a> {
    pub tool: Tool<'a>,
    pub invocations: Vec<Invocation<'a>>,
    pub column_kind: &'a str,
    pub results: Vec<Reported<'a>>,
}

#[derive(Serialize)]
pub(super) struct Tool<'a> {
    pub driver: Driver<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Driver<'a> {
    pub name: &'a str,
    pub semantic_version: &'a str,
    pub short_description: Words<'a>,
    pub rules: Vec<RuleText<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct RuleText<'a> {
    pub id: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short_description: Option<Words<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub full_description: Option<Words<'a>>,
    pub help: Words<'a>,
    pub default_configuration: Configuration,
}

#[derive(Serialize)]
pub(super) struct Configuration {
    pub level: &'static str,
}

#[derive(Serialize)]
pub(super) struct Words<'a> {
    pub text: Cow<'a, str>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Invocation<'a> {
    pub execution_successful: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tool_execution_notifications: Vec<Notification<'a>>,
}

#[derive(Serialize)]
pub(super) struct Notification<'a> {
    pub level: &'static str,
    pub message: Words<'a>,
    pub locations: Vec<Whole>,
}

/// A whole file.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Whole {
    pub physical_location: File,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct File {
    pub artifact_location: Artifact,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Reported<'a> {
    pub rule_id: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule_index: Option<usize>,
    pub level: &'static str,
    pub message: Words<'a>,
    pub locations: Vec<Spot<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related_locations: Vec<Spot<'a>>,
    pub partial_fingerprints: BTreeMap<&'static str, &'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub suppressions: Vec<Suppression<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub baseline_state: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rank: Option<f64>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fixes: Vec<Fix<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Spot<'a> {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub message: Option<Words<'a>>,
    pub physical_location: Physical,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Physical {
    pub artifact_location: Artifact,
    pub region: Place,
}

#[derive(Serialize)]
pub(super) struct Artifact {
    pub uri: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Place {
    pub start_line: usize,
    pub start_column: usize,
    pub end_line: usize,
    pub end_column: usize,
    pub byte_offset: u32,
    pub byte_length: u32,
}

#[derive(Serialize)]
pub(super) struct Suppression<'a> {
    pub kind: &'static str,
    pub status: &'static str,
    pub justification: &'a str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Fix<'a> {
    pub description: Words<'a>,
    pub artifact_changes: Vec<Change<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Change<'a> {
    pub artifact_location: Artifact,
    pub replacements: Vec<Replacement<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Replacement<'a> {
    pub deleted_region: Bytes,
    pub inserted_content: Content<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Bytes {
    pub byte_offset: usize,
    pub byte_length: usize,
}

#[derive(Serialize)]
pub(super) struct Content<'a> {
    pub text: &'a str,
}
