"""The environment in `.venv`: made from the locked list, healed when a run was cut short.

A stamp in the environment names the list, the Python and the folder it was made
for, and is written last. No stamp means the making was interrupted: an
environment we began ourselves is then thrown away, since a half-copied package
can look whole to the package client. One that somebody else made is never
thrown away, only completed.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from seed_demo.start.telling import CannotStart, Count, tell

OURS = "made-by-sillbook"


def ready(root: Path, kind: str) -> Path:
    """The Python of an environment that holds the list `.lock/<kind>.txt` ("run" or "tests").

    `root` is the project's folder. Raises CannotStart with what the package client said.
    """
    folder = root / ".venv"
    if not is_stamped(folder, root, kind):
        with _alone(root):
            if not is_stamped(folder, root, kind):
                _make(folder, root, kind)
    return folder / "bin" / "python"


def is_stamped(folder: Path, root: Path, kind: str) -> bool:
    """Whether the environment was finished, from this very list, for this Python, in this place."""
    stamp = folder / f"stamp-{kind}"
    started_by = (folder / "bin" / "python").exists()  # a link that dangles once its Python is uninstalled
    return started_by and stamp.is_file() and stamp.read_text() == _stamp_text(folder, root, kind)


def outer_python() -> str:
    """The Python outside any environment: the one we run in may be about to be thrown away."""
    inside = sys.prefix != sys.base_prefix
    return str(getattr(sys, "_base_executable", sys.executable)) if inside else sys.executable


def _stamp_text(folder: Path, root: Path, kind: str) -> str:
    digest = hashlib.sha256((root / ".lock" / f"{kind}.txt").read_bytes()).hexdigest()
    return f"{digest}\n{sys.version_info[0]}.{sys.version_info[1]}\n{folder.resolve()}\n"


def _make(folder: Path, root: Path, kind: str) -> None:
    stamped = [name for name in ("run", "tests") if is_stamped(folder, root, name)]
    if not stamped and (folder / OURS).exists():
        tell("An earlier start left the environment unfinished or out of date; making it anew.")
        shutil.rmtree(folder)
    if not _works(folder):
        _create(folder)
    for name in ("run", "tests"):
        (folder / f"stamp-{name}").unlink(missing_ok=True)
    _install(folder, root, kind)
    # The list for the tests contains the one for running, so it earns both stamps.
    for name in ("run", "tests") if kind == "tests" else (kind,):
        _write_stamp(folder / f"stamp-{name}", _stamp_text(folder, root, name))


def _works(folder: Path) -> bool:
    """Whether there is an environment of this Python's version that can start."""
    if not (folder / "pyvenv.cfg").exists():
        return False
    asked = "import sys; print(*sys.version_info[:2], sys.prefix != sys.base_prefix)"
    try:
        said = subprocess.run(
            [folder / "bin" / "python", "-I", "-c", asked], capture_output=True, text=True, check=True
        ).stdout.split()
    except (OSError, subprocess.CalledProcessError):
        said = []
    if said == [str(sys.version_info[0]), str(sys.version_info[1]), "True"]:
        return True
    raise CannotStart(
        f"{folder} holds another Python's environment, which this command did not make. "
        "Move it away or delete it, then start again."
    )


def _create(folder: Path) -> None:
    tell(f"Making an environment for Python {sys.version_info[0]}.{sys.version_info[1]} in {folder.name}")
    folder.mkdir(exist_ok=True)
    (folder / OURS).write_text("Safe to delete: python3 -m seed_demo or python3 -m tests makes it again.\n")
    # Leaving the client out is quicker, and is all that works where Debian split ensurepip off.
    bare = ["--without-pip"] if _outer_client() else []
    command = [outer_python(), "-m", "venv", *bare, str(folder)]
    made = subprocess.run(command, capture_output=True, text=True, env=clean())
    if made.returncode:
        raise CannotStart(
            f"This Python can make no environment ({_last_line(made.stdout + made.stderr)}). "
            "On Debian or Ubuntu: apt-get install python3-venv python3-pip"
        )


def _outer_client() -> list[str]:
    """The command of the package client outside, where it is new enough to serve another Python."""
    client = [outer_python(), "-m", "pip"]
    asked = subprocess.run([*client, "--version"], capture_output=True, text=True, env=clean())
    found = re.match(r"pip (\d+)\.(\d+)", asked.stdout)
    new_enough = found and (int(found[1]), int(found[2])) >= (22, 3)
    return client if new_enough else []


def _install(folder: Path, root: Path, kind: str) -> None:
    python = str(folder / "bin" / "python")
    outer = _outer_client()
    client = [*outer, "--python", python] if outer else [python, "-m", "pip"]
    listed = root / ".lock" / f"{kind}.txt"
    names = set(re.findall(r"^([A-Za-z0-9._-]+)==", listed.read_text(), re.MULTILINE))
    command = [*client, "install", "--require-hashes", "--no-user", "--progress-bar=off", "-r", str(listed)]
    tell(f"Installing up to {len(names)} packages from .lock/{kind}.txt")
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=clean(), cwd=root
    ) as pip:
        said = _follow(pip, len(names))
    if pip.returncode:
        raise CannotStart("The packages could not be installed. The package client's last words:\n" + said)


def _follow(pip: subprocess.Popen[str], total: int) -> str:
    """Turn the client's chatter into a count; its last lines come back for when it fails."""
    assert pip.stdout is not None
    count = Count("fetched", total)
    tail: list[str] = []
    for line in pip.stdout:
        tail = [*tail[-14:], line.rstrip()]
        if found := re.match(r"Collecting ([A-Za-z0-9._-]+)", line):
            count.step(found[1])
        elif line.startswith("Installing collected packages"):
            count.end()
            tell("  putting them in place")
    return "\n".join("  " + line for line in tail if " is ignored: " not in line)


def _write_stamp(stamp: Path, text: str) -> None:
    fresh = stamp.with_suffix(".new")
    fresh.write_text(text)
    fresh.replace(stamp)


@contextmanager
def _alone(root: Path) -> Iterator[None]:
    """Only one start makes the environment; a second one says that it waits, and waits."""
    with (root / ".lock" / "run.txt").open() as held:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            tell("Another start is making the environment; waiting for it.")
            fcntl.flock(held, fcntl.LOCK_EX)
        yield


def clean() -> dict[str, str]:
    """The process environment without what would lead another Python's packages in."""
    left_out = ("PYTHONPATH", "PYTHONHOME", "__PYVENV_LAUNCHER__", "VIRTUAL_ENV")
    return {name: value for name, value in os.environ.items() if name not in left_out}


def _last_line(text: str) -> str:
    lines = text.strip().splitlines()
    return lines[-1].strip() if lines else "it said nothing"
