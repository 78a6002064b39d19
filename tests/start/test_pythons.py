"""Which Pythons are turned away, and that they can read the text that does it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from seed_demo.start.pythons import refusal

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 12, 1), (3, 13, 9)])
def test_a_python_we_support_is_welcome(version: tuple[int, ...]) -> None:
    assert refusal(version, "linux") == ""


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 15), (3, 10, 13), (3, 14, 0)])
def test_another_python_is_told_in_one_line_what_to_do(version: tuple[int, ...]) -> None:
    says = refusal(version, "linux")

    assert f"this is Python {version[0]}.{version[1]}." in says
    assert "\n" not in says


def test_plain_windows_is_told_what_to_use() -> None:
    assert "WSL" in refusal((3, 12, 0), "win32")


FIRST_READ = [
    *("seed_demo/__init__.py", "seed_demo/__main__.py", "seed_demo/start/__init__.py"),
    *("seed_demo/start/pythons.py", "tests/__init__.py", "tests/__main__.py"),
]


@pytest.mark.parametrize("first_read", FIRST_READ)
def test_what_is_read_before_the_check_is_plain_enough_for_old_pythons(first_read: str) -> None:
    text = (ROOT / first_read).read_text()

    assert text.isascii()
    ast.parse(text, feature_version=(3, 4))
    newer = (ast.JoinedStr, ast.AnnAssign, ast.AsyncFunctionDef, ast.NamedExpr)
    assert not [node for node in ast.walk(ast.parse(text)) if isinstance(node, newer)]
    assert "__future__" not in text
