"""Plain data as a file to save."""

from __future__ import annotations

import json
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from flask import Response


def json_file(name: str, data: dict[str, Any]) -> Response:
    """Readable JSON: days and moments as ISO 8601, amounts as text, exact."""
    answer = Response(
        json.dumps(data, indent=2, ensure_ascii=False, default=_plain) + "\n", mimetype="application/json"
    )
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _plain(value: object) -> str:
    if isinstance(value, date | datetime):
        return value.isoformat()
    if isinstance(value, Decimal):
        return str(value)
    raise TypeError(f"{type(value).__name__} is no plain data")
