"""Which wall of an older quote is which of a newer one: by its story, and there by its side or its place.

A story is found again by its name, else by its number. There a side is found again by its name; the walls of
a walk, which are renumbered when one is put in, by heading and length, in the order they are walked.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from fractions import Fraction
from typing import Any

from portal.core.documents import WallAsQuoted
from portal.core.takeoff.feet import level_feet
from portal.core.takeoff.reading import read_house

#: A wall before and after; None where it was not there yet, or is gone.
Pair = tuple[WallAsQuoted | None, WallAsQuoted | None]


@dataclass(slots=True)
class _Story:
    number: str
    name: str
    walls: list[WallAsQuoted] = field(default_factory=list)

    @property
    def walked(self) -> bool:
        return all(_mark(wall).startswith("w") and _mark(wall)[1:].isdigit() for wall in self.walls)


def matched(old: Iterable[WallAsQuoted], new: Iterable[WallAsQuoted]) -> tuple[Pair, ...]:
    """Every wall of both, once: story by story in the old order, new stories behind."""
    older, newer = _stories(old), _stories(new)
    again = _found_again(older, newer)
    pairs: list[Pair] = []
    for story in older:
        pairs += _walls(story.walls, again[story.number]) if story.number in again else _gone(story.walls)
    known = {story.number for story in again.values()}
    for story in newer:
        pairs += _added(story.walls) if story.number not in known else []
    return tuple(pairs)


def interiors(house: dict[str, Any]) -> list[tuple[str, Fraction]]:
    """Interior feet of each level of a house document, all its stories together, by its name."""
    return [(level.name, level_feet(level).interior * level.repeat) for level in read_house(house).levels]


def paired(
    old: Sequence[tuple[str, Fraction]], new: Sequence[tuple[str, Fraction]]
) -> list[tuple[str, Fraction | None, Fraction | None]]:
    """Levels of two houses by their name, else by their place: what it is called now, feet then and now."""
    left, again = list(enumerate(new)), dict[int, tuple[str, Fraction]]()
    for by_name in (True, False):
        for i, (name, _feet) in enumerate(old):
            match = next((one for one in left if (one[1][0] == name if by_name else one[0] == i)), None)
            if i not in again and match is not None:
                left.remove(match)
                again[i] = match[1]
    kept = [(again[i][0], feet, again[i][1]) if i in again else (name, feet, None)
            for i, (name, feet) in enumerate(old)]  # fmt: skip
    return [*kept, *((name, None, feet) for _i, (name, feet) in left)]


def _stories(walls: Iterable[WallAsQuoted]) -> list[_Story]:
    found: dict[str, _Story] = {}
    for wall in walls:
        number = wall.key.rpartition(".")[0]
        found.setdefault(number, _Story(number, wall.story)).walls.append(wall)
    return list(found.values())


def _found_again(older: list[_Story], newer: list[_Story]) -> dict[str, _Story]:
    """The newer story of each older one, by the older one's number."""
    again: dict[str, _Story] = {}
    left = list(newer)
    for same in (_same_place, _same_name, _same_number):
        for story in older:
            match = next((one for one in left if same(story, one)), None)
            if story.number not in again and match is not None:
                again[story.number] = match
                left.remove(match)
    return again


def _same_place(one: _Story, other: _Story) -> bool:
    return (one.name, one.number) == (other.name, other.number)


def _same_name(one: _Story, other: _Story) -> bool:
    return one.name == other.name


def _same_number(one: _Story, other: _Story) -> bool:
    return one.number == other.number


def _walls(old: list[WallAsQuoted], newer: _Story) -> Iterator[Pair]:
    new = newer.walls
    if newer.walked and _Story("", "", old).walked:
        return _walked(old, new)
    return _by_mark(old, new)


def _mark(wall: WallAsQuoted) -> str:
    return wall.key.rpartition(".")[2]


def _heading(wall: WallAsQuoted) -> str:
    """What a wall of a walk is called, without its number: “wall 3, heading N”."""
    return wall.label.partition(", ")[2]


def _by_mark(old: Iterable[WallAsQuoted], new: Iterable[WallAsQuoted]) -> Iterator[Pair]:
    after = {_mark(wall): wall for wall in new}
    for wall in old:
        yield wall, after.pop(_mark(wall), None)
    yield from _added(after.values())


def _walked(old: Sequence[WallAsQuoted], new: Sequence[WallAsQuoted]) -> Iterator[Pair]:
    before, after = ([(_heading(wall), wall.exact) for wall in walls] for walls in (old, new))
    for same, i, j, k, m in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if same == "equal":
            yield from zip(old[i:j], new[k:m], strict=True)
        else:
            yield from _by_heading(old[i:j], new[k:m])


def _by_heading(old: Sequence[WallAsQuoted], new: Sequence[WallAsQuoted]) -> Iterator[Pair]:
    left = list(new)
    for wall in old:
        match = next((one for one in left if _heading(one) == _heading(wall)), None)
        if match is not None:
            left.remove(match)
        yield wall, match
    yield from _added(left)


def _gone(walls: Iterable[WallAsQuoted]) -> Iterator[Pair]:
    return ((wall, None) for wall in walls)


def _added(walls: Iterable[WallAsQuoted]) -> Iterator[Pair]:
    return ((None, wall) for wall in walls)
