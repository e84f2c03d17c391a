"""Prints the test command that a README gives: the second fenced `sh` command of its section on setting up."""

import pathlib
import re
import sys

SECTION = re.compile(r"^(#+) .*\bset(ting)?[ -]?up\b.*\n", re.IGNORECASE | re.MULTILINE)
COMMAND = re.compile(r"^```sh\n(.*?)^```", re.DOTALL | re.MULTILINE)
UNTIL_THEN = "cargo test"


def section(text):
    """The section on setting up; None without one."""
    heading = SECTION.search(text)
    if heading is None:
        return None
    rest = text[heading.end() :]
    end = re.search(rf"^#{{1,{len(heading[1])}}} ", COMMAND.sub(lambda block: " " * len(block[0]), rest), re.MULTILINE)
    return rest[: end.start()] if end else rest


def main():
    setting_up = section(pathlib.Path(sys.argv[1]).read_text(encoding="utf-8"))
    if setting_up is None:
        print(UNTIL_THEN)
        return
    commands = COMMAND.findall(setting_up)
    if len(commands) < 2:
        sys.exit(f"the section on setting up has no second `sh` command: {commands}")
    print(commands[1].strip())


main()
