"""The fields of a document, read one by one: a value, or one more problem with its path.

Each function answers the value, or None after it has added what is wrong to
`problems`; so that a reader goes on and finds everything that is wrong.
"""

from __future__ import annotations

from fractions import Fraction

from portal.core.errors import Problem
from portal.core.jsontext import Numeral, key_shown, quoted
from portal.core.numbers import as_number
from portal.core.takeoff.lengths import length_or_fault
from portal.core.words import Said, say

Problems = list[Problem]

UNKNOWN_KEY = say("unknown key {read}", read="")


def usable(problems: Problems, before: int) -> bool:
    """Whether, since there were `before` problems, nothing worse was found than a key that is not known.

    Then what was read can still be reckoned with, to find what else is wrong.
    """
    return all(problem.says.template == UNKNOWN_KEY.template for problem in problems[before:])


def within(at: str, key: str) -> str:
    """The path of `key` inside the object at `at`."""
    return f"{at}.{key}" if at else key


def entries(
    value: object, at: str, problems: Problems, required: tuple[str, ...], optional: tuple[str, ...] = ()
) -> dict[str, object]:
    """The object at `at`, its missing and unknown keys told; an empty one where it is no object."""
    if not isinstance(value, dict):
        problems.append(Problem(at, say("this must be an object, not {read}", read=quoted(value))))
        return {}
    for key in required:
        if key not in value:
            problems.append(Problem(within(at, key), say("{key} is missing", key=key)))
    for key in value:
        if key not in required and key not in optional:
            problems.append(
                Problem(within(at, key_shown(key)), Said(UNKNOWN_KEY.template, {"read": quoted(key)}))
            )
    return value


def items(
    value: object, at: str, problems: Problems, what: Said, most: int, least: int = 1
) -> list[object]:
    """The list at `at`, which must have `least` to `most` of `what`; never more than `most` of them."""
    if not isinstance(value, list | tuple):
        problems.append(Problem(at, say("this must be a list, not {read}", read=quoted(value))))
        return []
    if not least <= len(value) <= most:
        problems.append(Problem(at, say(
            "{least} to {most} {what} are needed here, not {count}",
            least=least, most=most, what=what, count=len(value),
        )))  # fmt: skip
    return list(value[:most])


def name(value: object, at: str, problems: Problems) -> str:
    """A name of 1 to 200 characters, none of them a control character (nor half a character)."""
    if not isinstance(value, str) or isinstance(value, Numeral):
        problems.append(Problem(at, say("this must be a text, not {read}", read=quoted(value))))
    elif not 1 <= len(value) <= 200:
        says = say("a name has 1 to 200 characters, this one has {count}", count=len(value))
        problems.append(Problem(at, says))
    elif not value.isprintable() and any(_is_control(character) for character in value):
        says = say("a name has no control characters: {read}", read=quoted(value))
        problems.append(Problem(at, says))
    else:
        return value
    return ""


def _is_control(character: str) -> bool:
    # The Unicode categories Cc, and Cs: half of a surrogate pair cannot be written as UTF-8.
    code = ord(character)
    return code < 32 or 127 <= code < 160 or 0xD800 <= code < 0xE000


def length(
    fields: dict[str, object],
    key: str,
    at: str,
    problems: Problems,
    *,
    zero: bool = False,
    signed: bool = False,
) -> Fraction:
    """The length `fields[key]` in feet; zero where it is missing (told already) or wrong (told now)."""
    if key not in fields:
        return Fraction(0)
    return length_at(fields[key], f"{at}.{key}", problems, zero=zero, signed=signed)


def length_at(
    value: object, at: str, problems: Problems, *, zero: bool = False, signed: bool = False
) -> Fraction:
    """The length `value` in feet; zero where it is wrong."""
    feet = length_or_fault(value, zero=zero, signed=signed)
    if isinstance(feet, Said):
        problems.append(Problem(at, feet))
        return Fraction(0)
    return feet


def choice(value: object, at: str, problems: Problems, choices: tuple[str, ...]) -> str | None:
    """One of the words `choices`, exactly as written there."""
    if isinstance(value, str) and value in choices and not isinstance(value, Numeral):
        return value
    says = say("this must be one of {choices}, not {read}", choices=", ".join(choices), read=quoted(value))
    problems.append(Problem(at, says))
    return None


def number(
    value: object,
    at: str,
    problems: Problems,
    *,
    over: int | None = None,
    least: int | None = None,
    most: int | None = None,
) -> Fraction | None:
    """A JSON number or a numeric text, exact; `over` is a bound that is itself refused."""
    exact = as_number(value)
    if isinstance(exact, Said):
        says = exact
    elif over is not None and exact <= over:
        says = say("this must be over {limit}, not {read}", limit=over, read=quoted(value))
    elif least is not None and exact < least:
        says = say("this must not be under {limit}: {read}", limit=least, read=quoted(value))
    elif most is not None and exact > most:
        says = say("this must not be over {limit}: {read}", limit=f"{most:,}", read=quoted(value))
    else:
        return exact
    problems.append(Problem(at, says))
    return None


def whole(value: object, at: str, problems: Problems, least: int, most: int) -> int | None:
    """A whole number from `least` to `most`, as a JSON number or a numeric text."""
    if type(value) is int and least <= value <= most:
        return value
    exact = as_number(value)
    if isinstance(exact, Fraction) and exact.denominator == 1 and least <= exact <= most:
        return exact.numerator
    says = say(
        "this must be a whole number from {least} to {most}, not {read}",
        least=least,
        most=most,
        read=quoted(value),
    )
    problems.append(Problem(at, says))
    return None
