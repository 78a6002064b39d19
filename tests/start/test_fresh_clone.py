"""The promise of the README, kept on a copy of the project with an empty home and no environment.

These fetch packages as any user would, so they need the package index; the rest of the tests do not.
"""

from __future__ import annotations

import http.client
import os
import shutil
import signal
import subprocess
import time
from pathlib import Path

import pytest

from seed_demo.start.environment import outer_python
from seed_demo.start.native import find_browser

pytestmark = [pytest.mark.long, pytest.mark.timeout(900)]

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What git would hand out, with the changes of the working tree, in an empty folder."""
    folder = tmp_path_factory.mktemp("clone") / "sillbook"
    asked = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    names = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\0")
    for name in filter(None, names):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(ROOT / name, folder / name)
    return folder


def begin(clone: Path, *words: str) -> subprocess.Popen[str]:
    """Start a command as somebody with nothing but a Python would, in a process group of its own."""
    home = clone.parent / "home"
    home.mkdir(exist_ok=True)
    kept = {name: value for name, value in os.environ.items() if name in ("PATH", "LANG") or "_CERT" in name}
    return subprocess.Popen(
        [outer_python(), "-m", *words], cwd=clone, env=kept | {"HOME": str(home)}, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, start_new_session=True,
    )  # fmt: skip


def run(clone: Path, *words: str) -> str:
    process = begin(clone, *words)
    said, _ = process.communicate(timeout=600)
    assert process.returncode == 0, said
    return said


def serve_once(clone: Path) -> tuple[float, str]:
    """Start the demo, ask it for its first page, press Ctrl-C: seconds until ready, and what it said."""
    begun = time.monotonic()
    process = begin(clone, "seed_demo", "--port", "0")
    said = ""
    assert process.stdout is not None
    for line in process.stdout:
        said += line
        if "Ctrl-C" in line:
            break
    ready = time.monotonic() - begun
    try:
        port = int(said.partition("ready at http://127.0.0.1:")[2].partition("/")[0])
        asked = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        asked.request("GET", "/")
        assert asked.getresponse().status in (200, 302, 303)
        asked.close()
    finally:
        os.killpg(process.pid, signal.SIGINT)
        process.communicate(timeout=30)
    return ready, said


def test_one_command_from_nothing_to_a_loaded_demo_whatever_cuts_it_short(clone: Path) -> None:
    """Killed outright at ever later moments: in making the environment, in installing, in loading."""
    for seconds in (0.1, 0.6, 2, 5, 9, 14):
        process = begin(clone, "seed_demo", "--no-serve")
        try:
            process.wait(timeout=seconds)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
        process.communicate(timeout=30)

    said = run(clone, "seed_demo", "--no-serve")

    assert "Ready." in said


def test_again_it_is_ready_within_three_seconds(clone: Path) -> None:
    run(clone, "seed_demo", "--no-serve")

    seconds, said = serve_once(clone)

    assert "Loading" not in said
    assert seconds < 3
    assert all(kind in said for kind in ("Builder", "Office", "Technician", "Homeowner"))


def test_the_tests_set_themselves_up_in_the_same_place(clone: Path) -> None:
    assert find_browser(), "found or installed by the command that runs this test"

    said = run(clone, "tests", "tests/start", "--collect-only", "-q")

    assert "tests collected" in said.splitlines()[-1]
