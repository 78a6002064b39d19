"""Sentences that a rule says, kept apart from the language they are shown in.

A rule in the core cannot translate: it knows no reader. It says a template and
the values in it; the web room looks the template up in the reader's catalog,
everything else (command line, history) takes the English as it stands.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import time
from decimal import Decimal
from typing import Any


@dataclass(frozen=True, slots=True)
class Said:
    """One sentence: a template with named fields in braces, and their values.

    A value that is a date, a time of day or an `Amount` is kept as one: each reader has it in their own way.
    """

    template: str
    values: dict[str, Any] = field(default_factory=dict)

    def __str__(self) -> str:
        return self.template.format(**{key: _plain(value) for key, value in self.values.items()})


@dataclass(frozen=True, slots=True)
class Amount:
    """An amount of money in a sentence: each reader has it written in their own way."""

    amount: Decimal
    currency: str

    def __str__(self) -> str:
        return f"{self.amount} {self.currency}"


def dollars(amount: Decimal) -> Amount:
    """An amount in a sentence that a rule says, of money in the portal's one currency."""
    return Amount(amount, "USD")


def _plain(value: Any) -> Any:
    # As ISO 8601 writes it, to the minute, as times are taken down: 08:30. A date does so by itself.
    return f"{value:%H:%M}" if isinstance(value, time) else value


def say(template: str, /, **values: Any) -> Said:
    """Make a sentence. The template is a literal, so that the catalog can collect it."""
    return Said(template, values)
