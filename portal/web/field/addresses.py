"""Addresses, in the order people meet them."""

from __future__ import annotations

from flask import Blueprint

from portal.web.field import explaining, loading, photos, sending, stops
from portal.web.security import only

field = Blueprint("field", __name__, url_prefix="/stops")
field.before_request(only("technician"))

field.get("", endpoint="stops")(stops.my_stops)
field.route("/calendar", methods=["GET", "POST"])(stops.calendar)
field.get("/signal")(sending.signal)
field.get("/<job_id>")(stops.stop)
field.get("/load/<day>")(loading.load)
field.get("/load/<day>/load.pdf")(loading.load_paper)
field.get("/<job_id>/sheet.pdf", endpoint="sheet")(stops.sheet_paper)
field.post("/<job_id>/arrive")(stops.arrive)
field.post("/<job_id>/keep")(stops.keep)
field.post("/<job_id>/treated")(stops.treated)
field.post("/<job_id>/explain")(explaining.explain)
field.post("/<job_id>/entries")(sending.entries)
field.post("/<job_id>/photos", endpoint="photo")(photos.photo)
field.get("/<job_id>/photos/<photo_id>/<any(small, whole):size>", endpoint="show_photo")(photos.show_photo)
