"""The load sheet of a technician's day: what is loaded for all of its stops."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from portal.acts.booking import field_sheet
from portal.acts.cover import as_document
from portal.acts.parts import Actor, Parts, must_be
from portal.acts.pooling import feet_of
from portal.core.documents import FieldSheet
from portal.core.documents.load import LoadProduct, LoadSheet, LoadStop
from portal.core.errors import NotFound
from portal.core.money.amount import rounded
from portal.core.treatment.batches import concentrate_for
from portal.core.treatment.equipment import equipment
from portal.core.treatment.pooled import pooled
from portal.core.treatment.product import read_product
from portal.store import jobs, people, quotes
from portal.store.transaction import Work


def load_sheet(parts: Parts, who: Actor, technician_id: str, day: date) -> LoadSheet:
    """The load of a day, as it is booked now. A technician has only their own."""
    must_be(who, "office", "technician")
    with parts.store.reading() as work:
        return load_in(work, who, technician_id, day)


def load_in(work: Work, who: Actor, technician_id: str, day: date) -> LoadSheet:
    """The same within a transaction. Raises `NotFound` where nothing is booked on that day."""
    if who.kind == "technician" and who.person_id != technician_id:
        raise NotFound("load sheet", technician_id)
    sheets = [field_sheet(job) for job in jobs.stops_on(work, technician_id, day)]
    if not sheets:
        raise NotFound("load sheet", technician_id)
    by_product: dict[int, list[FieldSheet]] = {}
    for one in sheets:
        by_product.setdefault(one.product.edition, []).append(one)
    feet = sum((Fraction(one.estimate["feet"]["total"]) for one in sheets), Fraction(0))
    crawl = any(one.place.foundation == "crawl space" for one in sheets)
    return LoadSheet(
        technician=people.person(work, technician_id).name, day=day, office=sheets[-1].office,
        stops=tuple(_stop(one) for one in sheets),
        products=tuple(_product(work, edition, of) for edition, of in sorted(by_product.items())),
        equipment=equipment(max(_sprayers(one) for one in sheets), feet, crawl_space=crawl),
    )  # fmt: skip


def _sprayers(sheet: FieldSheet) -> int:
    """How many spray at once by the estimate: its crew hours over its hours on site."""
    elapsed = Decimal(sheet.estimate["minutes"]["elapsed"])
    return max(1, round(Decimal(sheet.estimate["crew_hours"]) * 60 / elapsed)) if elapsed else 1


def _stop(sheet: FieldSheet) -> LoadStop:
    planned = sheet.estimate["product"]
    return LoadStop(
        number=sheet.number, place=sheet.place, company=sheet.builder.company, phone=sheet.builder.phone,
        minutes=int(Decimal(sheet.estimate["minutes"]["elapsed"]).to_integral_value("ROUND_CEILING")),
        feet=Decimal(sheet.estimate["feet"]["total"]), product=sheet.product.name,
        batches=len(planned["batches"]), **{key: Decimal(planned[key]) for key in MIXED}, notes=sheet.notes,
    )  # fmt: skip


MIXED = ("concentrate", "water", "dye_floz", "finished")


def _product(work: Work, edition: int, sheets: Sequence[FieldSheet]) -> LoadProduct:
    """One product's pool: what the houses take exactly, rounded once, in the sizes that its edition lists."""
    product = read_product(quotes.edition_numbered(work, "product", edition).document["figures"])
    each = [concentrate_for(feet_of(one.house), product) for one in sheets]
    found, need = pooled(each, product), sum(each, Fraction(0))
    water = need * product.water_per_concentrate
    dye = (need + water) * product.dye_floz_per_finished_gallon
    return LoadProduct(
        name=sheets[0].product.name, registration=sheets[0].product.registration, stops=len(sheets),
        concentrate=rounded(need, 2), water=rounded(water, 2), dye_floz=rounded(dye, 2),
        finished=rounded(need + water, 2),
        batches=sum(len(one.estimate["product"]["batches"]) for one in sheets),
        containers=as_document(found) if found else None,
    )  # fmt: skip
