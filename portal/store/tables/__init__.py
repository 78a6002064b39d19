"""What is kept. A table a class; amounts in cents, moments in UTC, documents as JSON."""

from portal.store.tables.base import Base
from portal.store.tables.consents import Consent, PurchaserLink
from portal.store.tables.crew_days import CalendarAddress, CalendarStop, DayOff, TechnicianWeek
from portal.store.tables.field import FieldEntry, Photo
from portal.store.tables.lists import ListHeading, LotIdentity, LotList, LotListRow
from portal.store.tables.lots import Lot, Subdivision, Takeoff
from portal.store.tables.owed import Invoice, NumberSeries, Payment, Warranty
from portal.store.tables.packages import Package, PackageCover
from portal.store.tables.people import Company, Person, SignIn
from portal.store.tables.plans import HousePlan, PlanEdition
from portal.store.tables.quotes import Edition, Extra, Quote, Revision
from portal.store.tables.records import ForgottenRecord, RecordPage
from portal.store.tables.taxes import Jurisdiction, TaxEdition, TaxExemption, TaxPlace
from portal.store.tables.trail import History, HistoryHead, Letter, OnceKey, Paper, Try
from portal.store.tables.work import Job, TreatmentRecord

__all__ = [
    "Base", "CalendarAddress", "CalendarStop", "Company", "Consent", "DayOff", "Edition", "Extra",
    "FieldEntry", "ForgottenRecord", "History", "HistoryHead", "HousePlan", "Invoice", "Job", "Jurisdiction",
    "Letter", "ListHeading", "Lot", "LotIdentity", "LotList", "LotListRow", "NumberSeries", "OnceKey",
    "Package", "PackageCover", "Paper", "Payment", "Person", "Photo", "PlanEdition", "PurchaserLink", "Quote",
    "RecordPage", "Revision", "SignIn", "Subdivision", "Takeoff", "TaxEdition", "TaxExemption", "TaxPlace",
    "TechnicianWeek", "TreatmentRecord",
    "Try", "Warranty",
]  # fmt: skip
