//! A folder of its own for each test, and the program run in it.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// A sheet that is all right as far as it goes.
pub const GOOD: &str = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 1.26 mm } }\n";
/// A sheet with one stop.
pub const THIN: &str = "machine bench\nmaterial petg\npart tray { up +z; wall side { thickness 0.5 mm } }\n";

/// A temporary folder that is a project, so that nothing above it counts.
pub struct Bench {
    folder: TempDir,
}

/// How a run ended.
pub struct Outcome {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Outcome {
    /// Everything that a person would see.
    pub fn all(&self) -> String {
        format!("exit code {}\n--- output\n{}--- messages\n{}", self.code, self.out, self.err)
    }
}

impl Bench {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        std::fs::create_dir(folder.path().join(".git")).unwrap();
        Self { folder }
    }

    pub fn with(files: &[(&str, &str)]) -> Self {
        let bench = Self::new();
        for (name, text) in files {
            bench.write(name, text);
        }
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_dryfit"));
        command.args(arguments).current_dir(self.folder.path());
        for name in [
            "NO_COLOR",
            "CLICOLOR_FORCE",
            "CLICOLOR",
            "COLUMNS",
            "RUST_BACKTRACE",
            "TERM",
            "LC_ALL",
            "LC_CTYPE",
            "LANG",
        ] {
            command.env_remove(name);
        }
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Outcome {
        finished(&mut self.command(arguments), "")
    }

    pub fn run_with_input(&self, arguments: &[&str], input: &str) -> Outcome {
        finished(&mut self.command(arguments), input)
    }

    pub fn folder(&self) -> &Path {
        self.folder.path()
    }
}

pub fn finished(command: &mut Command, input: &str) -> Outcome {
    let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    // A program that ends without reading its input closes the pipe.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    let output = child.wait_with_output().unwrap();
    let outcome = Outcome {
        code: output.status.code().unwrap_or(-1),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    };
    assert!(!outcome.err.contains("panicked"), "{}", outcome.err);
    assert!((0..=3).contains(&outcome.code), "exit code {}: {}", outcome.code, outcome.err);
    outcome
}

/// Compares with the snapshot of a name in `tests/snapshots/cli`.
pub fn snapshot(name: &str, text: impl AsRef<str>) {
    insta::with_settings!({snapshot_path => "../snapshots/cli", prepend_module_to_snapshot => false, omit_expression => true}, {
        insta::assert_snapshot!(name, text.as_ref());
    });
}
