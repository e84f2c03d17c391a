#!/usr/bin/env python3
"""The hook framework on a fresh repository, with the hooks that this project offers and a program that is installed.

check.py PROGRAM: the framework is the `pre-commit` of this Python. The forms that the framework builds itself differ only
in `language: rust`, which takes minutes: `check.py PROGRAM --built` has it build and run them, as `.ci/long_run` does.
"""
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = Path(sys.argv[1]).resolve()
COUNTED = 0
GOOD = "machine bench\nmaterial petg\n\npart tray {\n  up +z\n  wall side { thickness 1.26 mm }\n}\n"
THIN = GOOD.replace("1.26", "0.5")
RAIL = "bought rail { lip measured 3.02, 2.98, 3.05 mm }\n"
SLIDE = f'with "../shared/rail.dryfit"\n\n{GOOD}\nlet lip = rail.lip\n'


def passed(what):
    global COUNTED
    COUNTED += 1
    print(f"ok: {what}")


class Repository:
    """A repository of its own, in which nothing of this machine's settings counts."""

    def __init__(self, folder):
        self.folder = folder
        folder.mkdir()
        self.environment = {
            **os.environ,
            "PATH": os.pathsep.join([str(PROGRAM.parent), str(Path(sys.executable).parent), os.environ["PATH"]]),
            "PRE_COMMIT_HOME": str(folder.parent / "framework"),
            "GIT_CONFIG_GLOBAL": os.devnull,
            "GIT_CONFIG_NOSYSTEM": "1",
            **{f"GIT_{who}_{what}": value for who in ("AUTHOR", "COMMITTER") for what, value in (("NAME", "gardener"), ("EMAIL", "gardener@greenhouse.invalid"))},
        }
        self.git("init", "--quiet", "--initial-branch", "main")

    def run(self, *command, input=None):
        done = subprocess.run(command, cwd=self.folder, env=self.environment, capture_output=True, text=True, input=input)
        return done.returncode, done.stdout + done.stderr

    def git(self, *arguments):
        code, told = self.run("git", *arguments)
        assert code == 0, f"git {arguments}: {told}"
        return told.strip()

    def write(self, name, text):
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def commit(self):
        self.git("add", "--all")
        return self.run("git", "commit", "--message", "parts")


def hooks(folder):
    """This project as far as the framework needs it: its list of hooks, in a repository."""
    offered = Repository(folder)
    shutil.copy(ROOT / ".pre-commit-hooks.yaml", folder)
    code, told = offered.run(sys.executable, "-m", "pre_commit", "validate-manifest", ".pre-commit-hooks.yaml")
    assert code == 0, told
    code, told = offered.commit()
    assert code == 0, told
    passed("the list of hooks is one that the framework takes")
    return folder, offered.git("rev-parse", "HEAD")


def refused(result, *lines):
    code, told = result
    assert code != 0, f"the commit was made:\n{told}"
    for line in lines:
        assert line in told, f"no `{line}` in\n{told}"
    return told


def taken(result):
    code, told = result
    assert code == 0, told
    return told


def built(folder):
    """The framework builds the program from this repository's last commit and runs it."""
    shop = Repository(folder / "shop")
    shop.write("tray.dryfit", THIN)
    shop.git("add", "--all")
    trial = [sys.executable, "-m", "pre_commit", "try-repo", str(ROOT)]
    refused(shop.run(*trial, "dryfit", "--all-files"), "tray.dryfit: no-go: 1 stop")
    taken(shop.run(*trial, "dryfit-format", "--all-files"))
    passed("the framework builds the program and runs both hooks")


def main():
    if "--built" in sys.argv:
        with tempfile.TemporaryDirectory() as folder:
            built(Path(folder))
        return
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        address, revision = hooks(folder / "offered")
        shop = Repository(folder / "shop")
        shop.write(".pre-commit-config.yaml", f"""repos:
  - repo: {address}
    rev: {revision}
    hooks:
      - id: dryfit-system
        exclude: ^scrap/
      - id: dryfit-format-system
        exclude: ^scrap/
""")
        shop.write("shared/rail.dryfit", RAIL)
        shop.write("parts/slide.dryfit", SLIDE)
        taken(shop.run(sys.executable, "-m", "pre_commit", "install"))
        taken(shop.commit())
        passed("a first commit of good sheets is taken")

        shop.write("parts/tray.dryfit", THIN)
        shop.write("parts/other.dryfit", GOOD)
        told = refused(shop.commit(), "parts/tray.dryfit:6:", "[thin-wall]", "parts/tray.dryfit: no-go: 1 stop")
        assert "parts/other.dryfit: go" in told, told
        assert told.index("[thin-wall]") < told.index("parts/other.dryfit: go"), f"findings come before verdicts\n{told}"
        assert told.count("hook id: dryfit-system") == 1 and "slide" not in told, told
        passed("a failing commit is refused, with a line a finding and then the verdicts, by one run")

        shop.write("parts/tray.dryfit", GOOD)
        taken(shop.commit())
        passed("a mended commit is taken")

        shop.write("parts/untidy.dryfit", GOOD.replace("  up", "     up"))
        refused(shop.commit(), "parts/untidy.dryfit: not in its tidy form")
        shop.write("parts/untidy.dryfit", GOOD)
        taken(shop.commit())
        passed("a sheet that is not tidy is refused")

        shop.write("scrap/old.dryfit", THIN)
        taken(shop.commit())
        passed("what the hook excludes is not checked")
        shop.write(".ignore", "drafts/\n")
        shop.write("drafts/idea.dryfit", THIN)
        taken(shop.commit())
        passed("what the project's own ignore file leaves out is not checked, though the framework names it")

        shop.write("shared/rail.dryfit", RAIL.replace("lip", "rim"))
        refused(shop.commit(), "parts/slide.dryfit:")
        shop.write("shared/rail.dryfit", RAIL)
        passed("a changed shared sheet checks those that use it")

        shop.write("dryfit.yaml", "limits: {thin-wall: {least-lines: 5}}\n")
        refused(shop.commit(), "parts/tray.dryfit:6:", "parts/slide.dryfit:")
        shop.write("dryfit.yaml", "levels: {thin-wal: note}\n")
        refused(shop.commit(), "there is no rule `thin-wal`")
        shop.write("dryfit.yaml", "levels: {thin-wall: note}\n")
        taken(shop.commit())
        passed("changed settings check their whole project, and faulty ones are refused")

        shop.write("scrap/old.dryfit", THIN + "# once more\n")
        taken(shop.run(sys.executable, "-m", "pre_commit", "run", "--all-files"))
        shop.write("parts/tray.dryfit", THIN)
        shop.write("dryfit.yaml", "levels: {}\n")
        refused(shop.run(sys.executable, "-m", "pre_commit", "run", "--all-files"), "parts/tray.dryfit: no-go")
        passed("--all-files runs, on good and on bad")
    print(f"{COUNTED} passed, 0 failed")


if __name__ == "__main__":
    main()
