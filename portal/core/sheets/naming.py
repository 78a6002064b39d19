"""Which of our columns each of theirs is: by its name, by what was said before, or as somebody chose."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from portal.core.errors import Problem
from portal.core.sheets.columns import BY_KEY, NOT_USED, bare, known
from portal.core.words import say

#: A lot needs one of each of these, from its row or said once for all.
NEEDED: tuple[tuple[str, ...], ...] = (
    ("lot",), ("address", "house_number"), ("address", "street"), ("town",), ("state",), ("postal_code",),
    ("foundation",), ("plan", "exterior", "width"),
)  # fmt: skip


def guessed(headers: Sequence[str], remembered: Mapping[str, str]) -> list[str]:
    """A column, or none, for each header. `remembered` is what the company said of `bare` headers before."""
    taken: set[str] = set()
    found = []
    for header in headers:
        said = remembered.get(bare(header))
        column = said if said is not None else known(header)
        if column not in BY_KEY or column in taken:
            column = NOT_USED
        taken.add(column)
        found.append(column)
    return found


def naming_problems(headers: Sequence[str], naming: Sequence[str], fill: Mapping[str, str]) -> list[Problem]:
    """What is wrong with a naming: one of ours given twice, or one that every lot needs not given.

    The first kind is told at the header's field, `column-3`, the second at the place of what is missing.
    """
    problems = []
    first: dict[str, int] = {}
    for number, column in enumerate(naming):
        if column in first:
            says = say("{column} is named already: {header}.", column=BY_KEY[column].label,
                       header=headers[first[column]] or number)  # fmt: skip
            problems.append(Problem(f"column-{number}", says))
        elif column != NOT_USED:
            first[column] = number
    given = set(first) | {column for column, text in fill.items() if text.strip()}
    problems += [
        Problem(f"fill-{any_of[0]}", say("No column is named {column}, and every lot needs it.",
                                         column=_either(any_of)))
        for any_of in NEEDED if not given & set(any_of)
    ]  # fmt: skip
    by_feet = {"siding": given & {"exterior", "width"}, "interior": given & {"exterior"}}
    problems += [
        Problem(f"fill-{column}", say("No column is named {column}, and a house by its feet needs it.",
                                      column=BY_KEY[column].label))
        for column, of_feet in by_feet.items() if of_feet and not given & {"plan", column}
    ]  # fmt: skip
    return problems


def _either(columns: tuple[str, ...]) -> object:
    labels = [BY_KEY[column].label for column in columns]
    if len(labels) == 1:
        return labels[0]
    if len(labels) == 2:
        return say("{first} or {second}", first=labels[0], second=labels[1])
    return say("{first}, {second} or {third}", first=labels[0], second=labels[1], third=labels[2])
