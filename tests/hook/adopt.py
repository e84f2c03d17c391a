#!/usr/bin/env python3
"""A repository that is not ours is brought under hook and CI from docs/ci.md alone.

adopt.py PROGRAM: 50 sheets, three packs, a shared folder, and a baseline from an earlier time. The commands and files are
those of the page, word for word but for the address of the hooks.
"""
import json
import re
import shlex
import sys
import tempfile
import time
from pathlib import Path

from ruamel.yaml import YAML

from check import GOOD, RAIL, ROOT, SLIDE, THIN, Repository, hooks, passed, refused, taken
import check


def page():
    """The page's commands in their order, and its files by name."""
    text = (ROOT / "docs/ci.md").read_text()
    blocks = re.findall(r"^```(\w+)(?: (\S+))?\n(.*?)^```$", text, re.M | re.S)
    commands = [line for kind, _, body in blocks if kind == "sh" for line in body.splitlines()]
    files = {name: body for kind, name, body in blocks if kind == "yaml"}
    return commands, files


def old_project(shop):
    """50 sheets, some of them at fault for years."""
    shop.write("shared/rail.dryfit", RAIL)
    for index in range(20):
        shop.write(f"parts/part-{index:02}.dryfit", THIN if index % 4 == 0 else GOOD)
    for index in range(20):
        shop.write(f"parts/old/part-{index:02}.dryfit", THIN if index % 2 == 0 else GOOD)
    for index in range(9):
        shop.write(f"slides/slide-{index}.dryfit", SLIDE)
    shop.write("dryfit/machines.yaml", "machines:\n  corner: {about: the printer in the corner, like: bench}\n")
    shop.write("dryfit/rules.yaml", "levels: {uneven-wall: note}\n")
    shop.write("shop/materials.yaml", "materials:\n  green: {about: the green spool, like: petg}\n")
    shop.write("dryfit.yaml", "packs: [shop]\n")
    shop.git("add", "--all")
    shop.git("commit", "--quiet", "--message", "as it was")
    sheets = list(shop.folder.rglob("*.dryfit"))
    assert len(sheets) == 50, len(sheets)


def main():
    began = time.monotonic()
    commands, files = page()
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        address, revision = hooks(folder / "offered")
        shop = Repository(folder / "shop")
        old_project(shop)
        # What is on the page is what is run; a repository of the hooks is the one thing that it cannot know.
        config = files[".pre-commit-config.yaml"].replace("https://example.com/dryfit", str(address)).replace("v0.1.0", revision)
        first_branch = "origin/main"
        shop.git("update-ref", f"refs/remotes/{first_branch}", "HEAD")
        met = 0
        for command in commands:
            if command == "dryfit install-hook --baseline dryfit-baseline.json":
                # One or the other: the framework's hook stays.
                refused(shop.run(*shlex.split(command)), "is there already and stays as it is")
                refused(shop.run("dryfit", "install-hook", "--remove"), "is another hook and stays as it is")
                continue
            if command == "pre-commit install":
                shop.write(".pre-commit-config.yaml", config)
                shop.git("add", ".pre-commit-config.yaml")
            told = taken(shop.run(*shlex.split(command)))
            met += 1
            print(f"$ {command}\n{told.strip()[-300:]}")
        assert met >= 7, f"the page has only {met} commands"
        passed("every command of the page does what it says")

        taken(shop.commit())
        baseline = json.loads((shop.folder / "dryfit-baseline.json").read_text())
        # Of each thin wall the stop and a note, and a note in each slide.
        assert len(baseline["findings"]) == 39, len(baseline["findings"])
        log = json.loads((shop.folder / "dryfit.sarif").read_text())
        assert {result["baselineState"] for result in log["runs"][0]["results"]} == {"unchanged"}
        shop.write("slides/new.dryfit", THIN)
        refused(shop.commit(), "slides/new.dryfit:6:", "slides/new.dryfit: no-go")
        shop.write("slides/new.dryfit", GOOD)
        shop.write("parts/part-00.dryfit", GOOD)
        told = taken(shop.run("dryfit", "inspect", "--quiet", "--baseline", "dryfit-baseline.json"))
        assert "gone from the baseline: parts/part-00.dryfit: thin-wall on tray.side" in told, told
        taken(shop.commit())
        refused(shop.run("dryfit", "inspect", "--quiet"), "no-go")
        code, told = shop.run("dryfit", "inspect", "--changed=origin/main", "--quiet")
        assert code == 0 and told.count(".dryfit: ") == 2, told
        passed("only what is new is refused, what is mended is told, and the branch is what was changed")

        settings = files["dryfit.yaml"]
        YAML(typ="safe", pure=True).load(settings)
        shop.write("dryfit.yaml", settings)
        told = taken(shop.run("dryfit", "settings", "parts/old"))
        for line in ["parts/old", "dryfit.yaml:19", "thin-wall"]:
            assert line in told, f"no `{line}` in\n{told}"
        code, told = shop.run("dryfit", "inspect", "--quiet", "parts/old")
        assert code == 0, told
        passed("the page's settings are read, and a folder of old parts has levels of its own")
    assert time.monotonic() - began < 600, "more than ten minutes"
    print(f"{check.COUNTED} passed, 0 failed")


main()
