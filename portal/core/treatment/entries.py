"""What several phones enter on one stop, merged: the same in whatever order it arrives, however often.

Every entry is one value in one field, with an id of its own and the ids of the entries of that field that
whoever entered it had seen, and so replaces. An entry that none replaces is a head. One head, or several
that say the same, is what the field holds. Heads that differ are a conflict: neither knew of the other.
As fields are those of one stretch, two phones that each work on a stretch of their own never meet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from portal.core.errors import Problem
from portal.core.words import say

#: A UUID of version 4 as text: RFC 9562, sections 4 and 5.4 (version 4, variant 10xx).
UUID4 = re.compile("[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")

#: What an entry may hold: the names that the evidence is read by.
NAMES = re.compile(
    r"arrived|day|cautions|rinsed|check_pass|ready\.\w{1,40}|found\.[\w.]{1,60}|mixed\.[0-9]{1,4}"
    r"|(first|second)\.[\w.]{1,60}\.(start|end)|interior\.(start|end)"
    r"|product|registration|container_lot|concentrate|water|dye|left_over|conditions|problems|method"
    r"|applicator|supervisor|certificate|signed_by|words\.[0-9A-Za-z-]{20,36}"
)
#: What a photo shows, in words: the field is named by the photo's id.
WORDS = "words."
LONGEST_WORDS = 500
#: More than the longest field takes, so that what is too long is still told at its field.
LONGEST = 4000

#: Minutes by which a phone's clock may be off before the record says so. No source: what a coat takes.
CLOCK_LEEWAY = 3


@dataclass(frozen=True, slots=True)
class Entry:
    """A value entered in a field. `number` counts a job's entries as they came in; `by` says who."""

    id: str
    field: str
    value: str
    knows: tuple[str, ...]
    at: datetime
    by: str = ""
    number: int = 0
    offset_seconds: int = 0


@dataclass(frozen=True, slots=True)
class Merged:
    """What the fields hold, their heads, and those whose heads differ, with the heads, newest last."""

    values: dict[str, str]
    heads: dict[str, tuple[str, ...]]
    conflicts: dict[str, tuple[Entry, ...]]


def merge(entries: Iterable[Entry]) -> Merged:
    """All entries of a stop as one. Those with one id are one entry."""
    fields: dict[str, dict[str, Entry]] = {}
    for entry in entries:
        fields.setdefault(entry.field, {})[entry.id] = entry
    values, heads, conflicts = {}, {}, {}
    for field, found in sorted(fields.items()):
        replaced = {other for entry in found.values() for other in entry.knows if other != entry.id}
        # Entries that replace each other in a ring could only be forged; then all of them stand.
        standing = [entry for entry in found.values() if entry.id not in replaced] or list(found.values())
        standing.sort(key=lambda entry: (entry.at, entry.id))
        values[field] = standing[-1].value
        heads[field] = tuple(entry.id for entry in standing)
        if len({entry.value for entry in standing}) > 1:
            conflicts[field] = tuple(standing)
    return Merged(values, heads, conflicts)


def settles(entry: Entry, merged: Merged) -> bool:
    """Whether an entry would decide a conflict, which is the office's to decide."""
    differing = {head.id for head in merged.conflicts.get(entry.field, ())}
    return len(differing & set(entry.knows)) > 1


def typed_over(before: Merged, base: Mapping[str, str], typed: Mapping[str, str]) -> dict[str, str]:
    """What a form changes: fields that say something else than where it was opened, or are no longer in it.

    `before` is the merge of what the form was shown, `base` what stood before the first entry.
    """
    shown = dict(base) | before.values
    changed = {at: value for at, value in typed.items() if shown.get(at, "") != value}
    # A photo may have come after the form was opened: then its words were not in it, and stay.
    gone = [at for at, value in shown.items() if at not in typed and value and not at.startswith(WORDS)]
    return changed | dict.fromkeys(gone, "")


def words_problems(values: Mapping[str, str]) -> list[Problem]:
    """What is to be said of words on photos that are too long, at their fields."""
    return [
        Problem(at, say("At most {limit} characters, please.", limit=LONGEST_WORDS))
        for at, value in values.items()
        if at.startswith(WORDS) and len(value) > LONGEST_WORDS
    ]


def conflict_problems(merged: Merged) -> list[Problem]:
    """What is to be said of each conflict, at its field."""
    return [
        Problem(at, say(
            "Two phones entered different things: {first} and {second}. The office picks one of them.",
            first=f"“{heads[0].value[:80]}”", second=f"“{heads[-1].value[:80]}”",
        ))
        for at, heads in merged.conflicts.items()
    ]  # fmt: skip


def clocks_off(entries: Iterable[Entry]) -> tuple[int, ...]:
    """By how many minutes phones' clocks were ahead of ours (behind: less than zero), where it matters."""
    found = {round(entry.offset_seconds / 60) for entry in entries}
    return tuple(sorted(minutes for minutes in found if abs(minutes) > CLOCK_LEEWAY))
