"""The houses of the demo, in the form an estimate reads: every way to give an outline is among them."""

from __future__ import annotations

from typing import Any


def rectangle(west: str, south: str, width: str, depth: str) -> dict[str, str]:
    """One rectangle of an outline."""
    return {"west": west, "south": south, "width": width, "depth": depth}


def faces(north: str, east: str, south: str, west: str) -> dict[str, str]:
    """Siding by the side a wall looks at."""
    return {"by": "face", "north": north, "east": east, "south": south, "west": west}


def story(name: str, outline: dict[str, Any], interior: Any, siding: Any, repeat: int = 1) -> dict[str, Any]:
    """One level. `interior` is a length, or a whole interior."""
    inside = interior if isinstance(interior, dict) else {"by": "measured", "length": interior}
    level = {"name": name, "outline": outline, "interior": inside, "siding": siding}
    return level if repeat == 1 else level | {"repeat": repeat}


def rectangles(*parts: dict[str, str]) -> dict[str, Any]:
    """An outline as a union of rectangles."""
    return {"by": "rectangles", "rectangles": list(parts)}


def walk(*walls: tuple[str, str, str]) -> dict[str, Any]:
    """An outline as walked: heading, length, siding of each wall."""
    return {"by": "walk", "walls": [{"heading": h, "length": length, "siding": s} for h, length, s in walls]}


RANCH = {"name": "Ranch, 57 by 27", "levels": [
    story("Main floor", rectangles(rectangle("0", "0", "57'", "27'")), "128'", "open"),
]}  # fmt: skip

ELL = {"name": "L-shaped ranch", "levels": [
    story("Main floor", rectangles(rectangle("0", "0", "46'", "26'"), rectangle("0", "26'", "20' 6\"",
    "14'")),
          {"by": "walls", "lengths": ["26'", "20' 6\"", "14'", "14'", "12' 4\"", "9'"]},
          faces("open", "wrapped", "sided", "wrapped")),
]}  # fmt: skip

YOU = {"name": "U around a court", "levels": [
    story("Main floor", rectangles(rectangle("0", "0", "54'", "18'"), rectangle("0", "18'", "16'", "20'"),
                                   rectangle("38'", "18'", "16'", "20'")),
          "164' 6\"", faces("wrapped", "sided", "open", "sided")),
]}  # fmt: skip

TWO_STORY = {"name": "Two stories", "levels": [
    story("First floor", rectangles(rectangle("0", "0", "40'", "30'")), "96'", "wrapped"),
    story("Second floor", rectangles(rectangle("0", "0", "40'", "30'")), "118'", "open"),
]}  # fmt: skip

RANCH_WITH_PANTRY = {"name": "Ranch, 57 by 27", "levels": [
    story("Main floor", rectangles(rectangle("0", "0", "57'", "27'")), "139' 6\"", "open"),
]}  # fmt: skip

#: The same plan twice: the second time its upper story reaches two feet over the porch.
PORCH = {"name": "Two stories and a porch", "levels": [
    story("First floor", rectangles(rectangle("0", "0", "38'", "28'"),
                                    rectangle("38'", "0", "14' 6\"", "22'")),
          "104'", faces("open", "wrapped", "open", "open")),
    story("Second floor", rectangles(rectangle("0", "0", "38'", "28'")), "118'", "open"),
]}  # fmt: skip
PORCH_OVERHUNG = {"name": "Two stories and a porch", "levels": [
    PORCH["levels"][0],
    story("Second floor", rectangles(rectangle("0", "-2'", "38'", "30'")), "121' 6\"", "open"),
]}  # fmt: skip

GARAGE_WING = {"name": "Garage wing, walked", "levels": [
    story("Main floor", walk(
        ("E", "34'", "sided"), ("N", "6'", "sided"), ("E", "22'", "wrapped"), ("N", "24'", "open"),
        ("W", "22'", "open"), ("S", "2'", "open"), ("W", "34'", "wrapped"), ("S", "28'", "wrapped"),
    ), "132' 9\"", "open"),
]}  # fmt: skip

BAY = {"name": "Bay front, walked", "levels": [
    story("Main floor", walk(
        ("E", "18'", "open"), ("SE", "5.65685424949", "open"), ("E", "10'", "open"), ("NE", "5.65685424949",
        "open"),
        ("E", "14'", "open"), ("N", "28'", "wrapped"), ("W", "50'", "wrapped"), ("S", "28'", "sided"),
    ), "118'", "open"),
]}  # fmt: skip

TOWNHOUSE = {"name": "Townhouse, three like stories", "levels": [
    story("Typical floor", rectangles(rectangle("0", "0", "22'", "36'")), "74'",
          faces("open", "sided", "open", "sided"), repeat=3),
]}  # fmt: skip

#: The same a few days later: siding went up in front, and an interior wall was moved.
TOWNHOUSE_LATER = {"name": "Townhouse, three like stories", "levels": [
    story("Typical floor", rectangles(rectangle("0", "0", "22'", "36'")), "78'",
          faces("open", "sided", "sided", "sided"), repeat=3),
]}  # fmt: skip

TAPED = {"name": "Measured on site", "levels": [
    story("Main floor", {"by": "measured", "length": "187' 6\"", "floor_area": "1980"}, "141'",
          {"by": "length", "sided": "61'", "wrapped": "44' 6\"", "open": "rest"}),
]}  # fmt: skip

BY_AREA = {"name": "From the floor area only", "levels": [
    story("Main floor", {"by": "area", "floor_area": "1650"}, {"by": "ratio"}, "open"),
]}  # fmt: skip

CABIN = {"name": "Small cabin", "levels": [
    story("Main floor", rectangles(rectangle("0", "0", "24'", "20'")), "38'", "wrapped"),
]}  # fmt: skip
