"""Fails where a dependency comes in two versions that duplicates.txt does not except, or an exception is not needed."""

import pathlib
import subprocess
import sys

POLICY = pathlib.Path(__file__).with_name("duplicates.txt")


def excepted():
    """The packages that may come in several versions; each line gives its reason."""
    names = set()
    for line in POLICY.read_text(encoding="utf-8").splitlines():
        name, _, reason = line.partition(":")
        if line.startswith("#") or not line.strip():
            continue
        if not reason.strip():
            sys.exit(f"{POLICY.name}: no reason given: {line}")
        names.add(name.strip())
    return names


def duplicated():
    """Packages in several versions, with those versions."""
    command = ["cargo", "tree", "--locked", "--duplicates", "--depth", "0", "--target", "all", "--prefix", "none"]
    lines = subprocess.run(command, check=True, stdout=subprocess.PIPE, encoding="utf-8").stdout.splitlines()
    found = {}
    for name, version, *_ in filter(None, map(str.split, lines)):
        found.setdefault(name, set()).add(version)
    # The same version for the program and for its build script is no duplicate.
    return {name: sorted(versions) for name, versions in found.items() if len(versions) > 1}


def main():
    known, found = excepted(), duplicated()
    for name in sorted(found.keys() - known):
        print(f"in several versions: {name} {', '.join(found[name])}; `cargo tree -i {name}@VERSION` says why")
    for name in sorted(known - found.keys()):
        print(f"no longer needed in {POLICY.name}: {name}")
    if found.keys() != known:
        sys.exit(1)
    print(f"{len(found)} packages in several versions, all excepted")


main()
