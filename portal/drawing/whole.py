"""The drawing element itself, whatever is drawn in it."""

from __future__ import annotations

from portal.drawing.pen import element, number, words


def whole(
    size: tuple[float, float], title: str, desc: str, ident: str, drawn: str, for_paper: bool,
    kind: str = "plan-drawing",
) -> str:  # fmt: skip
    """The drawing of a width and a height, named and described for those who do not see it."""
    width, height = (number(units) for units in size)
    attributes = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": kind,
        "role": "img",
        "aria-labelledby": f"{ident}-title {ident}-desc",
        "width": width,
        "height": height,
        "viewBox": f"0 0 {width} {height}",
        "fill": "none",
        "stroke-linecap": "round",
    }
    if for_paper:
        attributes["font-family"] = "Source Sans Pro, sans-serif"
    named = element("title", {"id": f"{ident}-title"}, words(title))
    told = element("desc", {"id": f"{ident}-desc"}, words(desc))
    return element("svg", attributes, named + told + drawn)
