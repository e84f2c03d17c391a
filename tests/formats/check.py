#!/usr/bin/env python3
"""Holds what the program writes for other programs against these formats' published schemas and readers.

check.py PROGRAM SARIF-TOOL-FOLDER: the folder of the npm package of the SARIF validator, which carries the schema of the
standard too. A check that cannot see a broken file is worth nothing: each is shown one as well.
"""
import copy
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import jsonschema
import junitparser
from ruamel.yaml import YAML

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = Path(sys.argv[1]).resolve()
TOOL = Path(sys.argv[2]).resolve()
COUNTED = 0


def passed(what):
    global COUNTED
    COUNTED += 1
    print(f"ok: {what}")


def run(folder, *arguments, codes=(0, 1)):
    done = subprocess.run([PROGRAM, *arguments], cwd=folder, capture_output=True, text=True)
    assert done.returncode in codes, f"{arguments}: {done.returncode}\n{done.stdout}{done.stderr}"
    return done.stdout


def workshop(folder):
    """A repository with the demo sheets and a few more: permits, a used sheet at fault, text that nobody expects."""
    (folder / ".git").mkdir()
    shutil.copytree(ROOT / "demo-data", folder / "parts")
    head = "machine bench\nmaterial petg\n"
    thin = "part tray { up +z; wall side { thickness 0.5 mm } }\n"
    (folder / "parts/Ø 100%&<b>.dryfit").write_text(f'sheet "𝔸é"\n{head}{thin}', encoding="utf-8")
    (folder / "parts/permitted.dryfit").write_text(f'{head}{thin}permit thin-wall on tray.side "a label; <i> & \\"so\\""\n')
    (folder / "parts/misspelt.dryfit").write_text(f"{head}part tray {{ up +z; wall side {{ thicknes 1.26 mm }} }}\n")
    (folder / "parts/latin.dryfit").write_bytes(b'sheet "\xff"\n')
    (folder / "parts/user.dryfit").write_text(f'with "vent-rail.dryfit"\nwith "nowhere.dryfit"\n{head}{thin}')
    return folder


def outputs(folder, *more):
    formats = ["sarif", "junit", "github", "gitlab", "json", "baseline"]
    names = {name: folder / f"out.{name}" for name in formats}
    flags = [f"--output={name}={path}" for name, path in names.items()]
    run(folder, "inspect", "--quiet", "--mends", *more, *flags, codes=(0, 1, 2))
    return names


def validator(schema):
    kind = jsonschema.validators.validator_for(schema)
    kind.check_schema(schema)
    return kind(schema, format_checker=kind.FORMAT_CHECKER)


def holds(schema, value, what):
    faults = [f"{'/'.join(map(str, fault.path))}: {fault.message[:300]}" for fault in validator(schema).iter_errors(value)]
    assert not faults, f"{what}:\n" + "\n".join(faults[:5])
    passed(what)


def refuses(schema, value, what):
    assert not validator(schema).is_valid(value), f"{what} is not noticed"
    passed(f"{what} is noticed")


def sarif(path):
    schema = json.loads((TOOL / "sarif-2.1.0.json").read_text(encoding="utf-8-sig"))
    log = json.loads(path.read_text())
    holds(schema, log, "the SARIF log, by the published schema")
    results = log["runs"][0]["results"]
    for field in ["fixes", "suppressions", "relatedLocations", "rank", "partialFingerprints", "ruleIndex"]:
        assert any(field in result for result in results), f"no result has {field}"
    for result in results:
        uri = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        assert not uri.startswith(("/", ".", "file:")) and "\\" not in uri, uri
        rule = log["runs"][0]["tool"]["driver"]["rules"][result["ruleIndex"]]
        assert rule["id"] == result["ruleId"] and rule["fullDescription"]["text"]
    prints = [result["partialFingerprints"]["ruleFeatureOrdinal/v1"] for result in results]
    assert len(set(prints)) == len(prints), "two findings have one fingerprint"
    broken = copy.deepcopy(log)
    broken["runs"][0]["results"][0]["level"] = "bogus"
    refuses(schema, broken, "a SARIF log with an unknown level")
    assert not complaints(path), complaints(path)
    passed("the SARIF log, by the second validator's own log")
    broken = copy.deepcopy(log)
    broken["runs"][0]["results"][0]["ruleIndex"] = 10_000
    other = path.with_suffix(".broken.sarif")
    other.write_text(json.dumps(broken))
    assert complaints(other), "the second validator says nothing of a rule that is not there"
    passed("a SARIF log with a rule that is not there is noticed")


