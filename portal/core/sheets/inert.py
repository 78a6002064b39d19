"""Cells that no spreadsheet takes for a formula, and back again (OWASP ASVS 5.0, 1.2.10).

A cell that begins with one of the characters a formula can begin with gets an apostrophe in front.
So does one that has such apostrophes already; therefore taking one off always gives back what was there.
"""

from __future__ import annotations

import re

# Also behind spaces, which some programs drop; and the wide forms, which some take for the plain ones.
_LIVE = r"(?:[\t\r\n\0]|\s*[=+\-@＝＋－＠])"
_TO_GUARD, _GUARDED = re.compile(rf"'*{_LIVE}"), re.compile(rf"'+{_LIVE}")


def guarded(cell: str) -> str:
    """The cell, inert."""
    return f"'{cell}" if _TO_GUARD.match(cell) else cell


def unguarded(cell: str) -> str:
    """The cell as it was before it was made inert; any other as it is."""
    return cell[1:] if _GUARDED.match(cell) else cell
