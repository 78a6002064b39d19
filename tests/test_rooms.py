"""Who may know whom. Imports go inward only, and clock, luck and environment each enter by one door.

Read from the syntax tree, so that a forbidden import counts wherever it stands, in
a function as at the top. One that is for type checkers only is as forbidden.
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PORTAL = ROOT / "portal"
MODULES = sorted(path.relative_to(ROOT).as_posix() for path in PORTAL.rglob("*.py"))

TOP_FILES = {"README.md", "DEVELOPERS.md", "pyproject.toml"}
TOP_FOLDERS = {"portal", "templates", "static", "tests", "seed_demo"}

# msgspec reads and writes records, rfc8785 is a pure function from a value to its one JSON text.
PURE_PACKAGES = {"msgspec", "rfc8785"}
# Of the standard library, what reaches outside the process or depends on where it runs.
REACHES_OUT = {
    "os", "io", "pathlib", "shutil", "tempfile", "glob", "socket", "ssl", "http", "urllib", "smtplib",
    "sqlite3", "subprocess", "threading", "multiprocessing", "asyncio", "logging", "locale", "ctypes", "time",
}  # fmt: skip

# Outside packages that belong to one room each.
OWN_ROOM = {
    "sqlalchemy": "portal/store/",
    "alembic": "portal/store/",
    "psycopg": "portal/store/",
    "weasyprint": "portal/papers/",
    "segno": "portal/papers/",
    "cryptography": "portal/sealing/",
    "pyhanko": "portal/sealing/",
    "pyhanko_certvalidator": "portal/sealing/",
    "asn1crypto": "portal/sealing/",
    "smtplib": "portal/post/",
    "PIL": "portal/pictures.py",
    "flask_wtf": "portal/web/",
    "wtforms": "portal/web/",
}

# For each room, the parts of the portal that its modules may know; the rest is closed to them.
ROOMS_IN_SIGHT = {
    "portal/core/": ("portal.core",),
    "portal/store/": ("portal.store", "portal.core"),
    "portal/drawing/": ("portal.drawing", "portal.core"),
    "portal/papers/": ("portal.papers", "portal.core", "portal.drawing", "portal.formats", "portal.links"),
    "portal/sealing/": ("portal.sealing", "portal.core"),
    "portal/post/": ("portal.post", "portal.core", "portal.formats", "portal.links"),
    "portal/acts/": (
        *("portal.acts", "portal.core", "portal.store"),
        *("portal.links", "portal.passwords", "portal.pictures", "portal.tokens"),
    ),
}
CLOSED_TO_WEB = ("portal.store", "portal.papers", "portal.post", "portal.sealing", "portal.wiring")
OPEN_TO_WEB = ("portal.store.reads",)
WEB_FOLDERS = {path.name for path in (PORTAL / "web").iterdir() if path.is_dir()}
DOORS_OF_WEB = sorted(WEB_FOLDERS - {"shared", "__pycache__"})
FRONT = ("portal/web/", "portal/__init__.py")
MAY_WIRE = ("portal/__init__.py", "portal/cli.py", "portal/commands/")

CLOCK_AND_LUCK = {
    "datetime.now", "datetime.utcnow", "datetime.today", "date.today", "time.time", "time.time_ns",
    "time.monotonic", "time.localtime", "time.gmtime", "uuid.uuid1", "uuid.uuid4", "os.urandom",
}  # fmt: skip
LUCKY_MODULES = {"random", "secrets", "uuid"}
ENVIRONMENT = {"os.environ", "os.getenv", "os.putenv", "os.environb"}


@cache
def tree(module: str) -> ast.Module:
    return ast.parse((ROOT / module).read_text(), module)


@cache
def imports(module: str) -> frozenset[str]:
    """Every dotted name that a module imports, `from a import b` as a.b; relative ones resolved."""
    found: set[str] = set()
    for node in ast.walk(tree(module)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(filter(None, (package_above(module, node.level), node.module)))
            found |= {f"{base}.{alias.name}" for alias in node.names}
    return frozenset(found)


def package_above(module: str, level: int) -> str:
    return ".".join(Path(module).parts[:-level]) if level else ""


def within(name: str, *packages: str) -> bool:
    return any(name == package or name.startswith(package + ".") for package in packages)


def top(name: str) -> str:
    return name.partition(".")[0]


def uses(parsed: ast.Module) -> Iterator[str]:
    """Every dotted name that is read in a text, shortened to its last two words: datetime.now."""
    renamed = {
        alias.asname or alias.name: alias.name
        for node in ast.walk(parsed)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
    }
    for node in ast.walk(parsed):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name | ast.Attribute):
            inner = node.value.id if isinstance(node.value, ast.Name) else node.value.attr
            yield f"{renamed.get(inner, inner)}.{node.attr}"
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def in_room(room: str) -> list[str]:
    return [module for module in MODULES if module.startswith(room)]


@pytest.mark.parametrize("module", in_room("portal/core/"))
def test_the_core_knows_only_itself_and_what_is_pure(module: str) -> None:
    pure = (sys.stdlib_module_names - REACHES_OUT) | PURE_PACKAGES | {"portal"}

    assert not {name for name in imports(module) if top(name) not in pure}


@pytest.mark.parametrize("room", ROOMS_IN_SIGHT)
def test_a_room_imports_only_what_lies_further_in(room: str) -> None:
    seen = {(m, n) for m in in_room(room) for n in imports(m) if top(n) == "portal"}
    strange = {(m, n) for m, n in seen if not within(n, *ROOMS_IN_SIGHT[room])}

    assert not strange


@pytest.mark.parametrize(("package", "room"), OWN_ROOM.items())
def test_an_outside_package_stays_in_its_room(package: str, room: str) -> None:
    strange = [m for m in MODULES if not m.startswith(room) and any(top(n) == package for n in imports(m))]

    assert not strange


@pytest.mark.parametrize("package", ["flask", "flask_babel", "werkzeug"])
def test_only_the_web_sees_a_request(package: str) -> None:
    strange = [m for m in MODULES if any(top(n) == package for n in imports(m)) and not m.startswith(FRONT)]

    assert not strange


@pytest.mark.parametrize("room", ["acts", "core", "store", "drawing"])
def test_a_rule_does_not_know_how_it_will_be_shown(room: str) -> None:
    assert not [m for m in in_room(f"portal/{room}/") if any(top(n) == "jinja2" for n in imports(m))]


@pytest.mark.parametrize("module", in_room("portal/web/"))
def test_the_web_asks_acts_and_does_nothing_itself(module: str) -> None:
    strange = {n for n in imports(module) if within(n, *CLOSED_TO_WEB) and not within(n, *OPEN_TO_WEB)}

    assert not strange


@pytest.mark.parametrize("door", DOORS_OF_WEB)
def test_one_kind_of_users_pages_do_not_import_anothers(door: str) -> None:
    others = [f"portal.web.{other}" for other in DOORS_OF_WEB if other != door]
    strange = {n for m in in_room(f"portal/web/{door}/") for n in imports(m) if within(n, *others)}

    assert not strange


def test_only_the_two_ways_in_see_the_wiring() -> None:
    wired = {m for m in MODULES if any(within(n, "portal.wiring") for n in imports(m))}

    assert not {m for m in wired if not m.startswith(MAY_WIRE)}


def test_clock_and_luck_enter_in_one_file() -> None:
    entered = {m for m in MODULES if CLOCK_AND_LUCK & set(uses(tree(m)))}
    entered |= {m for m in MODULES if any(top(n) in LUCKY_MODULES for n in imports(m))}

    assert entered <= {"portal/wiring.py"}


def test_the_environment_enters_in_one_file() -> None:
    entered = {m for m in MODULES if ENVIRONMENT & set(uses(tree(m)))}

    assert entered <= {"portal/settings.py"}


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("from datetime import datetime\nx = datetime.now()", "datetime.now"),
        ("import datetime\nx = datetime.datetime.now()", "datetime.now"),
        ("from datetime import datetime as dt\nx = dt.utcnow()", "datetime.utcnow"),
        ("import datetime as d\nx = d.date.today()", "date.today"),
        ("from time import time\nx = time()", "time.time"),
        ("import os\nx = os.environ['A']", "os.environ"),
        ("from os import getenv\nx = getenv('A')", "os.getenv"),
    ],
)
def test_the_reader_of_code_sees_through_other_names(text: str, word: str) -> None:
    assert word in set(uses(ast.parse(text)))


@pytest.mark.parametrize("asked", ["portal.core.estimate", "portal.core.journey"])
def test_the_core_can_be_used_without_the_web_or_the_store(asked: str) -> None:
    """In a fresh process, so that what this one has loaded does not count."""
    heavy = ("flask", "sqlalchemy", "weasyprint", "babel", "wtforms", "waitress")
    code = f"import sys, {asked}; print([m for m in {heavy!r} if m in sys.modules])"

    said = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)

    assert said.stdout.strip() == "[]", said.stderr


def tracked() -> list[str]:
    """The files of the project as git knows them; in a copy without git, all but hidden and compiled ones."""
    asked = ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"]
    if (ROOT / ".git").exists():
        said = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True)
        listed = said.stdout.split("\0")
    else:
        names = (path.relative_to(ROOT).as_posix() for path in ROOT.rglob("*"))
        listed = [name for name in names if not re.search(r"(^|/)(\.(?!lock|ci)|__pycache__/)", name)]
    return [name for name in listed if name and (ROOT / name).is_file()]


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    found = {name.partition("/")[0] for name in tracked()}

    assert {name for name in found if not name.startswith(".")} == TOP_FILES | TOP_FOLDERS


# Put together here, so that this file does not name them either. A host counts with all below it.
INDEXES = (("pypi", "org"), ("pypi", "python", "org"), ("pythonhosted", "org"))
INDEX_HOSTS = {".".join(words) for words in INDEXES}
HOST_LIKE = re.compile(rb"(?<![\w.-])(?:[A-Za-z0-9-]+\.)+[A-Za-z]{2,}(?![\w-])")


def hosts_in(content: bytes) -> set[str]:
    """What looks like a host name, with each of its own parent domains."""
    found = set()
    for match in HOST_LIKE.findall(content):
        words = match.decode().lower().split(".")
        found |= {".".join(words[start:]) for start in range(len(words) - 1)}
    return found


def test_no_file_names_a_package_index() -> None:
    named = {name for name in tracked() if hosts_in((ROOT / name).read_bytes()) & INDEX_HOSTS}

    assert not named


def test_an_index_would_be_noticed_in_an_address() -> None:
    address = f"--index-url https://{'.'.join(('test', 'pypi', 'org'))}/simple".encode()

    assert hosts_in(address) & INDEX_HOSTS
