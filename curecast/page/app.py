"""The page's addresses: the list of jobs, one page for each, what is posted, and pairing."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from datetime import timedelta
from typing import Any

from flask import Flask, Response, abort, redirect, render_template, request, session, url_for
from jinja2 import StrictUndefined
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as AnyResponse

from curecast import __version__
from curecast.errors import CurecastError, InputError, Refused, StoreError
from curecast.page.answers import Answers
from curecast.page.entries import Logged, log_deed, log_reading, undo
from curecast.page.gate import MOST_BYTES, Gate, csrf_token, guard
from curecast.page.jobs import find_slab, list_slabs, slab_page
from curecast.store.rows import Placement

__all__ = ["make_app"]

#: After something was logged, so long is waited for the answer that counts it in. [s]
_WAIT_S = 0.8
_SENTENCES = {
    400: "That request cannot be read.",
    403: "That is not allowed.",
    404: "There is no such page here.",
    405: "That cannot be done here.",
    413: "That is too much: nothing was taken.",
    415: "That is not a form of this page.",
    421: "This page does not answer to that name: open it by the address that curecast printed.",
    429: "Too many requests: wait a minute, then try again.",
}
#: What stays in the form when it was refused.
_TYPED = ("value", "unit", "where", "when", "depth")
_Post = Callable[[Answers, Placement, Mapping[str, str]], Logged]


def make_app(
    answers: Answers, gate: Gate, key: bytes, *, shift_ms: int = 0, debug: bool = False
) -> Flask:
    """The page as a WSGI application.

    Parameters
    ----------
    answers : Answers
        What each slab's page shows; it brings the store and the clock.
    gate : Gate
        Who is let in.
    key : bytes
        Signs the cookies.
    shift_ms : int
        How far the clock of the page is ahead of the true one, where it was fixed. [ms]
    debug : bool
        Whether a fault's traceback is printed, here and never in a page.
    """
    app = Flask("curecast.page")
    app.config.update(
        SECRET_KEY=key,
        SESSION_COOKIE_NAME="curecast",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Strict",
        PERMANENT_SESSION_LIFETIME=timedelta(days=30),
        MAX_CONTENT_LENGTH=MOST_BYTES,
        MAX_FORM_PARTS=40,
        PROVIDE_AUTOMATIC_OPTIONS=False,
    )
    app.jinja_options = {"trim_blocks": True, "lstrip_blocks": True, "undefined": StrictUndefined}
    app.jinja_env.globals.update(
        csrf_token=csrf_token,
        new_key=lambda: secrets.token_urlsafe(16),
        version=__version__,
        shift_ms=shift_ms,
    )
    guard(app, gate)
    _add_views(app, answers)
    _add_posts(app, answers)
    _add_pairing(app, gate)
    _add_errors(app, debug)
    return app


def _add_views(app: Flask, answers: Answers) -> None:
    @app.get("/")
    def jobs() -> str | AnyResponse:
        slabs = list_slabs(answers)
        if len(slabs) == 1 and "all" not in request.args:
            return redirect(url_for("job", name=slabs[0].name), 303)
        return render_template("jobs.html", slabs=slabs)

    @app.get("/job/<name>")
    def job(name: str) -> str:
        return _job_page(answers, name)


def _job_page(answers: Answers, name: str, error: str = "") -> str:
    slab = find_slab(answers, name)
    if slab is None:
        abort(404, "No job of that name is open.")
    said = session.pop("said", None) or {"lines": [], "odd": []}
    wait_s = _WAIT_S if said["lines"] else 0.0
    return render_template(
        "job.html",
        said=said,
        error=error,
        typed={name: request.form.get(name, "") if error else "" for name in _TYPED},
        unit=session.get("unit") or ("F" if slab.units == "us" else "C"),
        where=session.get("where") or "surface",
        **slab_page(answers, slab, wait_s),
    )


def _add_posts(app: Flask, answers: Answers) -> None:
    def take(name: str, post: _Post) -> AnyResponse:
        slab = find_slab(answers, name)
        if slab is None or slab.poured is None:
            abort(404, "No poured job of that name is open.")
        logged = post(answers, slab.poured, request.form)
        answers.ask(slab.poured)  # begin to work it out
        if post is log_reading:
            session["unit"] = request.form.get("unit", "C")[:1]
            session["where"] = request.form.get("where", "surface")[:20]
        if _wants_json():
            return _json({"said": [*logged.lines], "odd": [*logged.odd]}, 200)
        session["said"] = {"lines": [*logged.lines], "odd": [*logged.odd]}
        return redirect(url_for("job", name=slab.name), 303)

    def answer(name: str, post: _Post) -> AnyResponse | tuple[str, int]:
        try:
            return take(name, post)
        except (InputError, Refused) as error:
            code = 409 if isinstance(error, Refused) else 422
            words = _words(error)
            if _wants_json():
                return _json({"error": words}, code)
            return _job_page(answers, name, words), code

    @app.post("/job/<name>/reading")
    def reading(name: str) -> AnyResponse | tuple[str, int]:
        return answer(name, log_reading)

    @app.post("/job/<name>/deed")
    def deed(name: str) -> AnyResponse | tuple[str, int]:
        return answer(name, log_deed)

    @app.post("/job/<name>/undo")
    def take_back(name: str) -> AnyResponse | tuple[str, int]:
        return answer(name, undo)


def _add_pairing(app: Flask, gate: Gate) -> None:
    if gate.pairing is None:
        return
    pairing = gate.pairing

    @app.get("/pair")
    def pair() -> str:
        pairing.ask()
        return render_template("pair.html", error="")

    @app.post("/pair")
    def try_code() -> AnyResponse | tuple[str, int]:
        right = pairing.take(request.form.get("code", ""), request.remote_addr or "")
        if right:
            session["paired"] = True
            return redirect(url_for("jobs"), 303)
        if right is None:
            return render_template("pair.html", error="Too many tries: wait ten minutes."), 429
        wrong = "That is not the code that stands on the computer now; it may have run out."
        return render_template("pair.html", error=wrong), 403


def _add_errors(app: Flask, debug: bool) -> None:
    def tell(code: int, words: str) -> AnyResponse:
        if _wants_json():
            answer = _json({"error": words}, code)
        else:
            answer = Response(render_template("error.html", words=words), code)
        if code == 429:
            answer.headers["Retry-After"] = "30"
        return answer

    @app.errorhandler(HTTPException)
    def refused(error: HTTPException) -> AnyResponse:
        code = error.code or 500
        own = error.description or ""
        stock = type(error).description or ""
        words = _SENTENCES.get(code, "That cannot be done.")
        return tell(code, own if own and own != stock else words)

    @app.errorhandler(CurecastError)
    def known(error: CurecastError) -> AnyResponse:
        code = 503 if isinstance(error, StoreError) else 422
        return tell(code, _words(error))

    @app.errorhandler(Exception)
    def fault(error: Exception) -> AnyResponse:
        if debug:
            import traceback

            traceback.print_exception(error)
        return tell(500, "A fault in curecast itself: nothing is lost, try again.")


def _words(error: CurecastError) -> str:
    hint = f": {error.hint}" if error.hint else ""
    said = f"{error.message}{hint}".rstrip(".")
    return said[:1].upper() + said[1:] + "."


def _wants_json() -> bool:
    return request.headers.get("Accept") == "application/json"


def _json(told: dict[str, Any], code: int) -> AnyResponse:
    import json

    return Response(json.dumps(told), code, mimetype="application/json")
