"""What every answer carries and what the cookie is: OWASP ASVS 5.0, chapters 3.3, 3.4 and 7."""

from __future__ import annotations

from dataclasses import replace

import pytest
from flask.testing import FlaskClient

from portal import create_app
from portal.acts import treating
from tests.parts.house import PASSWORD, House
from tests.web.visits import make_visits

SAFE = "https://portal.example.com"
SIGN_IN = {"email": "harriet@example.com", "password": PASSWORD}


def policy(header: str) -> dict[str, list[str]]:
    """A Content-Security-Policy by its directives."""
    words = [part.split() for part in header.split(";")]
    return {name: sources for name, *sources in words}


@pytest.fixture
def over_https(lite: House) -> FlaskClient:
    """A browser at a portal that people reach by https, nobody signed in."""
    app = create_app(replace(lite.settings, base_url=SAFE), lite.parts)
    app.config["WTF_CSRF_ENABLED"] = False
    return app.test_client()


@pytest.mark.parametrize(
    "path", ["/sign-in", "/warranty", "/lots", "/nothing", "/health", "/static/css/base.css", "/lots/%00"]
)
def test_every_answer_carries_the_policy_and_runs_no_script(lite: House, path: str) -> None:
    answer = make_visits(lite).by(lite.builder).get(path)
    answer.close()

    said = policy(answer.headers["Content-Security-Policy"])
    assert said["default-src"] == said["frame-ancestors"] == said["base-uri"] == ["'none'"]
    assert said["style-src"] == said["form-action"] == ["'self'"]
    assert said.get("script-src", said["default-src"]) in (["'none'"], ["'self'"])
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Referrer-Policy"] in ("same-origin", "no-referrer")


def test_what_somebody_sees_signed_in_is_kept_by_no_cache(lite: House) -> None:
    lot = lite.sent()
    builder = make_visits(lite).by(lite.builder)

    answers = [builder.get(path) for path in ("/lots", f"/lots/{lot}/quote", f"/lots/{lot}/papers/quote/1")]

    assert [(a.status_code, a.headers["Cache-Control"]) for a in answers] == [(200, "no-store")] * 3


def test_over_https_the_cookie_goes_over_nothing_else_and_to_no_script(over_https: FlaskClient) -> None:
    answer = over_https.post("/sign-in", data=SIGN_IN, base_url=SAFE)

    name, *flags = answer.headers["Set-Cookie"].split("; ")
    assert answer.status_code == 302 and name.startswith("__Host-sillbook=")
    assert {"Secure", "HttpOnly", "SameSite=Lax", "Path=/"} <= set(flags)
    assert not [flag for flag in flags if flag.startswith("Domain")]
    assert int(answer.headers["Strict-Transport-Security"].partition("max-age=")[2].partition(";")[0]) > 0


def test_on_this_machine_alone_the_cookie_is_kept_from_scripts_all_the_same(lite: House) -> None:
    answer = make_visits(lite).by(None).post("/sign-in", data=SIGN_IN)

    name, *flags = answer.headers["Set-Cookie"].split("; ")
    assert name.startswith("sillbook=") and {"HttpOnly", "SameSite=Lax"} <= set(flags)
    assert "Strict-Transport-Security" not in answer.headers


def test_signing_in_begins_a_new_session_and_drops_what_was_in_the_old_one(lite: House) -> None:
    client = make_visits(lite).by(None)
    with client.session_transaction() as session:
        session["csrf_token"] = session["planted"] = "by somebody else"

    client.post("/sign-in", data=SIGN_IN)

    with client.session_transaction() as session:
        assert session["sign_in"] and "planted" not in session
        assert session.get("csrf_token") != "by somebody else"


def test_a_cookie_that_was_copied_before_signing_out_opens_nothing_after_it(lite: House) -> None:
    visits = make_visits(lite)
    client, copied = visits.by(None), visits.app.test_client(use_cookies=False)  # its own jar would win
    kept = client.post("/sign-in", data=SIGN_IN).headers["Set-Cookie"].partition(";")[0]
    assert copied.get("/lots", headers={"Cookie": kept}).status_code == 200

    client.post("/sign-out")

    assert copied.get("/lots", headers={"Cookie": kept}).status_code == 302


STOP_ONLY = "camera=(self), geolocation=(), microphone=()"


def test_only_the_field_pages_may_keep_a_worker_and_only_a_stop_may_ask_for_the_camera(lite: House) -> None:
    stop = f"/stops/{lite.job(lite.booked())}"
    visits = make_visits(lite)
    technician, office = visits.by(lite.technician), visits.by(lite.office)

    answers = {path: technician.get(path).headers for path in ("/stops", stop, "/stops/signal", "/letters")}
    answers["/office/today"] = office.get("/office/today").headers
    said = {path: policy(headers["Content-Security-Policy"]) for path, headers in answers.items()}

    assert {path for path, one in said.items() if one.get("worker-src") == ["'self'"]} == {"/stops", stop}
    assert not {path for path, one in said.items() if one.get("worker-src", ["'self'"]) != ["'self'"]}
    assert {path for path, one in said.items() if "script-src" in one} == {"/stops", stop}
    cameras = {path for path, headers in answers.items() if headers["Permissions-Policy"] == STOP_ONLY}
    assert cameras == {stop}


def test_the_worker_is_the_same_for_everybody_asks_nobody_but_us_and_reaches_no_further_than_the_stops(
    lite: House,
) -> None:
    """Service Workers (W3C): its scope reaches no higher than its address; its policy is its script's."""
    visits = make_visits(lite)
    answers = [visits.by(who).get("/field-worker.js") for who in (None, lite.builder, lite.technician)]

    assert {answer.get_data() for answer in answers} == {answers[0].get_data()}
    headers = answers[0].headers
    assert policy(headers["Content-Security-Policy"])["connect-src"] == ["'self'"]
    assert headers["Content-Type"].startswith("text/javascript") and headers["Cache-Control"] == "no-cache"
    assert "Service-Worker-Allowed" not in headers


def test_a_photo_is_a_picture_and_nothing_else(lite: House) -> None:
    job = lite.job(lite.booked())
    lite.photograph(job, ["1.1.N"])
    photo = treating.stop(lite.parts, lite.technician, job).photos[0].id

    answer = make_visits(lite).by(lite.technician).get(f"/stops/{job}/photos/{photo}/whole")

    said = policy(answer.headers["Content-Security-Policy"])
    assert answer.headers["Content-Type"] == "image/jpeg" and answer.get_data()[:3] == b"\xff\xd8\xff"
    assert said["default-src"] == ["'none'"] and said["sandbox"] == [] and "script-src" not in said
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "no-store"
