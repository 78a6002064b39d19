"""The look of the house, held to what it promises: contrast, plain CSS, nothing inline, every block seen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import font_source_sans_pro
import pytest
from axe_playwright_python.sync_playwright import Axe
from flask import Flask, render_template, send_from_directory
from flask_babel import Babel
from flask_wtf import CSRFProtect
from markupsafe import Markup

from portal.drawing import plan_svg
from tests.test_drawing import L_SHAPE, plan_of

ROOT = Path(__file__).resolve().parents[1]
STYLES = sorted((ROOT / "static/css").rglob("*.css"))
# Papers have tokens of their own: see tests/papers.
SCREEN_STYLES = [path for path in STYLES if "papers" not in path.parts]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
PAGES = [path for path in TEMPLATES if "papers" not in path.parts and "letters" not in path.parts]
FONTS = Path(font_source_sans_pro.__file__).parent / "files"
POLICY = "default-src 'none'; style-src 'self'; font-src 'self'; img-src 'self' data:; form-action 'self'"


def named(path: Path) -> str:
    return str(path.relative_to(ROOT))


def without_comments(text: str) -> str:
    return re.sub(r"/\*.*?\*/|\{#.*?#\}", "", text, flags=re.S)


def tokens() -> dict[str, dict[str, str]]:
    """The colors of each scheme by name, as tokens.css gives them."""
    light, dark = (ROOT / "static/css/tokens.css").read_text().split("@media (prefers-color-scheme: dark)")
    color = r"--([\w-]+):\s*(#[0-9a-f]{6});"
    return {"light": dict(re.findall(color, light)), "dark": dict(re.findall(color, dark))}


def luminance(color: str) -> float:
    """Relative luminance as WCAG 2.2 defines it (W3C, 2023)."""
    parts = [int(color[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_is_21_to_1():
    # WCAG 2.2, definition of contrast ratio: ratios range from 1 to 21.
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "desk", "tint", "blush"])
def test_every_ink_can_be_read_on_every_ground(scheme, ground):
    colors = tokens()[scheme]

    for ink in ("ink", "pencil", "red"):
        assert contrast(colors[ink], colors[ground]) >= 4.5, ink
    assert contrast(colors["edge"], colors[ground]) >= 3


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_on_ink_can_be_read(scheme):
    colors = tokens()[scheme]

    assert contrast(colors["on-red"], colors["red"]) >= 4.5
    assert contrast(colors["on-ink"], colors["ink"]) >= 4.5


@pytest.mark.parametrize("path", STYLES, ids=named)
def test_a_stylesheet_keeps_to_plain_means(path):
    text = without_comments(path.read_text())

    selectors = re.findall(r"([^{};]+)\{", text)
    assert not [s for s in selectors if re.search(r"#[a-z]", s, re.I)]
    for means in ("!important", "gradient(", "box-shadow", "text-shadow", "@import", "http:", "https:"):
        assert means not in text
    # A radio button is a circle, or nobody knows it for one; nothing else is round.
    assert set(re.findall(r"border-radius:\s*([^;]+);", text)) <= (
        {"0", "50%"} if path.name == "forms.css" else {"0"}
    )


@pytest.mark.parametrize("path", [p for p in STYLES if p.name != "tokens.css"], ids=named)
def test_colors_and_text_sizes_stand_in_the_tokens_only(path):
    text = without_comments(path.read_text())

    assert not re.findall(r"#[0-9a-f]{3,8}\b|rgba?\(|hsla?\(", text, re.I)
    assert not [size for size in re.findall(r"font-size:\s*([^;]+);", text) if size not in ("100%", "inherit")
                and not size.startswith("var(")]  # fmt: skip


def test_every_token_used_is_a_token_given():
    given = set(re.findall(r"(--[\w-]+):", (ROOT / "static/css/tokens.css").read_text()))

    used = {
        name
        for path in SCREEN_STYLES
        for name in re.findall(r"var\((--[\w-]+)", without_comments(path.read_text()))
    }

    assert used - given == set()


def test_every_stylesheet_is_asked_for_by_the_base_page():
    base = (ROOT / "templates/base.html").read_text()

    asked = {f"static/css/{name}.css" for name in re.findall(r"'([a-z-]+(?:/[a-z-]+)?)'", base)}

    assert {named(path) for path in SCREEN_STYLES} <= asked


@pytest.mark.parametrize("path", PAGES, ids=named)
def test_a_page_has_nothing_inline(path):
    text = without_comments(path.read_text())

    assert not re.search(r"\sstyle\s*=|<style|\son[a-z]+\s*=\s*[\"']|javascript:", text)
    assert not re.search(r"<script(?![^>]*\ssrc=)", text)


@pytest.mark.parametrize("path", [p for p in PAGES if "macros" not in p.parts], ids=named)
def test_a_label_is_written_by_the_form_macros_only(path):
    assert "<label" not in without_comments(path.read_text())


def pattern_app() -> Flask:
    """The page of all patterns under the policy of the house, with nothing else behind it."""
    app = Flask(__name__, template_folder=str(ROOT / "templates"), static_folder=str(ROOT / "static"))
    app.config.update(SECRET_KEY="patterns")
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    Babel(app)
    CSRFProtect(app)

    @app.get("/")
    def patterns() -> str:
        places = [("Lots", "/", True), ("Rate book", "/#rates", False)]
        wide, narrow = (draw(width) for width in (720, 340))
        shown = {"plan": wide, "plan_narrow": narrow, "places": places, "person": "Ines Marlow"}
        return render_template("patterns.html", sign_out_url="/out", **shown)

    @app.get("/fonts/<name>")
    def fonts(name: str) -> object:
        return send_from_directory(FONTS, name)

    app.add_url_rule("/privacy", "front.privacy", patterns)  # every page's foot leads there

    @app.after_request
    def strict(answer):
        answer.headers["Content-Security-Policy"] = POLICY
        return answer

    return app


def draw(width: int) -> Markup:
    return Markup(
        plan_svg(plan_of(L_SHAPE, "sided"), title="Plan", desc="An L.", width=width, ident=f"p{width}")
    )


@pytest.fixture
def patterns_address(serve) -> Iterator[str]:
    return serve(pattern_app())


@pytest.mark.journey
@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 390, 320])
def test_all_patterns_pass_axe_and_fit_their_screen(visitor, patterns_address, width, scheme):
    # axe-core 4, by Deque: an outside judge of names, roles, contrast and structure.
    screen = visitor(
        viewport={"width": width, "height": 844}, color_scheme=scheme, bypass_csp=True
    ).new_page()
    screen.goto(patterns_address)

    found = Axe().run(screen)

    assert found.violations_count == 0, found.generate_report()
    assert screen.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.journey
def test_all_patterns_keep_to_the_policy_of_the_house(visitor, patterns_address):
    screen, complaints = visitor().new_page(), []
    screen.on("console", lambda message: complaints.append(message.text))

    screen.goto(patterns_address)

    assert [text for text in complaints if "Content Security Policy" in text] == []


@pytest.mark.journey
def test_a_choice_shows_the_part_that_was_chosen_without_a_script(visitor, patterns_address):
    screen = visitor(java_script_enabled=False).new_page()
    screen.goto(patterns_address)

    screen.get_by_label("Floor area only").check()

    assert screen.locator(".when-area").is_visible()
    assert not screen.locator(".when-walk").is_visible()


@pytest.mark.journey
@pytest.mark.parametrize("width", [1280, 390])
def test_what_can_be_pressed_is_large_enough(visitor, patterns_address, width):
    # WCAG 2.2, 2.5.8: at least 24 by 24 CSS pixels, links within a sentence excepted.
    screen = visitor(viewport={"width": width, "height": 844}).new_page()
    screen.goto(patterns_address)

    small = screen.evaluate(
        """[...document.querySelectorAll('button, summary, select, input:not([type=hidden]), a:not(.skip)')]
           .map(e => e.matches('.tick > input') ? e.parentElement : e)
           .filter(e => e.offsetParent && !e.closest('p.empty') && e.getBoundingClientRect().height < 24)
           .map(e => e.outerHTML)"""
    )

    assert small == []
