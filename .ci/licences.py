"""Fails where a dependency's licence is not allowed by licences.txt, or where an exception there is not needed."""

import json
import pathlib
import re
import subprocess
import sys

POLICY = pathlib.Path(__file__).with_name("licences.txt")


def policy():
    """The allowed licences, and the crates that are excepted with the licence that was accepted for each."""
    allowed, excepted = set(), {}
    for line in POLICY.read_text(encoding="utf-8").splitlines():
        words = line.split("#")[0].split()
        if words[:1] == ["allow"]:
            allowed.add(" ".join(words[1:]))
        elif words[:1] == ["except"]:
            excepted[words[1]] = " ".join(words[2:])
        elif words:
            sys.exit(f"{POLICY.name}: neither `allow` nor `except`: {line}")
    return allowed, excepted


def permits(expression, allowed):
    """Whether a licence expression can be met with the allowed licences alone. AND binds closer than OR."""
    tokens = re.findall(r"[()]|[^\s()]+(?: WITH [^\s()]+)?", expression.replace("/", " OR "))

    def choice():
        met = both()
        while tokens[:1] == ["OR"]:
            tokens.pop(0)
            met = both() or met
        return met

    def both():
        met = one()
        while tokens[:1] == ["AND"]:
            tokens.pop(0)
            met = one() and met
        return met

    def one():
        token = tokens.pop(0)
        if token != "(":
            return token in allowed
        met = choice()
        tokens.pop(0)
        return met

    return choice()


def main():
    allowed, excepted = policy()
    command = ["cargo", "metadata", "--locked", "--format-version", "1"]
    packages = json.loads(subprocess.run(command, check=True, stdout=subprocess.PIPE).stdout)["packages"]
    refused, unneeded = [], set(excepted)
    for package in packages:
        name, licence = package["name"], package["license"] or "none given"
        if permits(licence, allowed):
            continue
        if excepted.get(name) == licence:
            unneeded.discard(name)
        else:
            refused.append(f"{name} {package['version']}: {licence}")
    for crate in refused:
        print(f"not allowed: {crate}")
    for name in sorted(unneeded):
        print(f"no longer needed in {POLICY.name}: {name}")
    if refused or unneeded:
        sys.exit(1)
    print(f"{len(packages)} packages, all allowed")


main()
