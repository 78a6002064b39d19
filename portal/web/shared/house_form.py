"""The takeoff form: inputs named by their path in the house document, and the way there and back.

A field is called what the engine calls it (`levels[0].outline.rectangles[1].width`), so that a problem lands
beside its field by name. Everything typed is kept, whatever kind of outline or siding is chosen; only what
is chosen goes into the document.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar

from flask_babel import gettext as _

Document = dict[str, Any]
Row = dict[str, str]

#: What a row of each kind has, and how many rows there may be.
COLUMNS = {"rectangles": ("west", "south", "width", "depth"), "walls": ("heading", "length", "siding"),
           "lengths": ("",)}  # fmt: skip
MOST = {"levels": 12, "rectangles": 60, "walls": 200, "lengths": 500}
FACES = ("north", "east", "south", "west")
STATUSES = ("open", "wrapped", "sided")
#: Around a house the way most are walked: along the south side to the east first.
FIRST_HEADINGS = ("E", "N", "W", "S")

_LEVEL = r"levels\[(\d{1,2})\]"
_ROW = re.compile(_LEVEL + r"\.(?:outline|interior)\.(rectangles|walls|lengths)\[(\d{1,3})\](?:\.([a-z]+))?")
_TEXT = re.compile(_LEVEL + r"\.([a-z_.]+)")
_PRESS = re.compile(rf"(add|remove) (?:levels|{_LEVEL}\.(?:outline|interior)\.(\w+))(?:\[(\d{{1,3}})\])?")


@dataclass(slots=True)
class Story:
    """One level as typed: its single fields by their path within the level, and its rows."""

    texts: dict[str, str] = field(default_factory=dict)
    rectangles: list[Row] = field(default_factory=list)
    walls: list[Row] = field(default_factory=list)
    lengths: list[Row] = field(default_factory=list)

    def text(self, at: str) -> str:
        """What was typed in a single field."""
        return self.texts.get(at, "")

    def rows(self, kind: str) -> list[Row]:
        """The rows of rectangles, walls or lengths."""
        found: list[Row] = getattr(self, kind)
        return found


def new_story(number: int, like: Story | None = None) -> Story:
    """A story to begin with; a further one starts with the outline and siding of the one below."""
    names = {1: _("Ground floor"), 2: _("Second floor"), 3: _("Third floor")}
    called = names.get(number) or _("Story %(number)s", number=number)
    if like is not None:
        kept = {at: text for at, text in like.texts.items() if not at.startswith("interior.length")}
        return Story(kept | {"name": called, "repeat": "1"}, [dict(row) for row in like.rectangles],
                     [dict(row) for row in like.walls], [{"": ""} for _row in like.lengths])  # fmt: skip
    chosen = {"outline.by": "rectangles", "interior.by": "measured", "siding.by": "one"}
    return Story(
        {"name": called, "repeat": "1"} | chosen,
        [{"west": "0", "south": "0", "width": "", "depth": ""}],
        [{"heading": heading, "length": "", "siding": ""} for heading in FIRST_HEADINGS],
        [{"": ""} for _row in range(4)],
    )


@dataclass(slots=True)
class HouseForm:
    """A house as typed."""

    stories: list[Story]
    most: ClassVar[dict[str, int]] = MOST

    def document(self, name: str) -> Document:
        """The house document of what is chosen; the engine judges it."""
        return {"name": name, "levels": [_level(story) for story in self.stories]}

    def press(self, pressed: str) -> str | None:
        """Add or remove a row or a story; answers the name of the first field that is new."""
        match = _PRESS.fullmatch(pressed)
        if match is None:
            return None
        verb, level, kind, index = match.groups()
        if kind is None:
            return self._press_story(verb, index)
        if int(level) >= len(self.stories) or kind not in COLUMNS:
            return None
        rows = self.stories[int(level)].rows(kind)
        if verb == "remove":
            del rows[int(index or 0) : int(index or 0) + 1]
            return None
        if len(rows) < MOST[kind]:
            rows.append(dict.fromkeys(COLUMNS[kind], ""))
        return row_field(int(level), kind, len(rows) - 1)

    def _press_story(self, verb: str, index: str | None) -> str | None:
        if verb == "remove" and index is not None and len(self.stories) > 1:
            del self.stories[int(index) : int(index) + 1]
        elif verb == "add" and len(self.stories) < MOST["levels"]:
            self.stories.append(new_story(len(self.stories) + 1, self.stories[-1]))
            return f"levels[{len(self.stories) - 1}].name"
        return None


def row_field(level: int, kind: str, index: int) -> str:
    """The name of the first field of a row."""
    if kind == "lengths":
        return f"levels[{level}].interior.lengths[{index}]"
    return f"levels[{level}].outline.{kind}[{index}].{COLUMNS[kind][0]}"


def first_form() -> HouseForm:
    """One story, one rectangle, interior walls measured; the rest opens by choice."""
    return HouseForm([new_story(1)])


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
        walls = [_filled(row) for row in _used("walls", story.walls, 3)]
        return {"by": by, "walls": walls if own else [_without_siding(wall) for wall in walls]}
    wanted = {"measured": ("length", "floor_area"), "area": ("floor_area",)}.get(by, ())
    return {"by": by} | {key: story.text(f"outline.{key}") for key in wanted if story.text(f"outline.{key}")}


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


def _without_siding(wall: Row) -> Row:
    return {key: text for key, text in wall.items() if key != "siding"}


def _used(kind: str, rows: list[Row], least: int) -> list[Row]:
    """The rows without the blank ones at the end; `least` at least, so that what is missing is told there."""
    last = max((number for number, row in enumerate(rows, 1) if not _blank(kind, row)), default=0)
    return rows[: max(last, least)]


def _blank(kind: str, row: Row) -> bool:
    if kind == "rectangles":
        return not (row["width"] or row["depth"] or row["west"].strip("0") or row["south"].strip("0"))
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
