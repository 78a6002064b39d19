"""Every page of every kind of user, looked over: reading, contrast, sizes, titles, the browser's words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.journeys.conftest import Come, watched
from tests.journeys.looking import complaints, complaints_at_a_glance
from tests.parts.demo import Demo
from tests.parts.every_page import every_page, unvisited

pytestmark = [pytest.mark.journey, pytest.mark.timeout(400)]


@pytest.mark.parametrize(
    "look",
    [
        pytest.param(complaints_at_a_glance, id="on a phone"),
        pytest.param(complaints, id="at every size in light and dark", marks=pytest.mark.long),
    ],
)
def test_every_page_reads_fits_and_is_pressed_well(
    demo: Demo, come: Come, look: Callable[[Page], list[str]]
) -> None:
    visits = every_page(demo)
    assert unvisited(demo.app(), visits) == set(), "these routes have no visit in tests/parts/every_page.py"
    wrong: list[str] = []
    titles: dict[tuple[str, str], set[str]] = defaultdict(set)

    for who in dict.fromkeys(visit.who for visit in visits):
        page = come(who)
        said = watched(page)
        for path in dict.fromkeys(visit.path for visit in visits if visit.who == who):
            answer = page.goto(path)
            assert answer is not None
            found = look(page) + [f"the browser says: {line}" for line in said]
            found += [] if answer.status == 200 else [f"answers {answer.status}"]
            wrong += [f"{who} {path}: {complaint}" for complaint in found]
            titles[who, page.title()].add(path.partition("?")[0])
            said.clear()

    alike = {title: paths for (_, title), paths in titles.items() if len(paths) > 1}
    assert not wrong, "\n".join(wrong)
    assert not alike
