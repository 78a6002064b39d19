"""The demo's data is there whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from seed_demo.start.place import held
from seed_demo.start.telling import CannotStart


def load_ten(folder: Path) -> None:
    (folder / "ten").write_text("10")


def load_half(folder: Path) -> None:
    (folder / "five").write_text("5")
    raise KeyboardInterrupt


def test_data_gets_its_name_when_it_is_complete(tmp_path: Path) -> None:
    with held(tmp_path / "demo") as place:
        place.fill(load_ten)

        assert (place.data / "ten").read_text() == "10"


def test_a_load_cut_short_leaves_no_data_and_is_swept_away(tmp_path: Path) -> None:
    with pytest.raises(KeyboardInterrupt), held(tmp_path / "demo") as place:
        place.fill(load_half)

    with held(tmp_path / "demo") as place:
        assert not place.data.exists()
        place.fill(load_ten)

    assert sorted(path.name for path in (tmp_path / "demo").iterdir()) == ["data", "lock"]
    assert [path.name for path in place.data.iterdir()] == ["ten"]


def test_cleared_data_can_be_loaded_again(tmp_path: Path) -> None:
    with held(tmp_path / "demo") as place:
        place.fill(load_ten)
        (place.data / "written since").touch()
        place.clear()

        assert not place.data.exists()
        place.fill(load_ten)

    assert [path.name for path in place.data.iterdir()] == ["ten"]


def test_a_second_start_is_told_who_holds_the_place(tmp_path: Path) -> None:
    with held(tmp_path / "demo") as place:
        place.says("http://127.0.0.1:8000 is served by process 17")

        with pytest.raises(CannotStart, match="served by process 17"), held(tmp_path / "demo"):
            pass


def test_the_place_is_free_again_after_an_error(tmp_path: Path) -> None:
    with pytest.raises(ZeroDivisionError), held(tmp_path / "demo"):
        _ = 1 / 0

    with held(tmp_path / "demo"):
        pass
