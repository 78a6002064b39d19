"""README and DEVELOPERS.md name what is there: files, commands, settings, marks."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from portal.settings import BadSettings, from_environment

ROOT = Path(__file__).resolve().parents[1]
GUIDES = {name: (ROOT / name).read_text() for name in ("README.md", "DEVELOPERS.md")}
#: Where a path of the guides may begin: at the top, or in the portal where a sentence is about its rooms.
BEGINNINGS = (ROOT, ROOT / "portal")
PATH = re.compile(r"(?<![\w/.:…-])((?:[\w.]+/)+[\w.]*)")


def paths(text: str) -> set[str]:
    """What looks like a file or folder of ours in code marks or in an indented command."""
    code = re.findall(r"`([^`\n]+)`", text) + re.findall(r"^ {4}(.+)$", text, re.MULTILINE)
    return {found for piece in code for found in PATH.findall(piece.replace("…", "")) if "://" not in piece}


class Asked(dict[str, str]):
    """An environment without anything in it, which remembers what it was asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.names: set[str] = set()

    def get(self, name: str, default: str | None = None) -> str | None:  # type: ignore[override]
        """Nothing, and the name is noted."""
        self.names.add(name)
        return default


@pytest.mark.parametrize("guide", GUIDES)
def test_every_path_that_a_guide_names_is_there(guide: str) -> None:
    firsts = {path.name for top in BEGINNINGS for path in top.iterdir()}
    named = {path for path in paths(GUIDES[guide]) if path.partition("/")[0] in firsts}

    assert named
    assert not [path for path in named if not any((top / path).exists() for top in BEGINNINGS)]


def test_every_setting_stands_in_the_readme_and_none_that_is_not_read() -> None:
    told = set(re.findall(r"SILLBOOK_[A-Z_]+", GUIDES["README.md"]))
    told |= {f"SILLBOOK_SMTP{end}" for end in re.findall(r"`(_[A-Z]+)`", GUIDES["README.md"])}
    asked = Asked()

    with pytest.raises(BadSettings):
        from_environment(asked)

    assert told == asked.names


def test_every_command_of_the_guides_is_one() -> None:
    named = {word for text in GUIDES.values() for word in re.findall(r"python3 -m portal ([a-z-]+)", text)}
    there = {path.stem.replace("_", "-") for path in (ROOT / "portal" / "commands").glob("*.py")}

    assert len(named) > 4
    assert not named - there


def test_every_mark_is_explained() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    marks = {line.partition(":")[0] for line in project["tool"]["pytest"]["ini_options"]["markers"]}

    line = next(line for line in GUIDES["DEVELOPERS.md"].splitlines() if line.startswith("Marks:"))

    assert set(re.findall(r"`(\w+)`", line.partition(".")[0])) == marks
