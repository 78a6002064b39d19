"""Writes letters: subject, text and HTML of a kind, from plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from portal.core.money.chasing import fill
from portal.formats import Formats

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"

#: The outbox holds 300 characters of a subject; a lot's name alone may have 200.
LONGEST_SUBJECT = 200


@dataclass(frozen=True, slots=True)
class Written:
    """A letter without an address. The subject is one line."""

    subject: str
    text: str
    html: str


class Letters:
    """Fills `templates/letters/<kind>.subject.txt`, `.txt` and `.html`."""

    def __init__(self, formats: Formats) -> None:
        self._environment = environment(formats)

    def write(self, kind: str, values: Mapping[str, Any]) -> Written:
        """A letter of this kind. A value that a template asks for and is not given is an error."""
        return Written(
            one_line(self._fill(f"{kind}.subject.txt", values)),
            tidy(self._fill(f"{kind}.txt", values)),
            self._fill(f"{kind}.html", values),
        )

    def _fill(self, name: str, values: Mapping[str, Any]) -> str:
        return self._environment.get_template(f"letters/{name}").render(values)


def environment(formats: Formats) -> Environment:
    """HTML is escaped, subjects and texts are not: they are no markup."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=lambda name: bool(name and name.endswith(".html")),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
        extensions=["jinja2.ext.i18n"],
    )
    made.install_gettext_callables(  # type: ignore[attr-defined]
        formats.translate, formats.plural, newstyle=True
    )
    made.globals["lang"] = formats.language
    made.filters |= formats.filters() | {"filled": fill}
    return made


def one_line(text: str) -> str:
    """A subject: whatever breaks a line in it is a space."""
    subject = " ".join(text.split())
    return subject if len(subject) <= LONGEST_SUBJECT else subject[: LONGEST_SUBJECT - 1].rstrip() + "…"


def tidy(text: str) -> str:
    """A text without empty lines in heaps or at its ends."""
    lines: list[str] = []
    for line in (line.rstrip() for line in text.strip().splitlines()):
        if line or lines[-1]:
            lines.append(line)
    return "\n".join(lines) + "\n"
