"""The takeoff form: inputs named by their path in the house document, and the way there and back.

A field is called what the engine calls it (`levels[0].outline.rectangles[1].width`), so that a problem lands
beside its field by name. Everything typed is kept, whatever kind of outline or siding is chosen; only what
is chosen goes into the document.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from flask_babel import gettext as _

from portal.core.takeoff import turns
from portal.web.shared import house_presses
from portal.web.shared.story import (
    COLUMNS,
    FACES,
    MOST,
    STATUSES,
    Row,
    Story,
    new_story,
    north_of_first,
    short_story,
)

Document = dict[str, Any]

_LEVEL = r"levels\[(\d{1,2})\]"
_ROW = re.compile(_LEVEL + r"\.(?:outline|interior)\.(rectangles|walls|lengths)\[(\d{1,3})\](?:\.([a-z]+))?")
_TEXT = re.compile(_LEVEL + r"\.([a-z_.]+)")
#: 1,850 as people write it; the document has no commas in its numbers.
_THOUSANDS = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?")


@dataclass(slots=True)
class HouseForm:
    """A house as typed."""

    stories: list[Story]
    most: ClassVar[dict[str, int]] = MOST

    def document(self, name: str) -> Document:
        """The house document of what is chosen; the engine judges it."""
        return {"name": name, "levels": [_level(story) for story in self.stories]}

    def press(self, pressed: str) -> str | None:
        """Add, remove or change what a button says; answers the name of the first field that is new."""
        return house_presses.press(self.stories, pressed)

    def complete_short(self) -> None:
        """What the short way in has no fields for: a name, and the first rows of every other way."""
        for story in self.stories:
            story.complete_short()


def first_form() -> HouseForm:
    """One story, one rectangle, interior walls measured; the rest opens by choice."""
    return HouseForm([new_story(1)])


def short_form() -> HouseForm:
    """The short way in: stories, width, depth, one siding. The interior walls are estimated."""
    return HouseForm([short_story()])


def read_form(typed: Mapping[str, str]) -> HouseForm:
    """What was typed, by path; fields of other forms are left alone."""
    stories: dict[int, Story] = {}
    rows: dict[tuple[int, str], dict[int, Row]] = {}
    for name, text in typed.items():
        if match := _ROW.fullmatch(name):
            level, kind, index, column = match.groups()
            row = rows.setdefault((int(level), kind), {}).setdefault(int(index), {})
            row[column or ""] = text.strip()
        elif match := _TEXT.fullmatch(name):
            stories.setdefault(int(match[1]), Story()).texts[match[2]] = text.strip()
    for (level_number, kind), found in rows.items():
        story = stories.setdefault(level_number, Story())
        story.rows(kind).extend(_whole(kind, found[index]) for index in sorted(found))
    kept = [stories[number] for number in sorted(stories)][: MOST["levels"]]
    return HouseForm(kept) if kept else first_form()


def _whole(kind: str, row: Row) -> Row:
    return {column: row.get(column, "") for column in COLUMNS[kind]}


def _level(story: Story) -> Document:
    level: Document = {at: story.text(at) for at in ("name", "repeat") if story.text(at)}
    level["outline"], level["interior"] = _outline(story), _interior(story)
    siding = _siding(story)
    return level if siding is None else level | {"siding": siding}


def _outline(story: Story) -> Document:
    by = story.text("outline.by")
    if by == "rectangles":
        return {"by": by, "rectangles": [_filled(row) for row in _used("rectangles", story.rectangles, 1)]}
    if by == "walk":
        own = story.text("siding.by") in ("one", "wall")
        walls = [_filled(row) for row in _turned(_used("walls", story.walls, 3))]
        return {"by": by, "walls": walls if own else [_without_siding(wall) for wall in walls]}
    wanted = {"measured": ("length", "floor_area"), "area": ("floor_area",)}.get(by, ())
    given = {key: story.text(f"outline.{key}") for key in wanted if story.text(f"outline.{key}")}
    if _THOUSANDS.fullmatch(given.get("floor_area", "").strip()):
        given["floor_area"] = given["floor_area"].replace(",", "")
    return {"by": by} | given


def _interior(story: Story) -> Document:
    by = story.text("interior.by")
    if by == "walls":
        return {"by": by, "lengths": [row[""] for row in _used("lengths", story.lengths, 1)]}
    if by == "measured" and story.text("interior.length"):
        return {"by": by, "length": story.text("interior.length")}
    return {"by": by}


def _siding(story: Story) -> Document | str | None:
    by = story.text("siding.by")
    if by in ("face", "length"):
        keys = FACES if by == "face" else STATUSES
        return {"by": by} | {key: story.text(f"siding.{key}") for key in keys if story.text(f"siding.{key}")}
    return story.text("siding") or None if by == "one" else None


def _filled(row: Row) -> Row:
    return {key: text for key, text in row.items() if text}


def _turned(walls: list[Row]) -> list[Row]:
    """The walls with each turn made a heading; what was typed stays in the form."""
    found = turns.headings([in_english(wall["heading"]) for wall in walls])
    return [wall | {"heading": heading} for wall, heading in zip(walls, found, strict=True)]


def in_english(heading: str) -> str:
    """A turn in the reader's words as the core reads it."""
    for word, english in ((_("left"), "left"), (_("right"), "right")):
        if heading.casefold().startswith(word.casefold()):
            return english + heading[len(word) :]
    return heading


def _without_siding(wall: Row) -> Row:
    return {key: text for key, text in wall.items() if key != "siding"}


def _used(kind: str, rows: list[Row], least: int) -> list[Row]:
    """The rows without the blank ones at the end; `least` at least, so that what is missing is told there."""
    begun = north_of_first(rows) if kind == "rectangles" else {}
    last = max((number for number, row in enumerate(rows, 1) if not _blank(kind, row, begun)), default=0)
    return rows[: max(last, least)]


def _blank(kind: str, row: Row, begun: Row) -> bool:
    """Whether nothing was entered in a row but what stands there from the start."""
    if kind == "rectangles":
        untouched = all(row[at] in ("", "0", begun[at]) for at in begun)
        return untouched and not (row["width"] or row["depth"])
    # A heading stands there from the start: a wall is entered once it has a length.
    return not any(text for key, text in row.items() if key != "heading")


def from_document(house: Document) -> HouseForm:
    """A house document as form values, to be changed or asked again; numbers become what one would type."""
    return HouseForm([_story(level) for level in house["levels"]])


def _story(level: Document) -> Story:
    outline, interior, siding = level["outline"], level["interior"], level.get("siding")
    story = new_story(1)
    story.texts |= {"name": level["name"], "repeat": str(level.get("repeat", "1"))}
    story.texts |= _prefixed("outline", outline, ("by", "length", "floor_area"))
    story.texts |= _prefixed("interior", interior, ("by", "length"))
    if isinstance(siding, dict):
        story.texts |= _prefixed("siding", siding, ("by", *FACES, *STATUSES))
    else:
        story.texts |= {"siding": siding, "siding.by": "one"} if siding else {"siding.by": "wall"}
    for kind, found in (("rectangles", outline), ("walls", outline), ("lengths", interior)):
        if kind in found:
            story.rows(kind)[:] = [_typed(kind, row) for row in found[kind]]
    return story


def _prefixed(prefix: str, found: Document, keys: Iterable[str]) -> dict[str, str]:
    return {f"{prefix}.{key}": str(found[key]) for key in keys if key in found}


def _typed(kind: str, row: Any) -> Row:
    if kind == "lengths":
        return {"": str(row)}
    return {column: str(row.get(column, "")) for column in COLUMNS[kind]}