def complaints(path):
    """The errors in the second validator's own log: it ends well on broken files too."""
    told = path.with_suffix(".told")
    tool = TOOL / "Sarif.Multitool"
    tool.chmod(tool.stat().st_mode | 0o100)
    environment = {**os.environ, "DOTNET_SYSTEM_GLOBALIZATION_INVARIANT": "1"}
    command = [tool, "validate", path, "--output", told, "--log", "ForceOverwrite"]
    done = subprocess.run(command, capture_output=True, text=True, env=environment)
    assert told.exists(), done.stdout + done.stderr
    run = json.loads(told.read_text(encoding="utf-8-sig"))["runs"][0]
    rules = run["tool"]["driver"].get("rules", [])
    default = {rule["id"]: rule.get("defaultConfiguration", {}).get("level", "warning") for rule in rules}
    level = lambda result: result.get("level") or default.get(result["ruleId"], "warning")
    notes = [note for one in run.get("invocations", []) for note in one.get("toolExecutionNotifications", [])]
    return [result for result in run.get("results", []) + notes if (result.get("level") if "ruleId" not in result else level(result)) == "error"]


def junit(path, report):
    suites = {suite.name: suite for suite in junitparser.JUnitXml.fromfile(str(path))}
    of_sheet = {sheet["sheet"]: sheet for sheet in report["sheets"]}
    assert suites.keys() - {"parts/latin.dryfit"} == of_sheet.keys()
    for name, sheet in of_sheet.items():
        kinds = [type(result) for case in suites[name] for result in case.result]
        assert kinds.count(junitparser.Failure) == suites[name].failures == sheet["counts"]["stop"], name
        assert kinds.count(junitparser.Skipped) == suites[name].skipped == sheet["counts"]["permitted"], name
        assert suites[name].tests == max(len(sheet["findings"]), 1) == len(list(suites[name])), name
    assert suites["parts/latin.dryfit"].errors == 1
    passed("the JUnit report, read back: suites, cases, failures and skipped ones are those of the run")
    other = path.with_suffix(".broken.xml")
    other.write_text(path.read_text().replace("</testsuite>", "", 1))
    try:
        junitparser.JUnitXml.fromfile(str(other))
    except Exception:
        passed("a broken JUnit report is noticed")
    else:
        raise AssertionError("a broken JUnit report is not noticed")


def others(names, report):
    quality = json.loads(names["gitlab"].read_text())
    prints = [entry["fingerprint"] for entry in quality]
    assert len(set(prints)) == len(prints) > 5
    assert {entry["severity"] for entry in quality} <= {"info", "minor", "major", "critical", "blocker"}
    open_ones = sum(len(sheet["findings"]) - sheet["counts"]["permitted"] for sheet in report["sheets"])
    assert len(quality) == open_ones + 1, "each finding that is not permitted, and the file that was not read"
    passed("the code quality report has the fields and severities that its reader wants")
    lines = names["github"].read_text().splitlines()
    assert len(lines) == open_ones + 1
    for line in lines:
        command, message = line[2:].split("::", 1)
        kind, properties = command.split(" ", 1)
        assert kind in ("error", "warning", "notice") and message
        pairs = dict(pair.split("=", 1) for pair in properties.split(","))
        name = pairs["file"].replace("%3A", ":").replace("%2C", ",").replace("%0D", "\r").replace("%0A", "\n").replace("%25", "%")
        assert (names["github"].parent / name).exists(), name
    passed("each annotation is one command that names a file of the repository")


