"""One story of the takeoff form as typed: its single fields, its rows, and what a new one begins with."""

from __future__ import annotations

from dataclasses import dataclass, field

from flask_babel import gettext as _

from portal.core.takeoff.lengths import length_or_fault, typed_feet
from portal.core.words import Said

Row = dict[str, str]

#: What a row of each kind has, and how many rows there may be.
COLUMNS = {"rectangles": ("width", "depth", "west", "south"), "walls": ("heading", "length", "siding"),
           "lengths": ("",)}  # fmt: skip
MOST = {"levels": 12, "rectangles": 60, "walls": 200, "lengths": 500}
FACES = ("north", "east", "south", "west")
STATUSES = ("open", "wrapped", "sided")
#: Around a house the way most are walked: along the south side to the east first.
FIRST_HEADINGS = ("E", "N", "W", "S")


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

    def complete_short(self) -> None:
        """What the short way in has no fields for: a name, and the first rows of every other way."""
        alone = self.text("repeat") in ("", "1")
        self.texts["name"] = _("Ground floor") if alone else _("Typical floor")
        first = new_story(1)
        self.rectangles = self.rectangles or first.rectangles
        self.walls, self.lengths = self.walls or first.walls, self.lengths or first.lengths

    def new_row(self, kind: str) -> Row:
        """What a further row of a kind begins with: a rectangle stands against the north of the first."""
        blank = dict.fromkeys(COLUMNS[kind], "")
        return blank | north_of_first(self.rectangles) if kind == "rectangles" else blank


def north_of_first(rectangles: list[Row]) -> Row:
    """Where most wings are: against the north side of the first rectangle, along its west edge."""
    if not rectangles:
        return {"west": "0", "south": "0"}
    first = rectangles[0]
    south = length_or_fault(first["south"], zero=True, signed=True)
    depth = length_or_fault(first["depth"])
    if isinstance(south, Said) or isinstance(depth, Said):
        return {"west": first["west"], "south": ""}
    return {"west": first["west"], "south": typed_feet(south + depth) if south else first["depth"]}


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
        [{"width": "", "depth": "", "west": "0", "south": "0"}],
        [{"heading": heading, "length": "", "siding": ""} for heading in FIRST_HEADINGS],
        [{"": ""} for _row in range(4)],
    )


def short_story() -> Story:
    """The story of the short way in: one rectangle, its interior walls estimated, every story like it."""
    story = new_story(1)
    return Story(story.texts | {"interior.by": "ratio"}, story.rectangles, story.walls, story.lengths)


def row_field(level: int, kind: str, index: int) -> str:
    """The name of the first field of a row."""
    if kind == "lengths":
        return f"levels[{level}].interior.lengths[{index}]"
    return f"levels[{level}].outline.{kind}[{index}].{COLUMNS[kind][0]}"
