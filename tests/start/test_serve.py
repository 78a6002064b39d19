"""The inner half of the start, on a stand-in portal of a few lines: whole, cut short, taken, again."""

from __future__ import annotations

import http.client
import os
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

pytestmark = pytest.mark.slow

ROOT = Path(__file__).resolve().parents[2]

STAND_IN = {
    "portal/__init__.py": """
def create_app(settings, parts):
    def app(environ, start_response):
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [(settings.blobs / "scenario").read_bytes()]
    return app
""",
    "portal/settings.py": """
from dataclasses import dataclass
from pathlib import Path
@dataclass(frozen=True)
class Settings:
    database: str
    blobs: Path
def from_environment(environ):
    assert len(environ["SILLBOOK_SECRET"]) >= 32 and environ["SILLBOOK_DEMO"] == "on"
    return Settings(environ["SILLBOOK_DATABASE"], Path(environ["SILLBOOK_BLOBS"]))
""",
    "portal/wiring.py": """
def build(settings): return object()
class Worker:
    def start(self): self.started = True
    def stop(self): assert self.started
def worker_for(settings, parts): return Worker()
""",
    "portal/store/__init__.py": "",
    "portal/store/migrate.py": """
from pathlib import Path
def upgrade(url):
    with Path(url.removeprefix("sqlite:///")).open("a") as database:
        database.write("migrated\\n")
""",
    "seed_demo/scenario.py": """
import os, time
def load(settings):
    settings.blobs.mkdir()
    if "SLOWLY" in os.environ:
        print("half way", flush=True)
        time.sleep(60)
    (settings.blobs / "scenario").write_text("an invented town")
def sign_ins(parts):
    return [("Office", "Ada Example", "ada@example.com", "a pass phrase", "/office"),
            ("Homeowner", "anyone", "", "", "/warranty")]
""",
}


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The real start, in a project whose portal and scenario are stand-ins."""
    root = tmp_path / "project"
    shutil.copytree(ROOT / "seed_demo" / "start", root / "seed_demo" / "start")
    for name, text in STAND_IN.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text)
    (root / "seed_demo" / "__init__.py").touch()
    return root


def begin(project: Path, *words: str, **more: str) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "seed_demo.start.serve", *words]
    said = {"stdout": subprocess.PIPE, "stderr": subprocess.STDOUT}
    return subprocess.Popen(command, cwd=project, text=True, env={**os.environ, **more}, **said)  # type: ignore[call-overload, no-any-return]


def run(project: Path, *words: str) -> tuple[int, str]:
    started = begin(project, *words)
    said, _ = started.communicate(timeout=60)
    return started.returncode, said


def read_until(started: subprocess.Popen[str], word: str) -> str:
    """What was said, up to a line with the word."""
    assert started.stdout is not None
    said = ""
    for line in started.stdout:
        said += line
        if word in line:
            return said
    raise AssertionError(f"ended without “{word}”:\n{said}")


@contextmanager
def started(project: Path, *words: str) -> Iterator[tuple[str, int]]:
    """A served demo: what it said, and its port. Ctrl-C at the end."""
    process = begin(project, *words)
    try:
        said = read_until(process, "Ctrl-C")
        yield said, int(said.partition("ready at http://127.0.0.1:")[2].partition("/")[0])
    finally:
        process.send_signal(signal.SIGINT)
        process.communicate(timeout=20)
    assert process.returncode == 0


def get(port: int) -> str:
    asked = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    asked.request("GET", "/")
    text = asked.getresponse().read().decode()
    asked.close()
    return text


def migrations(project: Path) -> int:
    return (project / ".demo" / "data" / "sillbook.db").read_text().count("migrated")


def test_the_demo_is_loaded_served_and_its_sign_ins_are_printed(project: Path) -> None:
    with started(project, "--port", "0") as (said, port):
        assert get(port) == "an invented town"

    assert f"http://127.0.0.1:{port}/office" in said
    assert "ada@example.com" in said and "a pass phrase" in said
    assert "none needed" in said


def test_a_second_start_migrates_but_does_not_load_again(project: Path) -> None:
    run(project, "--no-serve")
    (project / ".demo" / "data" / "papers" / "scenario").write_text("changed by its users")

    with started(project, "--port", "0") as (_, port):
        assert get(port) == "changed by its users"

    assert migrations(project) == 2


def test_fresh_throws_the_data_away_and_loads_anew(project: Path) -> None:
    run(project, "--no-serve")
    (project / ".demo" / "data" / "papers" / "scenario").write_text("changed by its users")

    code, _ = run(project, "--fresh", "--no-serve")

    assert code == 0
    assert (project / ".demo" / "data" / "papers" / "scenario").read_text() == "an invented town"
    assert migrations(project) == 1


@pytest.mark.parametrize("blow", [signal.SIGINT, signal.SIGTERM, signal.SIGKILL])
def test_a_load_cut_short_is_healed_by_the_next_start(project: Path, blow: signal.Signals) -> None:
    process = begin(project, "--no-serve", SLOWLY="yes")
    read_until(process, "half way")
    process.send_signal(blow)
    process.communicate(timeout=20)
    assert process.returncode != 0
    assert not (project / ".demo" / "data").exists()

    code, _ = run(project, "--no-serve")

    assert code == 0
    assert sorted(path.name for path in (project / ".demo").iterdir()) == ["data", "lock"]


def test_a_port_in_use_is_one_clear_line_before_anything_is_loaded(project: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        code, said = run(project, "--port", str(port))

    assert code == 1
    assert said.count("\n") == 1
    assert f"Port {port} of 127.0.0.1 cannot be used" in said and "--port 8001" in said
    assert not (project / ".demo" / "data").exists()


def test_a_port_that_is_no_port_is_told_too(project: Path) -> None:
    code, said = run(project, "--port", "70000")

    assert code == 1
    assert "Port 70000" in said


def test_a_second_start_at_the_same_time_is_told_where_the_first_one_is(project: Path) -> None:
    with started(project, "--port", "0") as (_, port):
        code, said = run(project, "--port", "0")

    assert code == 1
    assert f"http://127.0.0.1:{port} is served by process" in said


def test_another_port_than_the_loaded_one_is_mentioned(project: Path) -> None:
    run(project, "--no-serve", "--port", "8000")

    with started(project, "--port", "0") as (said, port):
        assert f"links to http://127.0.0.1:8000; --fresh makes them fit http://127.0.0.1:{port}" in said


def test_the_machines_own_settings_do_not_reach_the_demo(project: Path) -> None:
    process = begin(project, "--no-serve", SILLBOOK_DATABASE="postgresql+psycopg://somewhere/real")
    process.communicate(timeout=60)

    assert process.returncode == 0
    assert (project / ".demo" / "data" / "sillbook.db").exists()
