"""What a person of a builder's company may do beyond asking and looking."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.acts import quoting
from portal.acts.parts import RIGHTS, SYSTEM, Actor, has, must_have
from portal.core.errors import NotAllowed, NotFound
from portal.store.people import RIGHT_COLUMNS
from tests.parts.house import House


def test_each_right_has_a_column() -> None:
    assert set(RIGHT_COLUMNS) == set(RIGHTS)


@pytest.mark.parametrize("right", RIGHTS)
def test_a_builder_has_the_rights_that_were_given_and_the_office_needs_none(right: str) -> None:
    given = Actor("p", "Ada", "ada@example.com", "builder", rights=frozenset({right}))
    office = Actor("o", "Olga", "olga@example.com", "office")

    assert has(given, right) and has(office, right) and has(SYSTEM, right)
    assert not has(replace(given, rights=frozenset(RIGHTS) - {right}), right)
    assert not has(replace(office, kind="technician"), right)
    with pytest.raises(NotAllowed, match="not among your rights"):
        must_have(replace(given, rights=frozenset()), right)


def test_an_answer_to_a_quote_takes_the_right_to_it(lite: House) -> None:
    lot = lite.sent()
    asker = replace(lite.builder, rights=frozenset({"money", "people"}))
    stranger = replace(lite.rival, rights=frozenset())
    seen = lite.sheet(lot).revisions[0].fingerprint

    acts: tuple[Callable[[Actor], None], ...] = (
        lambda who: quoting.accept(lite.parts, who, lot, 1, seen, "Ada Finch", "", lite.key()),
        lambda who: quoting.decline(lite.parts, who, lot, 1, "Too dear.", lite.key()),
    )
    for act in acts:
        with pytest.raises(NotAllowed, match="Answering quotes is not among your rights"):
            act(asker)
        with pytest.raises(NotFound):
            act(stranger)

    assert lite.sheet(lot).stage == "sent"
