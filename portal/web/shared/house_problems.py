"""From the engine's problems to fields of the takeoff form, and to words that stand beside them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from flask_babel import gettext
from flask_babel import lazy_gettext as _

from portal.core.errors import Problem
from portal.core.takeoff.turns import turn_of
from portal.core.words import say
from portal.web.shared.house_form import HouseForm, in_english
from portal.web.shared.pages import told
from portal.web.shared.story import row_field

MISSING = {
    "name": _("Give this story a name."),
    "width": _("Enter the width, from west to east."),
    "depth": _("Enter the depth, from south to north."),
    "west": _("Enter where its west edge is: 0, or feet east of the first rectangle's corner."),
    "south": _("Enter where its south edge is: 0, or feet north of the first rectangle's corner."),
    "heading": _("Enter the heading: N, NE, E, SE, S, SW, W, NW, or degrees."),
    "length": _("Enter the length."),
    "floor_area": _("Enter the floor area in square feet."),
    "siding": _("Say what is on the outside of the walls."),
}
MISSING_FACE = {
    "north": _("Choose what is on the north face."),
    "east": _("Choose what is on the east face."),
    "south": _("Choose what is on the south face."),
    "west": _("Choose what is on the west face."),
}
MISSING_INSIDE = {"length": _("Enter the feet of interior walls; 0 if there are none.")}
ROWS = {
    "rectangles": _("rectangle %(number)s"),
    "walls": _("wall %(number)s"),
    "lengths": _("length %(number)s"),
}

#: What the engine says of a name, as the form says it of any text.
AS_ANY_TEXT = {
    "a name has 1 to 200 characters, this one has {count}":
        say("At most {limit} characters, please.", limit=200),
    "a name has no control characters: {read}":
        say("There is a character in here that cannot be printed."),
}  # fmt: skip

_PLACE = re.compile(
    r"levels\[(\d+)\](?:\.(outline|interior|siding)\b)?(?:\.(rectangles|walls|lengths)\b)?(?:\[(\d+)\])?.*"
)


def sentence(problem: Problem) -> str:
    """A problem as it stands beside its field: what the engine calls a missing key is asked for in words."""
    key = str(problem.says.values.get("key"))
    table: dict[str, Any] = MISSING_FACE if ".siding." in problem.at else MISSING
    table = MISSING_INSIDE if problem.at.endswith(".interior.length") else table
    if problem.says.template == "{key} is missing" and key in table:
        return str(table[key])
    said = told(AS_ANY_TEXT.get(problem.says.template, problem.says))
    return said[:1].upper() + said[1:]


def field_for(at: str, form: HouseForm) -> str:
    """The field a problem stands at: its own, the choice it is about, or none ("") for the summary alone."""
    match = _PLACE.fullmatch(at)
    if match is None or int(match[1]) >= len(form.stories):
        return ""
    level, part, kind, row = int(match[1]), match[2], match[3], match[4]
    base = f"levels[{level}]"
    if kind and row is None:
        return f"{base}.{part}.by"
    if kind and int(row) >= len(form.stories[level].rows(kind)):
        return f"{base}.{part}.by"
    if kind and at.endswith("]"):
        return row_field(level, kind, int(row))
    if part and at == f"{base}.{part}":
        return f"{base}.{part}.by"
    return at if part or at in (f"{base}.name", f"{base}.repeat") else f"{base}.name"


def where(at: str, form: HouseForm) -> str:
    """Which story and row a path is in, for the summary: Ground floor, rectangle 2."""
    match = _PLACE.fullmatch(at)
    if match is None or int(match[1]) >= len(form.stories):
        return ""
    number = int(match[1])
    parts = [form.stories[number].text("name") or gettext("Story %(number)s", number=number + 1)]
    if match[3] and match[4]:
        parts.append(str(ROWS[match[3]]) % {"number": int(match[4]) + 1})
    return ", ".join(parts)


def in_place(problems: Sequence[Problem], form: HouseForm) -> list[tuple[str, str, str]]:
    """Every problem: its field, its sentence, and the sentence with its place for the summary."""
    found = []
    for problem in problems:
        said, place = _of_turn(problem, form) or sentence(problem), where(problem.at, form)
        found.append((field_for(problem.at, form), said, f"{place}: {said}" if place else said))
    return found


def _of_turn(problem: Problem, form: HouseForm) -> str:
    """A turn that could not become a heading: what it lacks is a wall before it."""
    match = _PLACE.fullmatch(problem.at)
    if match is None or match[3] != "walls" or match[4] is None or not problem.at.endswith(".heading"):
        return ""
    typed = form.stories[int(match[1])].walls[int(match[4])]["heading"]
    if turn_of(in_english(typed)) is None:
        return ""
    return str(gettext("A turn is from the wall before it: give that one a heading first, such as E."))


def is_typed(problem: Problem, form: HouseForm) -> bool:
    """Whether a problem is about something typed, and not about what is still to come."""
    if problem.says.template == "{key} is missing":
        return False
    match = _PLACE.fullmatch(problem.at)
    if match is None or match[3] != "lengths" or match[4] is None:
        return True
    rows = form.stories[int(match[1])].lengths
    return bool(rows[int(match[4])][""])
