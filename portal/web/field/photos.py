"""Photos: from a form's file fields or from a phone that kept them, and back to be looked at."""

from __future__ import annotations

from typing import Any

from flask import Response, request
from werkzeug.datastructures import FileStorage

from portal.acts import photographing, treating
from portal.acts.photographing import Shot
from portal.core.errors import BadInput, Problem, Refused
from portal.pictures import LARGEST
from portal.web.field.sending import read_moment
from portal.web.security import parts, who
from portal.web.shared.pages import told
from portal.web.shared.photo_answers import jpeg

#: Names of a form's file fields: a stretch's photo, or one of a problem.
FIELD = "photo."


def _content(file: FileStorage) -> bytes:
    # One byte more than is taken, so that what is too large is told as too large.
    return file.stream.read(LARGEST + 1)


def take_photos(job_id: str) -> list[Problem]:
    """Keep the photos of a form; what is wrong with those that cannot be kept."""
    wrong: list[Problem] = []
    for name, file in request.files.items(multi=True):
        if not file.filename or not name.startswith(FIELD):
            continue
        wall = name.removeprefix(FIELD)
        words = request.form.get(f"words.{wall}", "").strip()
        shot = Shot("", "" if wall == "problem" else wall, words, None, _content(file))
        try:
            photographing.add_photo(parts(), who(), job_id, shot)
        except BadInput as bad:
            wrong += [Problem(name, problem.says) for problem in bad.problems]
    return wrong


def photo(job_id: str) -> tuple[dict[str, Any], int]:
    """A photo that a phone kept, with its id: sent twice, kept once."""
    file = request.files.get("file")
    form, at = request.form, read_moment(request.form.get("at", ""))
    if file is None or at is None or not form.get("id"):
        treating.stop(parts(), who(), job_id)  # whose stop it is not, is told nothing but that
        return {"says": ""}, 400
    shot = Shot(form["id"], form.get("wall", ""), form.get("words", ""), at, _content(file),
                form.get("device", "")[:36])  # fmt: skip
    try:
        return {"sha256": photographing.add_photo(parts(), who(), job_id, shot)}, 200
    except BadInput as bad:
        return {"says": told(bad.problems[0].says)}, 422
    except Refused as refused:
        return {"says": told(refused.says)}, 409


def show_photo(job_id: str, photo_id: str, size: str) -> Response:
    """A photo of one's own stop."""
    return jpeg(photographing.stop_photo(parts(), who(), job_id, photo_id, size == "small"))
