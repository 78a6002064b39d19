"""What `python3 -m tests` does: make everything ready, check the code's text, then hand over to pytest."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from seed_demo.start import environment, native
from seed_demo.start.telling import CannotStart, tell

ROOT = Path(__file__).resolve().parents[1]

QUICK = "not slow and not journey and not long"
CHECKS = (
    ("ruff check", ["ruff", "check", "--quiet", "."]),
    ("ruff format", ["ruff", "format", "--check", "--quiet", "."]),
    ("mypy", ["mypy", "--no-error-summary"]),
)


def main(argv: list[str]) -> int:
    """Prepare and check; then become pytest or the benchmark, so that their last line is ours."""
    try:
        python = environment.ready(ROOT, "tests")
        native.need_text_library()
        browser = native.need_browser()
    except (CannotStart, OSError) as why:  # OSError: a full disk, a folder that may not be written
        print(why, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. The next start goes on from a clean place.", file=sys.stderr)
        return 130
    os.chdir(ROOT)
    inside = environment.clean() | {"SILLBOOK_CHROMIUM": str(browser)}
    # What pytest makes of the test files is kept beside them, and ignored by git: without it a quick run
    # spends a quarter of its time on reading them anew.
    inside.pop("PYTHONDONTWRITEBYTECODE", None)
    if argv[:1] == ["bench"]:
        os.execve(python, [str(python), "-m", "tests.bench", *argv[1:]], inside)
    if argv[:1] == ["tour"]:
        os.execve(python, [str(python), "-m", "tests.tour", *argv[1:]], inside)
    if wants_lint(argv) and not _text_is_clean(python):
        return 1
    os.execve(python, [str(python), "-m", "pytest", *pytest_arguments(argv)], inside)


def pytest_arguments(argv: list[str], cores: int | None = None) -> list[str]:
    """Our words turned into pytest's; anything else is passed on as it is.

    `cores` is how many tests may run side by side; files stay together, since
    their fixtures are costly. Whoever names tests gets just those, marks or not.
    """
    given = [word for word in argv if word not in ("--quick", "--long")]
    if "--quick" in argv:
        chosen = ["-m", QUICK]
    elif "--long" in argv:
        chosen = ["-m", "long"]
    else:
        chosen = [] if _names_tests(given) else ["-m", "not long"]
    workers = min(cores or os.cpu_count() or 1, 4)
    # In an order of our own, which tests/conftest.py makes: the longest files first.
    side_by_side = ["-n", str(workers), "--dist", "loadfile", "--no-loadscope-reorder"]
    return [*(side_by_side if workers > 1 and not given else []), *chosen, *given]


def wants_lint(argv: list[str]) -> bool:
    """Lint and types come with the whole and the quick run, not where somebody names tests."""
    return "--long" not in argv and not _names_tests(argv)


def _names_tests(given: list[str]) -> bool:
    return any("::" in word or (ROOT / word).exists() for word in given if not word.startswith("-"))


def _text_is_clean(python: Path) -> bool:
    """Run the linters; say in a line what each found, and go on to the next, so that all is seen at once."""
    clean = True
    for name, command in CHECKS:
        passed = subprocess.run([python, "-m", *command]).returncode == 0
        tell(f"{name}: {'clean' if passed else 'not clean, see above'}")
        clean = clean and passed
    if not clean:
        tell("No test was run. ruff check --fix and ruff format put most of it right.")
    return clean
