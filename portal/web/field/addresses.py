"""Addresses, in the order people meet them."""

from __future__ import annotations

from flask import Blueprint

from portal.web.field import stops
from portal.web.security import only

field = Blueprint("field", __name__, url_prefix="/stops")
field.before_request(only("technician"))

field.get("", endpoint="stops")(stops.my_stops)
field.get("/<job_id>")(stops.stop)
field.get("/<job_id>/sheet.pdf", endpoint="sheet")(stops.sheet_paper)
field.post("/<job_id>/arrive")(stops.arrive)
field.post("/<job_id>/keep")(stops.keep)
field.post("/<job_id>/treated")(stops.treated)
