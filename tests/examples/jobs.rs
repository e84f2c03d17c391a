//! The jobs of an example repository as lists of shell scripts, read from the files of two CI systems.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use serde::Deserialize;
use serde::de::DeserializeOwned;

#[derive(Deserialize)]
struct Workflow {
    jobs: BTreeMap<String, WorkflowJob>,
}

#[derive(Deserialize)]
struct WorkflowJob {
    steps: Vec<Step>,
}

/// Either runs a script or uses an action; the only action here checks the repository out, which the test has done.
#[derive(Deserialize)]
struct Step {
    run: Option<String>,
    uses: Option<String>,
}

/// Each line is a command of one shell.
#[derive(Deserialize)]
struct Job {
    before_script: Vec<String>,
    script: Vec<String>,
}

/// Each job with its scripts, one after another.
pub fn of_both_systems(example: &Path) -> Vec<(String, Vec<String>)> {
    let workflow: Workflow = read(&example.join(".github/workflows/sheets.yml"));
    let mut jobs: Vec<(String, Vec<String>)> = workflow
        .jobs
        .into_iter()
        .map(|(name, job)| (name, job.steps.into_iter().filter_map(script).collect()))
        .collect();
    let pipeline: BTreeMap<String, Job> = read(&example.join(".gitlab-ci.yml"));
    jobs.extend(
        pipeline.into_iter().map(|(name, job)| (name, vec![[job.before_script, job.script].concat().join("\n")])),
    );
    assert!(jobs.len() == 2 && jobs.iter().all(|(_, scripts)| !scripts.is_empty()), "{jobs:?}");
    jobs
}

fn script(step: Step) -> Option<String> {
    if let Some(action) = step.uses {
        assert!(action.starts_with("actions/checkout@"), "{action} is not tried here");
    }
    step.run
}

fn read<T: DeserializeOwned>(path: &Path) -> T {
    let text = fs::read_to_string(path).unwrap();
    serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}
