"""A paper as an answer: shown in the browser, with the name to save it under."""

from __future__ import annotations

from flask import Response

from portal.acts.papers import PaperFile


def pdf(file: PaperFile) -> Response:
    """The PDF, inline. File names are made of numbers of ours, so they need no quoting of their own."""
    response = Response(file.content, mimetype="application/pdf")
    response.headers["Content-Disposition"] = f'inline; filename="{file.name}"'
    return response


def xml(file: PaperFile) -> Response:
    """A summary for machines, to be saved."""
    response = Response(file.content, mimetype="application/xml")
    response.headers["Content-Disposition"] = f'attachment; filename="{file.name}"'
    return response
