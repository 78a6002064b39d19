"""The steps of a stop in their order: what each needs, which are done, which is next.

What the record needs is judged by the evidence (evidence.py); these are the same fields in the order of the
day. Nothing may be sprayed before somebody is there, has acknowledged the cautions and has made the place
ready; the rest may be entered in any order, because a day does not always go by the book.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from portal.core.documents import WallAsQuoted
from portal.core.treatment.evidence import READY
from portal.core.words import Said, say

WORDS = {
    "site": say("On site"),
    "cautions": say("Cautions"),
    "ready": say("Ready to spray"),
    "walls": say("Walls as found"),
    "mix": say("Mix"),
    "label": say("Container and label"),
    "coats": say("Coats"),
    "check": say("Check pass"),
    "used": say("Rinse and amounts"),
    "remarks": say("Conditions and problems"),
    "sign": say("Sign"),
}
#: Done before anything is sprayed.
FIRST = ("site", "cautions", "ready")


@dataclass(frozen=True, slots=True)
class Stop:
    """What the steps of a stop depend on: its walls, whether it has interior walls and a crawl space."""

    walls: Sequence[WallAsQuoted]
    interior: bool
    crawl_space: bool
    batches: int


@dataclass(frozen=True, slots=True)
class Step:
    """A step: the fields it needs, and whether it is done or the next to do."""

    key: str
    words: Said
    needs: tuple[str, ...]
    done: bool
    next: bool


def needs(stop: Stop, values: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """The fields of each step, photos as `photo.<wall>`. What may stay empty is not among them."""
    ready = [*READY, *(["respirator"] if stop.crawl_space else [])]
    walls, coats = [], []
    for wall in stop.walls:
        found = values.get(f"found.{wall.key}", "")
        walls.append(f"found.{wall.key}")
        walls += [f"photo.{wall.key}"] if found and found != wall.status else []
        twice = (found or wall.status) == "sided"
        coats += [f"{coat}.{wall.key}" for coat in (("first", "second") if twice else ("first",))]
    coats += ["interior"] if stop.interior else []
    return {
        "site": ("arrived",), "cautions": ("cautions",), "ready": tuple(f"ready.{key}" for key in ready),
        "walls": tuple(walls), "mix": tuple(f"mixed.{n}" for n in range(1, stop.batches + 1)),
        "label": ("product", "registration"),
        "coats": tuple(f"{coat}.{edge}" for coat in coats for edge in ("start", "end")),
        "check": ("check_pass",), "used": ("rinsed", "concentrate", "water", "dye"), "remarks": (),
        "sign": ("applicator", "certificate", "signed_by"),
    }  # fmt: skip


def steps(stop: Stop, values: Mapping[str, str], photographed: AbstractSet[str]) -> tuple[Step, ...]:
    """The steps as far as the stop has come. A step that needs nothing is done with the one after it."""
    held = values.keys() | {f"photo.{key}" for key in photographed}
    found, done = [], {}
    asked = needs(stop, values)
    for key, fields in asked.items():
        done[key] = all(at in held and values.get(at, "yes").strip() for at in fields)
    done["remarks"] = done["sign"]
    first_open = next((key for key, is_done in done.items() if not is_done), "")
    for key, fields in asked.items():
        found.append(Step(key, WORDS[key], fields, done[key], key == first_open))
    return tuple(found)


def too_soon(stop: Stop, values: Mapping[str, str], at: str) -> Said | None:
    """Why a coat cannot be started by a press yet: what has to be done before anything is sprayed."""
    if not at.endswith(".start"):
        return None
    asked = needs(stop, values)
    for key in FIRST:
        if not all(values.get(field, "").strip() for field in asked[key]):
            return say("Nothing is sprayed before this is done: {step}.", step=WORDS[key])
    return None