def strict(schema):
    """The same schema without room for what it does not name."""
    if isinstance(schema, dict):
        closed = {key: strict(value) for key, value in schema.items()}
        if "properties" in closed and closed.get("type") == "object":
            closed.setdefault("additionalProperties", False)
        return closed
    return [strict(value) for value in schema] if isinstance(schema, list) else schema


def filled_in(folder, sheet):
    """Notes on a print of a sheet: the form that the program writes, with a reading for each dimension."""
    form = run(folder, "notes", sheet, "-")
    line = re.compile(r"# (came \S+ from ([\d.]+) (\S+) measured) +\S+$", re.M)
    filled, count = line.subn(lambda found: f"{found[1]} {float(found[2]) * 1.01:.3g} {found[3]}", form)
    assert count > 1, form
    (folder / sheet).with_suffix(".notes").write_text(filled)


def schemas(folder, names):
    load = lambda name: json.loads((ROOT / f"schemas/{name}.schema.json").read_text())
    sheet = "parts/vent-latch.dryfit"
    filled_in(folder, sheet)
    reports = {
        "findings": json.loads(names["json"].read_text()),
        "baseline": json.loads(names["baseline"].read_text()),
        "mends": json.loads(run(folder, "mend", "--report", "json", sheet, codes=(0, 1, 3))),
        "ledger": json.loads(run(folder, "ledger", "--report", "json", sheet)),
        "dimensions": json.loads(run(folder, "dimensions", "--report", "json", sheet)),
        "orient": json.loads(run(folder, "orient", "--report", "json", sheet)),
        "window": json.loads(run(folder, "window", "--report", "json", sheet, "latch.spring.thickness")),
        "window-of-two": json.loads(run(folder, "window", "--report", "json", sheet, "latch.spring.thickness", "latch.spring.length")),
        "rules": json.loads(run(folder, "why", "--report", "json")),
        "checklist": json.loads(run(folder, "checklist", "--json", sheet)),
        "compare": json.loads(run(folder, "compare", "--report", "json", sheet)),
        # One of the sheets there is no UTF-8 text.
        "compare-all": json.loads(run(folder, "compare", "--report", "json", ".", codes=(2,))),
        "learn": json.loads(run(folder, "learn", "--dry", "--report", "json", ".")),
        "settings-report": json.loads(run(folder, "settings", "--all", "--report", "json")),
    }
    for name, report in reports.items():
        schema = strict(load(name))
        holds(schema, report, f"the report {name}, by its schema")
        refuses(schema, {**report, "sheetz": 1}, f"a report {name} with a field of no meaning")
        first = next(iter(schema["required"]))
        refuses(schema, {key: value for key, value in report.items() if key != first}, f"a report {name} without {first}")
    yaml = YAML(typ="safe", pure=True)
    pack = load("pack")
    for path in sorted((ROOT / "rules").rglob("*.yaml")):
        # What YAML takes for keys of another kind are texts here.
        value = json.loads(json.dumps(yaml.load(path.read_text())))
        holds(pack, value, f"{path.relative_to(ROOT)}, by the schema of packs")
    settings = load("settings")
    for path in sorted(ROOT.glob("examples/**/dryfit.yaml")) + sorted(ROOT.glob("tests/hook/**/dryfit.yaml")):
        holds(settings, json.loads(json.dumps(yaml.load(path.read_text()))), f"{path.relative_to(ROOT)}, by the schema of settings")
    for path in sorted(ROOT.glob("examples/**/dryfit/*.yaml")):
        holds(pack, json.loads(json.dumps(yaml.load(path.read_text()))), f"{path.relative_to(ROOT)}, by the schema of packs")
    for broken in [{"levels": {"thin-wall": "loud"}}, {"level": {}}, {"limits": {"thin-wall": {"leest": "1 mm"}}}, {"folders": {"old": {"packs": []}}}]:
        refuses(settings, broken, f"settings with {json.dumps(broken)}")


def main():
    with tempfile.TemporaryDirectory() as folder:
        folder = workshop(Path(folder))
        names = outputs(folder)
        report = json.loads(names["json"].read_text())
        sarif(names["sarif"])
        junit(names["junit"], report)
        others(names, report)
        schemas(folder, names)
    print(f"{COUNTED} passed, 0 failed")


main()
