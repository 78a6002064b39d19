"""Finding the browser and the text library, and saying what to type where they are missing."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from seed_demo.start import native
from seed_demo.start.telling import CannotStart


def program(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    return path


@pytest.fixture
def bare_machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A machine with an empty PATH and nothing in the usual places; gives the folder that is its PATH."""
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    monkeypatch.delenv("SILLBOOK_CHROMIUM", raising=False)
    monkeypatch.setattr(native, "BROWSER_PLACES", ())
    monkeypatch.setattr(native.os, "geteuid", lambda: 1000)
    return tmp_path / "bin"


def test_a_browser_that_is_named_is_taken(bare_machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = program(bare_machine.parent / "mine" / "browser")
    monkeypatch.setenv("SILLBOOK_CHROMIUM", str(mine))

    assert native.find_browser() == mine


def test_a_named_browser_that_is_not_there_is_not_passed_over(
    bare_machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program(bare_machine / "chromium")
    monkeypatch.setenv("SILLBOOK_CHROMIUM", "/nowhere/chromium")

    with pytest.raises(CannotStart, match="/nowhere/chromium"):
        native.find_browser()


def test_a_browser_on_the_path_is_found(bare_machine: Path) -> None:
    mine = program(bare_machine / "chromium-browser")

    assert native.find_browser() == mine


def test_a_browser_in_a_usual_place_is_found(bare_machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = program(bare_machine.parent / "opt" / "chrome")
    monkeypatch.setattr(native, "BROWSER_PLACES", ("/nowhere/chrome", str(mine)))

    assert native.find_browser() == mine


def test_without_root_the_missing_browser_is_a_line_to_type(bare_machine: Path) -> None:
    program(bare_machine / "apt-get")

    with pytest.raises(CannotStart, match="sudo apt-get install -y --no-install-recommends chromium"):
        native.need_browser()


def test_root_on_debian_installs_and_fetches_the_lists_when_the_first_try_fails(
    bare_machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stand-in for apt-get that, like a fresh machine, knows no package before an update."""
    monkeypatch.setattr(native.os, "geteuid", lambda: 0)
    lists, touch, copy = bare_machine / "lists", shutil.which("touch", path="/bin"), bare_machine / "chromium"
    copy_it = f"printf '#!/bin/sh\\n' > {copy} && /bin/chmod 755 {copy}"
    program(bare_machine / "apt-get").write_text(
        f'#!/bin/sh\n[ "$1" = update ] && exec {touch} {lists}\n[ -e {lists} ] || exit 100\n{copy_it}\n'
    )

    assert native.need_browser() == copy


def test_root_whose_installing_fails_is_told_so(bare_machine: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(native.os, "geteuid", lambda: 0)
    program(bare_machine / "apt-get").write_text("#!/bin/sh\nexit 100\n")

    with pytest.raises(CannotStart, match="Missing still"):
        native.need_browser()


def test_a_missing_text_library_is_a_line_to_type(
    bare_machine: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    program(bare_machine / "apt-get")
    monkeypatch.setattr(native, "TEXT_LIBRARIES", (("libno-such-thing.so.0",),))

    with pytest.raises(CannotStart, match=r"sudo apt-get .* libpango-1\.0-0"):
        native.need_text_library()


def test_the_libraries_asked_for_are_the_ones_the_paper_maker_opens() -> None:
    """Against WeasyPrint itself: what it loads when it is imported, by the name it loads it by."""
    from weasyprint.text import ffi

    text = Path(ffi.__file__).read_text()

    assert all(f"'{linux}'" in text and f"'{mac}'" in text for linux, mac in native.TEXT_LIBRARIES)
