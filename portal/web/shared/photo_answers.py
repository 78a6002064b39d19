"""A photo as an answer: a picture and nothing else, whatever a browser is told to take it for."""

from __future__ import annotations

from flask import Response


def jpeg(content: bytes) -> Response:
    """The picture. It was encoded by us; sandboxed all the same, so that no byte of it is ever run."""
    response = Response(content, mimetype="image/jpeg")
    response.headers["Content-Security-Policy"] = "default-src 'none'; sandbox; frame-ancestors 'none'"
    response.headers["Content-Disposition"] = 'inline; filename="photo.jpg"'
    return response
