"""`python3 -m tests tour`: the README's pictures of the demo on a steady day, and its section on them."""

from __future__ import annotations

import io
import re
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from portal.acts import papers
from seed_demo.start.native import find_browser
from tests.parts.browser import ARGUMENTS
from tests.parts.demo import Demo, load_demo, open_demo
from tests.parts.served import serving

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "seed_demo" / "tour"
README = ROOT / "README.md"
SECTION = re.compile(r"(?<=<!-- tour -->\n).*?(?=<!-- /tour -->)", re.DOTALL)
LARGEST = 150_000


@dataclass(frozen=True)
class Picture:
    """One picture. `who` is a first name, or a kind of paper; `find` gives a path, or a lot's id."""

    name: str
    says: str
    alt: str
    who: str
    find: Callable[[Demo], str]
    size: tuple[int, int] = (1280, 1000)


PICTURES = (
    Picture("sign-in", "In the demo you come in as anybody with one press.",
            "The sign-in page with a button for each of the demo's seven people",
            "", lambda _demo: "/sign-in", (1280, 1120)),
    Picture("takeoff", "A takeoff: four figures first, then the plan, to scale and with its siding.",
            "A lot's takeoff sheet with feet, gallons, hours and price, and the plan of an L-shaped house",
            "Harriet", lambda demo: f"/lots/{demo.lot(2)}/takeoff", (1280, 1190)),
    Picture("quote", "The quote says line by line what it costs, and what siding adds if it goes up first.",
            "A quote's sheet with its lines, its total and its siding clause",
            "Harriet", lambda demo: f"/lots/{demo.lot(7)}/quote", (1280, 1330)),
    Picture("today", "The office begins with what needs a hand today.",
            "The office's Today page: trouble reported, an addition, and lots to check, to send and to book",
            "Odile", lambda _demo: "/office/today", (1280, 1330)),
    Picture("stop", "The technician's stop, on a phone in a house.",
            "A stop on a narrow screen: the cautions in a red box, then what to load",
            "Wendell", lambda demo: demo.stop(13), (390, 1180)),
    Picture("invoice", "The invoice explains each difference from the quote by its stretch of wall.",
            "The printed invoice with quoted lines, one difference and the total",
            "invoice", lambda demo: demo.lot(2)),
    Picture("certificate", "The certificate carries a number that can be read over the phone, and a QR.",
            "The printed warranty certificate with its number, terms and QR code",
            "certificate", lambda demo: demo.lot(1)),
    Picture("homeowner", "What a homeowner reads years later, without an account.",
            "A house's warranty record: what was treated, when, with what, and what is promised",
            "", lambda demo: demo.record(1), (1280, 1330)),
)  # fmt: skip
PAPERS = frozenset({"invoice", "certificate"})


def main() -> int:
    """Take all pictures and write the README's section; gives the exit code."""
    FOLDER.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        demo = open_demo(load_demo(Path(folder)))
        browser = playwright.chromium.launch(executable_path=find_browser(), args=ARGUMENTS)
        with serving(demo.app()) as address:
            for picture in PICTURES:
                keep(picture, taken(picture, demo, browser, address))
        browser.close()
        demo.parts.store.engine.dispose()
    README.write_text(SECTION.sub(lambda _match: section(), README.read_text()))
    return 0


def taken(picture: Picture, demo: Demo, browser: Browser, address: str) -> Image.Image:
    """A page as its person sees it, or the first page of a paper."""
    found = picture.find(demo)
    if picture.who in PAPERS:
        paper = papers.paper(demo.parts, demo.person("Odile"), found, picture.who)
        return pypdfium2.PdfDocument(paper.content)[0].render(scale=1.25).to_pil()
    width, height = picture.size
    context = browser.new_context(base_url=address, viewport={"width": width, "height": height})
    page = context.new_page()
    page.goto("/sign-in")
    if picture.who:
        page.get_by_role("button", name=f"Come in as {picture.who}").click()
    page.goto(found)
    image = Image.open(io.BytesIO(page.screenshot()))
    context.close()
    return image


def keep(picture: Picture, image: Image.Image) -> None:
    """Write a picture as small as its few colors allow."""
    file = FOLDER / f"{picture.name}.png"
    few = image.convert("RGB").quantize(colors=32, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
    few.save(file, optimize=True)
    size = file.stat().st_size
    print(f"{file.relative_to(ROOT)}: {size // 1000} kB")
    assert size < LARGEST, f"{file.name} is too large to be put in front of everybody"


def section() -> str:
    """The README's section: each sentence with its picture."""
    return (
        "".join(
            f"\n{picture.says}\n\n![{picture.alt}](seed_demo/tour/{picture.name}.png)\n"
            for picture in PICTURES
        )
        + "\n"
    )


if __name__ == "__main__":
    sys.exit(main())
