"""The money machine, the second thousand runs of two: see tests/parts/money_machine.py.

Two files, because CI runs a file on one core, and has two.
"""

from __future__ import annotations

import pytest

from tests.parts.money_machine import Prepared, all_was_tried, prepared, run

pytestmark = [pytest.mark.long, pytest.mark.timeout(1500)]
__all__ = ["prepared"]


@pytest.mark.parametrize("luck", [3, 4])
def test_the_books_hold_whatever_happens_to_money(prepared: Prepared, luck: int) -> None:
    all_was_tried(run(prepared, luck, 500))
