"""The README's tour: every picture is there, small enough, and told as `python3 -m tests tour` tells it."""

from __future__ import annotations

import pytest
from PIL import Image

from tests import tour


def test_the_readme_tells_the_tour_as_it_was_last_taken() -> None:
    """Forgotten after a change? Run: python3 -m tests tour"""
    found = tour.SECTION.search(tour.README.read_text())

    assert found and found[0] == tour.section()


@pytest.mark.parametrize("picture", tour.PICTURES, ids=lambda one: one.name)
def test_a_picture_of_the_tour_can_be_seen_and_is_small(picture: tour.Picture) -> None:
    file = tour.FOLDER / f"{picture.name}.png"

    with Image.open(file) as image:
        image.load()
        assert image.width >= 390 and len(image.getcolors() or ()) > 2
    assert file.stat().st_size < tour.LARGEST


def test_no_picture_is_left_over() -> None:
    named = {f"{picture.name}.png" for picture in tour.PICTURES}

    assert {path.name for path in tour.FOLDER.iterdir()} == named
