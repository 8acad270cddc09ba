"""What the README and the build machine tell people to type is the same, and it exists."""

import re
import shlex
from pathlib import Path

from studbook.commands import COMMANDS
from studbook.commands.main import build_parser

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
CI = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
COMMAND_LINES = re.findall(r"^studbook .*$", README, re.MULTILINE)


def test_the_build_machine_runs_the_test_command_of_the_readme() -> None:
    (command,) = [line for line in README.splitlines() if line.endswith("-m pytest")]
    assert command in CI.splitlines()


def test_the_build_machine_installs_what_the_readme_asks_of_a_bare_machine() -> None:
    (line,) = [line for line in README.splitlines() if line.startswith("apt-get")]
    asked = set(line.split("--no-install-recommends ")[1].split()) - {"python3", "python3-venv"}
    installs = re.search(r'^packages="([^"]*)"', CI, re.MULTILINE)
    assert installs is not None
    assert asked <= set(installs[1].split())


def test_every_command_is_shown_and_can_be_parsed() -> None:
    shown = [shlex.split(line)[1:] for line in COMMAND_LINES]
    for words in shown:
        build_parser().parse_args(words)
    assert {words[0] for words in shown} == set(COMMANDS)


def test_every_picture_and_page_it_links_to_is_there() -> None:
    for target in re.findall(r"\]\(([^)]+)\)", README):
        assert (ROOT / target).is_file(), target
