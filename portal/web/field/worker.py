"""The service worker of the field pages: our own file, told which edition of our files it keeps.

Its address is at the top, because a worker's scope reaches no higher than where it lies, and the list of
stops has no slash at its end. It is the same for everybody and holds nothing of anybody.
"""

from __future__ import annotations

import hashlib
import json
from functools import lru_cache
from pathlib import Path

from flask import Blueprint, Response, current_app, url_for

from portal.web.security import allow_script

worker = Blueprint("worker", __name__)

FONTS = ("Light", "Regular", "It", "Semibold")


def _files(static: Path) -> list[Path]:
    """The files that field pages need, css for papers left out."""
    styles = [path for path in sorted(static.glob("css/**/*.css")) if "papers" not in path.parts]
    scripts = [path for path in sorted(static.glob("js/field/*.js")) if path.name != "worker.js"]
    return [static / "mark.svg", *styles, *scripts]


@lru_cache(maxsize=4)
def _edition(static: Path) -> str:
    """The fingerprint of the files, by which their cache is named: other files are another cache."""
    digest = hashlib.sha256()
    for path in [*_files(static), static / "js/field/worker.js"]:
        digest.update(path.relative_to(static).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:16]


@worker.get("/field-worker.js")
def script() -> Response:
    """The worker, with its edition and the addresses of its files before it."""
    static = Path(str(current_app.static_folder))
    names = [path.relative_to(static).as_posix() for path in _files(static)]
    addresses = [url_for("static", filename=name) for name in names]
    addresses += [url_for("front.font", name=f"SourceSansPro-{face}.ttf") for face in FONTS]
    head = f"const EDITION = {json.dumps(_edition(static))};\nconst FILES = {json.dumps(addresses)};\n"
    body = (static / "js/field/worker.js").read_text(encoding="utf-8")
    allow_script()  # of a worker's own asking, the policy of its own script decides
    response = Response(head + body, mimetype="text/javascript")
    response.headers["Cache-Control"] = "no-cache"
    return response
