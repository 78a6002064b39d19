"""A page with the takeoff form on it: asking, changing, asking again, and the office's correcting.

One form, several buttons: add or remove a row, draw it again, work it out, and send. Whatever is pressed,
everything typed comes back, and only *send* with figures that were seen does anything.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any, ClassVar, TypeVar

from flask import request, url_for
from flask_babel import gettext
from flask_wtf import FlaskForm
from markupsafe import Markup

from portal.acts import asking, estimating
from portal.acts.asking import LotAsked
from portal.acts.estimating import Figures, Whereabouts
from portal.acts.sheet import LotSheet
from portal.core.documents import fingerprint
from portal.core.errors import BadInput, Overtaken, Problem, Refused, SameLot
from portal.web.security import allow_script, parts, who
from portal.web.shared import figures, house_form, house_problems, siding_says, sketch
from portal.web.shared.house_form import HouseForm
from portal.web.shared.lot_form import LotForm, of_lot
from portal.web.shared.pages import fresh_once_key, page, told
from portal.web.shared.sketch import Sketch

UNNAMED = "House"
Page = TypeVar("Page", bound="TakeoffPage")


@dataclass(slots=True)
class TakeoffPage:
    """What was typed, what was pressed, and what is to be said about it."""

    #: What stands beside the house: of a lot its place and days; another page may ask for something else.
    beside: ClassVar[type[FlaskForm]] = LotForm
    lot: Any
    house: HouseForm
    pressed: str = ""
    once_key: str = ""
    version: int = 0
    seen: str = ""
    figures: Figures | None = None
    fresh: str | None = None
    overtaken_by: str = ""
    refused: str = ""
    short: bool = False
    lot_id: str = ""
    errors: dict[str, list[str]] = field(default_factory=dict)
    summary: list[tuple[str, str]] = field(default_factory=list)

    def document(self) -> dict[str, Any]:
        """The house document; it is called after its lot."""
        return self.house.document(self.lot.name.data or UNNAMED)

    def where(self) -> Whereabouts:
        """What its price depends on beside the house, as far as it is typed; some pages ask for nothing."""
        typed = self.lot.data
        return Whereabouts(*(typed.get(key) or "" for key in ("foundation", "subdivision", "state", "town")))

    def asked(self) -> LotAsked:
        """Everything entered."""
        found: LotAsked = self.lot.asked(self.document())
        return found

    def check_to_send(self) -> None:
        """Whether what stands beside the house can be sent. Raises `BadInput`."""
        asking.check(self.asked())

    def to_send(self) -> bool:
        """Whether it is to be sent: *send* was pressed, under figures that are those of what is typed now."""
        return self.pressed == "send" and not self.errors and self.figures is not None and not self.changed

    @property
    def print_of_house(self) -> str:
        """What the figures were worked out from, to tell whether it was changed after they were seen."""
        return fingerprint({"levels": self.document()["levels"]})

    @property
    def changed(self) -> bool:
        """Whether something was changed between seeing the figures and sending."""
        return self.pressed == "send" and self.seen != self.print_of_house

    def work_out(self) -> None:
        """Figures, or every problem of the house at its field; of a mere drawing those of what is typed."""
        try:
            self.figures = estimating.work_out(parts(), who(), self.document(), self.where(), self.lot_id)
        except BadInput as bad:
            drawn = self.pressed == "draw"
            self.add(tuple(p for p in bad.problems if not drawn or house_problems.is_typed(p, self.house)))

    def look(self) -> None:
        """Figures where the house is whole already; what it lacks still is no problem yet."""
        with suppress(BadInput):
            self.figures = estimating.work_out(parts(), who(), self.document(), self.where(), self.lot_id)

    def check_lot(self) -> None:
        """What the lot's own fields cannot be read as, and before sending what they lack."""
        self.lot.validate()
        for name, sentences in self.lot.errors.items():
            for says in sentences:
                self._say(str(name), str(says), f"{self.lot[name].label.text}: {says}")
        if self.pressed == "send":
            try:
                self.check_to_send()
            except BadInput as bad:
                self.add(bad.problems)

    def add(self, problems: tuple[Problem, ...]) -> None:
        """Problems beside their fields: of the lot by their name, of the house by their path. Each once."""
        for problem in problems:
            if problem.at in self.lot:
                says = told(house_problems.AS_ANY_TEXT.get(problem.says.template, problem.says))
                self._say(problem.at, says, f"{self.lot[problem.at].label.text}: {says}")
        of_house = [problem for problem in problems if problem.at not in self.lot]
        for at, says, placed in house_problems.in_place(of_house, self.house):
            self._say(at, says, says if self.short else placed)

    def turn_down(self, bad: BadInput) -> None:
        """What the act found wrong; a lot that is here already can be opened from beside its field."""
        self.add(bad.problems)
        if isinstance(bad, SameLot):
            link = Markup('<a href="{}">{}</a>').format(
                url_for(f"{request.blueprint}.lot", lot_id=bad.lot_id), gettext("Open the lot")
            )
            self.errors["name"].append(link)

    def complete_short(self) -> None:
        """What the short way in has no fields for."""
        if self.short:
            self.house.complete_short()

    def _say(self, at: str, says: str, placed: str) -> None:
        beside = self.errors.setdefault(at, [])
        if says not in beside:
            beside.append(says)
            self.summary.append((at, placed))

    def overtake(self, overtaken: Overtaken, version: int) -> None:
        """Somebody else was first: say so, keep what was typed, and take the version that is there now."""
        self.overtaken_by, self.version = overtaken.by or gettext("Somebody else"), version

    def refuse(self, refused: Refused) -> None:
        """It cannot be done as the lot stands: say so above the form, and keep what was typed."""
        self.refused = told(refused.says)

    def sketches(self) -> list[Sketch]:
        """The plan of every story, as far as it is typed."""
        prices = self.figures.siding_prices() if self.figures else ()
        currency = self.figures.rates.currency if self.figures else ""
        return [
            sketch.sketched(level, index + 1, siding_says.of_level(prices, index), currency)
            for index, level in enumerate(self.document()["levels"])
        ]

    def answer(self, template: str, **values: Any) -> tuple[str, int]:
        """The page again, with everything typed."""
        allow_script()
        for name in self.lot.data:
            self.lot[name].errors = self.errors.get(name, [])
        values |= {"takeoff": self, "sketches": self.sketches()}
        return page(
            template, **values
        ), 422 if self.errors else 409 if self.overtaken_by or self.refused else 200


