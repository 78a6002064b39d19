"""Writing SVG: numbers with fixed decimals, escaped text, and what differs between screen and paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

Point = tuple[float, float]


def number(value: float) -> str:
    """A coordinate in drawing units, always to 2 places, so that the same plan gives the same bytes."""
    shown = f"{value:.2f}"
    return "0.00" if shown == "-0.00" else shown


def element(name: str, attributes: Mapping[str, str], inside: str = "") -> str:
    """One element. Attribute values are escaped; what stands inside is already SVG (see `words`)."""
    written = "".join(f" {key}={quoteattr(value)}" for key, value in attributes.items())
    return f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>"


def words(text: str) -> str:
    """Text as it may stand inside an element."""
    return escape(text)


def track(points: list[Point], closed: bool = False) -> str:
    """The path data that joins the points by straight lines."""
    steps = [f"{'L' if i else 'M'}{number(x)} {number(y)}" for i, (x, y) in enumerate(points)]
    return "".join(steps) + ("Z" if closed else "")


def segments(lines: list[tuple[Point, Point]]) -> str:
    """The path data of separate straight lines."""
    return "".join(track([start, end]) for start, end in lines)


@dataclass(frozen=True, slots=True)
class Pen:
    """How ink is put down. On a screen the page's own color is taken; on paper it is black on white."""

    ink: str
    red: str
    fine: str
    ground: str

    def line(self, path: str, weight: float, role: str, *, red: bool = False, dashes: str = "") -> str:
        """A drawn line. Its role becomes the class `drawn--role`, which a stylesheet may color anew."""
        color = self.red if red else self.fine if role == "fine" else self.ink
        attributes = {"class": f"drawn--{role}", "d": path, "stroke": color, "stroke-width": number(weight)}
        if dashes:
            attributes["stroke-dasharray"] = dashes
        return element("path", attributes)

    def area(self, path: str, role: str) -> str:
        """A filled area, by the even-odd rule, so that a court inside a house stays empty."""
        fill = self.ground if role == "ground" else self.ink
        shape = {"class": f"drawn--{role}", "d": path, "fill": fill, "fill-rule": "evenodd", "stroke": "none"}
        return element("path", shape)

    def text(
        self, at: Point, text: str, size: float, *, turn: float = 0.0, red: bool = False,
        anchor: str = "middle",
    ) -> str:  # fmt: skip
        """Words on a point of their baseline: their middle, or their start. Turned by degrees clockwise."""
        attributes = {
            "x": number(at[0]),
            "y": number(at[1]),
            "font-size": number(size),
            "text-anchor": anchor,
            "fill": self.red if red else self.ink,
            "stroke": "none",
        }
        if red:
            attributes["class"] = "drawn--gap-word"
        if turn:
            attributes["transform"] = f"rotate({number(turn)} {number(at[0])} {number(at[1])})"
        return element("text", attributes, words(text))


SCREEN = Pen(ink="currentColor", red="#a3271c", fine="currentColor", ground="none")
PAPER = Pen(ink="#000000", red="#a3271c", fine="#444444", ground="none")
