"""What is wrong with a row, and the lot in it, as plain data and back: a list waits until it is asked for."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from portal.core.errors import Problem
from portal.core.sheets.rows import LotRow
from portal.core.words import Said


def kept_problems(problems: Iterable[Problem]) -> list[dict[str, Any]]:
    """Problems as plain data; a reader's language is chosen when they are shown."""
    return [{"at": problem.at} | _kept(problem.says) for problem in problems]


def problems_kept(stored: Iterable[dict[str, Any]]) -> tuple[Problem, ...]:
    """The problems again."""
    return tuple(Problem(one["at"], _said(one)) for one in stored)


def _kept(says: Said) -> dict[str, Any]:
    return {"says": says.template, "values": {key: _plain(value) for key, value in says.values.items()}}


def _plain(value: Any) -> Any:
    if isinstance(value, Said):
        return _kept(value)
    if isinstance(value, date):
        return {"day": value.isoformat()}
    return value if isinstance(value, int) else str(value)


def _said(stored: dict[str, Any]) -> Said:
    return Said(stored["says"], {key: _value(value) for key, value in stored["values"].items()})


def _value(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    return date.fromisoformat(value["day"]) if "day" in value else _said(value)


def kept_row(row: LotRow) -> dict[str, Any]:
    """The lot as plain data, without what is wrong with it."""
    return {
        "texts": row.texts, "foundation": row.foundation, "siding_starts": _day(row.siding_starts),
        "insulation_starts": _day(row.insulation_starts), "plan": row.plan, "mirrored": row.mirrored,
        "siding": row.siding, "house": row.house,
    }  # fmt: skip


def row_kept(stored: dict[str, Any]) -> LotRow:
    """The lot again."""
    return LotRow(
        texts=stored["texts"], foundation=stored["foundation"], siding_starts=_read(stored["siding_starts"]),
        insulation_starts=_read(stored["insulation_starts"]), plan=stored["plan"],
        mirrored=stored["mirrored"], siding=stored["siding"], house=stored["house"],
    )  # fmt: skip


def _read(day: str | None) -> date | None:
    return date.fromisoformat(day) if day else None


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None