def begin(lot: dict[str, Any]) -> TakeoffPage:
    """The short way in to a new lot, with what is known of it already; the whole form opens from there."""
    form, house = LotForm(formdata=None, data=lot), house_form.short_form()
    return TakeoffPage(form, house, once_key=fresh_once_key(), short=True)


def of_sheet(lot: LotSheet) -> TakeoffPage:
    """A lot as it stands, to be changed; its figures are worked out at once."""
    house = house_form.from_document(lot.takeoff.house)
    found = TakeoffPage(LotForm(formdata=None, data=of_lot(lot)), house, version=lot.version, lot_id=lot.id)
    found.once_key = fresh_once_key()
    found.work_out()
    return found


def redrawn(viewer: str, lot_id: str = "") -> str:
    """What a page swaps in while its form is being typed in: the plans, and the figures of a whole house.

    Nothing is kept and no problem is told; that is for the buttons. `viewer` is builder or office.
    """
    found = TakeoffPage(LotForm(), house_form.read_form(request.form), "draw", short=_is_short(),
                        lot_id=lot_id)  # fmt: skip
    found.complete_short()
    found.look()
    shown = figures.fresh(found.figures, viewer)
    return page("shared/redrawn.html", takeoff=found, sketches=found.sketches(), figures=shown)


def _is_short() -> bool:
    return request.form.get("way") == "short"


def sent(lot_id: str = "") -> TakeoffPage:
    """What the form of this request says; of a lot that is there already, with its id."""
    return sent_as(TakeoffPage, lot_id)


def sent_as(kind: type[Page], lot_id: str = "") -> Page:
    """The same, on a page of this kind."""
    typed = request.form
    version = typed.get("version", "")
    found = kind(
        kind.beside(), house_form.read_form(typed), typed.get("press", "work"), typed.get("once_key", ""),
        int(version) if version.isdecimal() else 0, typed.get("seen", ""),
    )  # fmt: skip
    found.short, found.lot_id = _is_short(), lot_id
    found.complete_short()
    if found.pressed == "open":
        found.short = False
    found.fresh = found.house.press(found.pressed)
    if found.pressed in ("draw", "work", "send"):
        found.check_lot()
        found.work_out()
    else:
        found.look()
    return found
