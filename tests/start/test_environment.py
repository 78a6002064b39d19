"""The environment heals from every point at which making it can be cut short."""

from __future__ import annotations

import base64
import hashlib
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from seed_demo.start import environment
from seed_demo.start.telling import CannotStart

ROOT = Path(__file__).resolve().parents[2]

pytestmark = pytest.mark.slow


def make_wheel(folder: Path, name: str, version: str = "1.0") -> Path:
    """The smallest installable wheel (the binary distribution format, PEP 427)."""
    about = f"{name}-{version}.dist-info"
    files = {
        f"{name}.py": f'version = "{version}"\n',
        f"{about}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n",
        f"{about}/WHEEL": "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "".join(f"{path},sha256={urlsafe_hash(text)},{len(text)}\n" for path, text in files.items())
    wheel = folder / f"{name}-{version}-py3-none-any.whl"
    with zipfile.ZipFile(wheel, "w") as packed:
        for path, text in (files | {f"{about}/RECORD": record + f"{about}/RECORD,,\n"}).items():
            packed.writestr(path, text)
    return wheel


def urlsafe_hash(text: str) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).decode().rstrip("=")


def lock(root: Path, kind: str, *wheels: Path) -> None:
    lines = []
    for wheel in wheels:
        name, version, *_ = wheel.name.split("-")
        lines.append(f"{name}=={version} --hash=sha256:{hashlib.sha256(wheel.read_bytes()).hexdigest()}\n")
    (root / ".lock").mkdir(exist_ok=True)
    (root / ".lock" / f"{kind}.txt").write_text("".join(lines))


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project whose two locks name a wheel or two in a folder, so that no index is needed."""
    wheels = tmp_path / "wheels"
    wheels.mkdir()
    # pip's own way to be told; the machine's other settings must not lead it out.
    monkeypatch.setenv("PIP_CONFIG_FILE", "/dev/null")
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(wheels))
    root = tmp_path / "project"
    root.mkdir()
    first, second = make_wheel(wheels, "sill"), make_wheel(wheels, "plate")
    lock(root, "run", first)
    lock(root, "tests", first, second)
    return root


def can_import(python: Path, name: str) -> bool:
    return subprocess.run([python, "-c", f"import {name}"], capture_output=True).returncode == 0


def test_a_bare_folder_gets_an_environment_with_what_the_lock_names(project: Path) -> None:
    python = environment.ready(project, "run")

    assert can_import(python, "sill")
    assert not can_import(python, "plate")


def test_a_second_start_makes_nothing(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    environment.ready(project, "run")
    capsys.readouterr()

    environment.ready(project, "run")

    assert capsys.readouterr().out == ""


def test_the_tests_complete_what_the_demo_made(project: Path) -> None:
    environment.ready(project, "run")
    (project / ".venv" / "kept").touch()

    python = environment.ready(project, "tests")

    assert can_import(python, "plate")
    assert (project / ".venv" / "kept").exists()
    assert environment.is_stamped(project / ".venv", project, "run")


def test_what_the_tests_made_serves_the_demo(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    environment.ready(project, "tests")
    capsys.readouterr()

    environment.ready(project, "run")

    assert capsys.readouterr().out == ""


def test_cut_short_before_there_was_a_python(project: Path) -> None:
    (project / ".venv").mkdir()
    (project / ".venv" / environment.OURS).touch()

    assert can_import(environment.ready(project, "run"), "sill")


def test_cut_short_in_the_middle_of_installing(project: Path) -> None:
    """A package that is half there looks whole to pip; only a new environment is sure to heal it."""
    python = environment.ready(project, "run")
    (project / ".venv" / "stamp-run").unlink()
    for half_copied in (project / ".venv").rglob("sill.py"):
        half_copied.unlink()

    environment.ready(project, "run")

    assert can_import(python, "sill")


def test_a_changed_lock_makes_it_anew(project: Path, tmp_path: Path) -> None:
    environment.ready(project, "run")
    lock(project, "run", make_wheel(tmp_path / "wheels", "joist"))

    python = environment.ready(project, "run")

    assert can_import(python, "joist")
    assert not can_import(python, "sill")


def test_a_folder_that_was_moved_is_made_anew(project: Path, tmp_path: Path) -> None:
    environment.ready(project, "run")
    moved = project.rename(tmp_path / "elsewhere")

    assert can_import(environment.ready(moved, "run"), "sill")


def test_somebody_elses_environment_is_completed_and_kept(project: Path) -> None:
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", project / ".venv"], check=True)
    (project / ".venv" / "theirs").touch()

    python = environment.ready(project, "run")

    assert can_import(python, "sill")
    assert (project / ".venv" / "theirs").exists()


def test_somebody_elses_broken_environment_is_left_alone(project: Path) -> None:
    (project / ".venv").mkdir()
    (project / ".venv" / "pyvenv.cfg").write_text("home = /nowhere\n")

    with pytest.raises(CannotStart, match="Move it away"):
        environment.ready(project, "run")


def test_two_starts_at_once_make_one_environment(project: Path) -> None:
    code = f"import pathlib, seed_demo.start.environment as e; e.ready(pathlib.Path({str(project)!r}), 'run')"
    command = [sys.executable, "-c", code]
    both = [subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) for _ in range(2)]

    said = [process.communicate(timeout=120)[0] for process in both]

    assert [process.returncode for process in both] == [0, 0]
    assert sum("waiting for it" in text for text in said) == 1
    assert sum("Installing" in text for text in said) == 1


def test_without_a_package_client_outside_the_one_that_python_carries_is_used(
    project: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(environment, "_outer_client", list)

    assert can_import(environment.ready(project, "run"), "sill")


def test_a_python_that_can_make_no_environment_is_told_what_to_install(
    project: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    crippled = tmp_path / "python"
    crippled.write_text("#!/bin/sh\necho No module named $2 >&2\nexit 1\n")
    crippled.chmod(0o755)
    monkeypatch.setattr(environment, "outer_python", lambda: str(crippled))

    with pytest.raises(CannotStart, match=r"No module named venv.*apt-get install python3-venv python3-pip"):
        environment.ready(project, "run")


def test_a_package_that_is_not_the_one_locked_is_refused(project: Path, tmp_path: Path) -> None:
    with (tmp_path / "wheels" / "sill-1.0-py3-none-any.whl").open("ab") as changed:
        changed.write(b"something else")

    with pytest.raises(CannotStart, match=r"(?i)hash"):
        environment.ready(project, "run")

    assert not environment.is_stamped(project / ".venv", project, "run")
