"""The papers' own style: its tokens all given and all used, and nothing printed too small or too pale."""

from __future__ import annotations

import re

import pytest

from portal.papers.press import STYLES, style
from tests.test_look import contrast

GIVEN = dict(re.findall(r"--([\w-]+):\s*([^;]+);", (STYLES / "tokens.css").read_text()))
SMALLEST = 7.5


def test_every_token_given_is_used_and_every_one_used_is_given() -> None:
    texts = "".join((STYLES / name).read_text() for name in ("faces.css", "paper.css"))

    assert set(re.findall(r"var\(--([\w-]+)\)", texts)) == set(GIVEN) | {"size"}


@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_a_finished_style_has_its_size_and_no_token_left(size: str) -> None:
    finished = style(size)

    assert "var(" not in finished
    assert f"size: {size};" in finished


@pytest.mark.parametrize("ink", ["ink", "pencil", "red"])
def test_every_ink_can_be_read_on_white(ink: str) -> None:
    """WCAG 2.2, 1.4.3: 4.5 to 1."""
    color = GIVEN[ink]
    full = color if len(color) == 7 else "#" + "".join(2 * digit for digit in color[1:])

    assert contrast(full, "#ffffff") >= 4.5


def test_nothing_is_set_smaller_than_a_hand_holds_it() -> None:
    sizes = [float(value.removesuffix("pt")) for name, value in GIVEN.items() if name.startswith("text-")]

    assert min(sizes) >= SMALLEST
