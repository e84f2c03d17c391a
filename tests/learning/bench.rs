use std::fs;
use std::path::PathBuf;
use std::process::Command;

/// A clip with two gaps and two outside dimensions.
pub const CLIP: &str = "\
sheet \"Tool clip\" revision \"A\"
machine bench
material petg
bought rail { edge measured 3.02, 2.98, 3.04 mm }
part clip {
  up +z
  size 42 x 24 x 12 mm
  slot mouth { width 3.3 mm; depth 9 mm; axis +z }
  slot cradle { width 11.9 mm; depth 10 mm; axis +z }
  wall back { thickness 2.52 mm; height 12 mm; faces +x }
  arm jaw {
    points +x; bends +y; length 20 mm; thickness 1.6 mm; width 12 mm; root-fillet 1 mm; cycles 50
    hook { depth 1 mm; lead-in 30 deg; return 45 deg }
  }
}
fit \"mouth on edge\" { inside clip.mouth.width; outside rail.edge; class sliding }
";

/// A folder of its own with files, and the program in it.
pub struct Bench {
    folder: tempfile::TempDir,
}

pub struct Outcome {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Bench {
    pub fn with(files: &[(&str, &str)]) -> Self {
        let bench = Self { folder: tempfile::tempdir().unwrap() };
        for (name, text) in files {
            bench.write(name, text);
        }
        bench
    }

    pub fn write(&self, name: &str, text: &str) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    pub fn run(&self, arguments: &[&str]) -> Outcome {
        let output = Command::new(env!("CARGO_BIN_EXE_dryfit"))
            .args(arguments)
            .current_dir(self.folder.path())
            .env("COLUMNS", "100")
            .env_remove("DRYFIT_TODAY")
            .output()
            .unwrap();
        Outcome {
            code: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    pub fn json(&self, arguments: &[&str]) -> serde_json::Value {
        let outcome = self.run(arguments);
        assert_eq!(outcome.code, 0, "{}", outcome.err);
        serde_json::from_str(&outcome.out).unwrap()
    }
}
