"""Buttons of the takeoff form that change what is typed: add, remove, and close a walk with one wall."""

from __future__ import annotations

import re
from collections.abc import Callable

from portal.core.takeoff.closing import Closing
from portal.core.takeoff.lengths import typed_feet
from portal.core.takeoff.turns import written
from portal.web.shared.story import COLUMNS, MOST, Story, new_story, row_field

_LEVEL = r"levels\[(\d{1,2})\]"
_ROWS = re.compile(
    rf"(add|remove) {_LEVEL}\.(?:outline|interior)\.(rectangles|walls|lengths)(?:\[(\d{{1,3}})\])?"
)
_STORIES = re.compile(rf"(?:(add) levels|(remove) {_LEVEL})")
_CLOSE = re.compile(
    rf"close {_LEVEL} (\d{{1,3}})(?: heading ([A-Z0-9.]{{1,12}}))? length ([0-9'\"/ ]{{1,40}})"
)


def press(stories: list[Story], pressed: str) -> str | None:
    """Do what a button says; answers the name of the first field that is new or changed, if any."""
    for pattern, do in _DO:
        if match := pattern.fullmatch(pressed):
            return do(stories, match)
    return None


def close_button(level: int, closing: Closing) -> str:
    """The value of the button that does what `closing` says: all of it, for rows may change until then."""
    heading = "" if closing.heading is None else f" heading {written(closing.heading)}"
    return f"close levels[{level}] {closing.at}{heading} length {typed_feet(closing.length)}"


def _rows(stories: list[Story], match: re.Match[str]) -> str | None:
    verb, level, kind, index = match[1], int(match[2]), match[3], int(match[4] or 0)
    if level >= len(stories):
        return None
    rows = stories[level].rows(kind)
    if verb == "remove":
        del rows[index : index + 1]
        return None
    if len(rows) < MOST[kind]:
        rows.append(stories[level].new_row(kind))
    return row_field(level, kind, len(rows) - 1)


def _stories(stories: list[Story], match: re.Match[str]) -> str | None:
    if match[1] and len(stories) < MOST["levels"]:
        stories.append(new_story(len(stories) + 1, stories[-1]))
        return f"levels[{len(stories) - 1}].name"
    if match[2] and len(stories) > 1:
        del stories[int(match[3]) : int(match[3]) + 1]
    return None


def _close(stories: list[Story], match: re.Match[str]) -> str | None:
    level, at, heading, length = int(match[1]), int(match[2]), match[3], match[4]
    if level >= len(stories) or at > len(stories[level].walls):
        return None
    walls = stories[level].walls
    if heading is not None:
        # A row that only waits for its wall is taken; else one is put in.
        waits = at < len(walls) and not walls[at]["length"]
        walls[at : at + 1 if waits else at] = [dict.fromkeys(COLUMNS["walls"], "") | {"heading": heading}]
    if at < len(walls):
        walls[at]["length"] = length
    del walls[MOST["walls"] :]
    return f"levels[{level}].outline.walls[{at}].length" if at < len(walls) else None


_DO: tuple[tuple[re.Pattern[str], Callable[[list[Story], re.Match[str]], str | None]], ...] = (
    (_ROWS, _rows), (_STORIES, _stories), (_CLOSE, _close),
)  # fmt: skip
