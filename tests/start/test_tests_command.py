"""How our words for the tests become pytest's."""

from __future__ import annotations

import pytest

from tests.command import QUICK, pytest_arguments, wants_lint


def test_everything_but_the_long_ones_runs_side_by_side() -> None:
    side_by_side = ["-n", "2", "--dist", "loadfile", "--no-loadscope-reorder"]
    assert pytest_arguments([], cores=2) == [*side_by_side, "-m", "not long"]


def test_one_core_runs_one_test_at_a_time() -> None:
    assert pytest_arguments([], cores=1) == ["-m", "not long"]


def test_quick_leaves_out_what_is_slow() -> None:
    assert pytest_arguments(["--quick"], cores=1) == ["-m", QUICK]


def test_long_runs_the_long_ones_only() -> None:
    assert pytest_arguments(["--long"], cores=1) == ["-m", "long"]


def test_other_arguments_reach_pytest_as_they_are() -> None:
    assert pytest_arguments(["-k", "walk", "-x"], cores=2) == ["-m", "not long", "-k", "walk", "-x"]


def test_a_test_that_is_named_runs_whatever_its_mark() -> None:
    assert pytest_arguments(["tests/test_rooms.py", "-x"]) == ["tests/test_rooms.py", "-x"]
    assert pytest_arguments(["tests/test_rooms.py::test_x"]) == ["tests/test_rooms.py::test_x"]


@pytest.mark.parametrize(("given", "wanted"), [([], True), (["--quick"], True), (["--long"], False)])
def test_lint_comes_with_the_whole_and_the_quick_run(given: list[str], wanted: bool) -> None:
    assert wants_lint(given) is wanted


def test_lint_does_not_hold_up_a_test_that_is_named() -> None:
    assert not wants_lint(["tests/test_rooms.py"])
