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

/// Either runs a script or uses an action, some of them also where an earlier step failed.
#[derive(Deserialize)]
struct Step {
    run: Option<String>,
    uses: Option<String>,
    #[serde(rename = "if", default)]
    when: String,
    #[serde(default)]
    with: BTreeMap<String, String>,
}

/// Each line is a command of one shell.
#[derive(Deserialize)]
struct PipelineJob {
    before_script: Vec<String>,
    script: Vec<String>,
    artifacts: Artifacts,
}

#[derive(Deserialize)]
struct Artifacts {
    when: String,
    reports: BTreeMap<String, String>,
}

/// What a job runs, and what it leaves.
#[derive(Debug, Default)]
pub struct Job {
    pub name: String,
    /// Its scripts, one after another.
    pub scripts: Vec<String>,
    /// The files that it hands on, whether it passes or not.
    pub files: Vec<String>,
}

/// The jobs of both systems.
pub fn of_both_systems(example: &Path) -> Vec<Job> {
    let workflow: Workflow = read(&example.join(".github/workflows/sheets.yml"));
    let mut jobs: Vec<Job> = workflow.jobs.into_iter().map(|(name, job)| of_steps(name, job.steps)).collect();
    let pipeline: BTreeMap<String, PipelineJob> = read(&example.join(".gitlab-ci.yml"));
    jobs.extend(pipeline.into_iter().map(|(name, job)| {
        assert_eq!(job.artifacts.when, "always", "a job that fails has reports as well");
        let scripts = vec![[job.before_script, job.script].concat().join("\n")];
        Job { name, scripts, files: job.artifacts.reports.into_values().collect() }
    }));
    let is_whole = |job: &Job| !job.scripts.is_empty() && job.files.len() == 2;
    assert!(jobs.len() == 2 && jobs.iter().all(is_whole), "{jobs:?}");
    jobs
}

/// The test has checked the repository out; of what hands files on, it looks at the files.
fn of_steps(name: String, steps: Vec<Step>) -> Job {
    let mut job = Job { name, ..Job::default() };
    for step in steps {
        job.scripts.extend(step.run);
        let Some(action) = step.uses else { continue };
        let file = match action.split('@').next().unwrap_or_default() {
            "actions/checkout" => continue,
            "actions/upload-artifact" => &step.with["path"],
            "github/codeql-action/upload-sarif" => &step.with["sarif_file"],
            _ => panic!("{action} is not tried here"),
        };
        assert_eq!(step.when, "always()", "a job that fails has reports as well");
        job.files.push(file.clone());
    }
    job
}

fn read<T: DeserializeOwned>(path: &Path) -> T {
    let text = fs::read_to_string(path).unwrap();
    serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}
