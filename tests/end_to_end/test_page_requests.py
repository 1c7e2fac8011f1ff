"""The page's HTTP interface under hostile requests: refused or harmless, nothing lost or told."""

from __future__ import annotations

import json
import re
import socket
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from markupsafe import Markup

from curecast.page.answers import Shown
from curecast.page.glance import Glance, Step
from curecast.page.night import Night
from curecast.store.jobs import close_job
from curecast.store.readings import reading_rows, readings
from curecast.store.record import events
from tests.fixtures.slab_page import NOW, Site, make_site, open_slabs, placement_of, served

HERE = {"Host": "127.0.0.1:8765"}
OWN = {**HERE, "Origin": "http://127.0.0.1:8765"}
SCRIPT = "<script>alert(1)</script><img src=x onerror=alert(1)>\"'"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    with open_slabs(tmp_path_factory.mktemp("page"), "crane-base", "post-foot") as store:
        yield make_site(store)


@pytest.fixture(scope="module")
def shared(site: Site) -> Site:
    """The same store behind a page that asks for pairing."""
    return make_site(site.store, share=True)


def phone(site: Site) -> tuple[FlaskClient, str]:
    """A browser that has opened the page, and its token."""
    client = site.app.test_client()
    page = client.get("/job/crane-base", headers=HERE)
    found = re.search(r'name="csrf" value="([^"]+)"', page.text)
    assert found, page.text
    return client, found[1]


def form(csrf: str, **fields: str) -> dict[str, str]:
    given = {"csrf": csrf, "key": "key-of-this-form", "value": "41", "unit": "F"}
    return {**given, "where": "surface", **fields}


def sane(answer: Any) -> None:
    """No fault, no traceback, the headers of the house."""
    assert answer.status_code < 500, answer.text
    assert "Traceback" not in answer.text
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["X-Frame-Options"] == "DENY"
    policy = answer.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy


def rows(site: Site) -> int:
    return sum(
        len(reading_rows(site.store, placement_of(site.store, name)))
        for name in ("crane-base", "post-foot")
    )


def test_a_reading_is_logged_once_and_said_back(site: Site) -> None:
    client, csrf = phone(site)
    before = rows(site)
    for _ in range(2):  # a thumb that slipped
        sent = form(csrf, value="5,5", unit="C", where="air", key="slipped-thumb")
        answer = client.post("/job/crane-base/reading", data=sent, headers=OWN)
        assert (answer.status_code, answer.headers["Location"]) == (303, "/job/crane-base")
    assert rows(site) == before + 1
    newest = reading_rows(site.store, placement_of(site.store, "crane-base"))[-1]
    assert (newest.where, newest.value_c) == ("air", 5.5)
    page = client.get("/job/crane-base", headers=HERE).text
    assert "Logged already" in page
    assert re.search(r'value="C" checked', page)
    assert re.search(r'value="air" checked', page)


def test_the_same_form_with_another_number_is_another_reading(site: Site) -> None:
    client, csrf = phone(site)
    before = rows(site)
    for value in ("43", "44"):
        client.post("/job/crane-base/reading", data=form(csrf, value=value), headers=OWN)
    assert rows(site) == before + 2


def test_undo_needs_to_name_the_last_entry(site: Site) -> None:
    client, csrf = phone(site)
    client.post("/job/post-foot/reading", data=form(csrf, key="to-be-undone"), headers=OWN)
    page = client.get("/job/post-foot", headers=HERE).text
    last = re.search(r'name="last" value="([^"]+)"', page)
    assert last
    standing = len(readings(site.store, placement_of(site.store, "post-foot")))
    client.post("/job/post-foot/reading", data=form(csrf, key="came-between"), headers=OWN)
    sent = {"csrf": csrf, "key": "undo-key-1", "last": last[1].replace("&#43;", "+")}
    answer = client.post("/job/post-foot/undo", data=sent, headers=OWN)
    assert answer.status_code == 409
    assert "not the last one any more" in answer.text
    page = client.get("/job/post-foot", headers=HERE).text
    sent["last"] = re.search(r'name="last" value="([^"]+)"', page)[1].replace("&#43;", "+")  # type: ignore[index]
    for _ in range(2):
        answer = client.post("/job/post-foot/undo", data=sent, headers=OWN)
        assert answer.status_code == 303
    assert len(readings(site.store, placement_of(site.store, "post-foot"))) == standing


def test_a_blanket_and_a_look(site: Site) -> None:
    client, csrf = phone(site)
    for n, deed in enumerate(("blanket on", "looked", "blanket off")):
        sent = {"csrf": csrf, "key": f"deed-key-{n}", "deed": deed}
        assert client.post("/job/crane-base/deed", data=sent, headers=OWN).status_code == 303
    done = events(site.store, placement_of(site.store, "crane-base"))
    assert {e.kind for e in done} == {"cover", "look"}
    for deed in ("torqued", "", SCRIPT):
        sent = {"csrf": csrf, "key": "deed-key-x", "deed": deed}
        assert client.post("/job/crane-base/deed", data=sent, headers=OWN).status_code == 422


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"value": "warm"}, "not a temperature"),
        ({"value": "900"}, "cannot be at the surface"),
        ({"unit": "K"}, "lacks its unit"),
        ({"where": "moon"}, "lacks its unit or its place"),
        ({"when": "2027-03-12 07:00"}, "before the pour"),
        ({"at": (NOW + timedelta(minutes=9)).isoformat()}, "lies in the future"),
        ({"at": NOW.isoformat(), "sent": (NOW - timedelta(hours=2)).isoformat()}, "clock says"),
        ({"at": "soon"}, "cannot be read"),
        ({"key": ""}, "not one of this page"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(
    site: Site, fields: dict[str, str], says: str
) -> None:
    client, csrf = phone(site)
    before = rows(site)
    answer = client.post("/job/crane-base/reading", data=form(csrf, **fields), headers=OWN)
    assert answer.status_code == 422
    assert says in answer.text
    accept = {**OWN, "Accept": "application/json"}
    answer = client.post("/job/crane-base/reading", data=form(csrf, **fields), headers=accept)
    assert (answer.status_code, says in json.loads(answer.text)["error"]) == (422, True)
    assert rows(site) == before


def test_a_reading_bears_the_time_when_it_was_typed(site: Site) -> None:
    client, csrf = phone(site)
    typed = NOW - timedelta(hours=3)
    sent = form(csrf, key="typed-before", at=typed.isoformat(), sent=NOW.isoformat())
    assert client.post("/job/crane-base/reading", data=sent, headers=OWN).status_code == 303
    assert reading_rows(site.store, placement_of(site.store, "crane-base"))[-1].at == typed


@pytest.mark.parametrize(
    ("headers", "code"),
    [
        ({"Host": "evil.example:8765", "Origin": "http://evil.example:8765"}, 421),
        ({"Host": "192.168.1.7:8765", "Origin": "http://192.168.1.7:8765"}, 421),
        ({"Host": "127.0.0.1.evil.example"}, 421),
        ({"Host": "127.0.0.1:99999"}, 421),
        (HERE, 403),
        ({**HERE, "Origin": "null"}, 403),
        ({**HERE, "Origin": "http://evil.example"}, 403),
        ({**HERE, "Origin": "https://127.0.0.1:8765"}, 403),
        ({**OWN, "Sec-Fetch-Site": "cross-site"}, 403),
        ({**OWN, "Content-Type": "application/json"}, 415),
        ({**OWN, "Content-Type": "multipart/form-data; boundary=x"}, 415),
    ],
)
def test_a_strange_host_or_origin_writes_nothing(
    site: Site, headers: dict[str, str], code: int
) -> None:
    client, csrf = phone(site)
    before = rows(site)
    answer = client.post("/job/crane-base/reading", data=form(csrf), headers=headers)
    assert answer.status_code == code
    sane(answer)
    assert rows(site) == before
    assert "post-foot" not in answer.text


@pytest.mark.parametrize("token", ["", "x", "another token", "é"])
def test_a_wrong_token_writes_nothing(site: Site, token: str) -> None:
    client, _ = phone(site)
    before = rows(site)
    answer = client.post("/job/crane-base/reading", data=form(token), headers=OWN)
    assert answer.status_code == 403
    other, csrf = site.app.test_client(), phone(site)[1]  # the token of another browser
    answer = other.post("/job/crane-base/reading", data=form(csrf), headers=OWN)
    assert answer.status_code == 403
    assert rows(site) == before


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "X"])
def test_other_methods_are_refused(site: Site, method: str) -> None:
    for path in ("/", "/job/crane-base", "/job/crane-base/reading", "/nothing"):
        answer = site.app.test_client().open(path, method=method, headers=OWN)
        assert answer.status_code == 405
        sane(answer)
    assert site.app.test_client().get("/job/crane-base/undo", headers=HERE).status_code == 405


PATHS = [
    "/job/../crane-base/reading/", "/static/../app.py", "/static/..%2fapp.py", "/job/%00",
    "/static/%2e%2e/%2e%2e/errors.py", "/job/crane-base;x", "/static/",
    "/job/" + "x" * 5000, "/job/%ff%fe", "/static/....//app.py", "/static//etc/passwd",
]  # fmt: skip


@pytest.mark.parametrize("path", PATHS)
def test_path_tricks_lead_nowhere(site: Site, path: str) -> None:
    answer = site.app.test_client().get(path, headers=HERE)
    assert answer.status_code in (303, 308, 400, 404)
    sane(answer)
    assert "import" not in answer.text
    if answer.status_code in (303, 308):
        assert urlsplit(answer.headers["Location"]).netloc in ("", "127.0.0.1:8765")


ODD = st.text(max_size=60) | st.sampled_from([SCRIPT, "../..", "\0", "41", "-0", "1e999", "NaN"])


@settings(max_examples=60)
@given(
    fields=st.dictionaries(
        st.sampled_from(["value", "unit", "where", "when", "depth", "at", "sent", "key", "deed",
                         "last", "csrf", "x"]), ODD, max_size=6),
    action=st.sampled_from(["reading", "deed", "undo", SCRIPT]),
    job=st.sampled_from(["crane-base", "no-such", SCRIPT]),
    accept=st.sampled_from(["application/json", "text/html", ""]),
    known=st.booleans(),
)  # fmt: skip
def test_any_form_is_taken_or_refused(
    site: Site, fields: dict[str, str], action: str, job: str, accept: str, known: bool
) -> None:
    client, csrf = phone(site)
    sent = {**({"csrf": csrf} if known else {}), **fields}
    answer = client.post(f"/job/{job}/{action}", data=sent, headers={**OWN, "Accept": accept})
    sane(answer)
    assert "<script>alert" not in answer.text
    assert "<img" not in answer.text
    sane(client.get("/job/crane-base", headers=HERE))


@settings(max_examples=60)
@given(
    host=st.text(max_size=30) | st.sampled_from(["[::1", "127.0.0.1@evil", "0x7f.1", "[::1]:1"]),
    path=st.text(st.characters(codec="utf-8", exclude_characters="\r\n"), max_size=40),
)
def test_any_host_and_path_is_answered(site: Site, host: str, path: str) -> None:
    host = "".join(c for c in host if 32 < ord(c) < 127)
    answer = site.app.test_client().get("/" + path.lstrip("/"), headers={"Host": host})
    sane(answer)
    if not re.fullmatch(r"(localhost|127(\.\d+){3}|\[[0-9a-f:.]+\])(:\d*)?", host.lower()):
        assert answer.status_code == 421


def test_script_in_names_and_notes_is_shown_harmless(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    step = Step(Markup("<svg></svg>"), SCRIPT, SCRIPT, (SCRIPT,))
    night = Night(SCRIPT, SCRIPT, True, (SCRIPT,))
    glance = Glance(
        NOW, None, SCRIPT, (SCRIPT,), SCRIPT, (step,), (step,), (step,), (step,), SCRIPT, True,
        True, 9.0, night, (SCRIPT,),
    )  # fmt: skip
    monkeypatch.setattr(site.answers, "ask", lambda *_: Shown(glance, True))
    for path in ("/job/crane-base", "/"):
        page = site.app.test_client().get(path, headers=HERE)
        assert page.status_code == 200
        assert "&lt;script&gt;" in page.text
        assert "<script>alert" not in page.text
        assert "<img" not in page.text


def test_what_is_old_is_never_shown_as_allowed(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    step = Step(Markup(""), "walk on it", "on readings")
    night = Night("", "", False, ())
    glance = Glance(NOW, None, "now", (), "", (step,), (), (), (), "", False, True, None, night, ())
    for current in (True, False):
        monkeypatch.setattr(site.answers, "ask", lambda *_, c=current: Shown(glance, c))
        page = site.app.test_client().get("/job/crane-base", headers=HERE).text
        assert ("You may now" in page) == current
        assert ("nothing is to be read as allowed" in page) != current


def test_closed_and_unknown_jobs_are_not_there(tmp_path: Path) -> None:
    with open_slabs(tmp_path, "one", "two") as store:
        close_job(store, placement_of(store, "two").job, NOW)
        client = make_site(store).app.test_client()
        for name in ("two", "three"):
            answer = client.get(f"/job/{name}", headers=HERE)
            assert answer.status_code == 404
            assert "No job of that name is open." in answer.text


def test_nothing_is_told_to_a_phone_that_is_not_paired(shared: Site) -> None:
    client = shared.app.test_client()
    there = {"Host": "192.168.1.7:8765"}
    for path in ("/", "/job/crane-base", "/job/no-such", "/nothing"):
        answer = client.get(path, headers=there)
        assert (answer.status_code, answer.headers["Location"]) == (303, "/pair")
        assert "crane-base" not in answer.text.replace(path, "")
    page = client.get("/pair", headers=there)
    assert page.status_code == 200
    assert "crane" not in page.text
    csrf = re.search(r'name="csrf" value="([^"]+)"', page.text)[1]  # type: ignore[index]
    own = {**there, "Origin": "http://192.168.1.7:8765"}
    before = rows(shared)
    answer = client.post("/job/crane-base/reading", data=form(csrf), headers=own)
    assert answer.status_code == 403
    assert rows(shared) == before
    assert client.get("/", headers={"Host": "evil.example"}).status_code == 421


def test_a_code_pairs_one_phone_and_cannot_be_guessed(shared: Site) -> None:
    there = {"Host": "192.168.1.7:8765"}
    own = {**there, "Origin": "http://192.168.1.7:8765"}

    def try_code(code: str, address: str) -> tuple[int, FlaskClient, str]:
        client = shared.app.test_client()
        where = {"REMOTE_ADDR": address}
        page = client.get("/pair", headers=there, environ_overrides=where)
        csrf = re.search(r'name="csrf" value="([^"]+)"', page.text)[1]  # type: ignore[index]
        sent = {"csrf": csrf, "code": code}
        answer = client.post("/pair", data=sent, headers=own, environ_overrides=where)
        return answer.status_code, client, answer.headers.get("Set-Cookie", "")

    assert try_code("", "10.0.0.1")[0] == 403
    code = shared.codes[-1]
    status, client, cookie = try_code(code, "10.0.0.2")
    assert status == 303
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert client.get("/job/crane-base", headers=there).status_code == 200
    assert try_code(code, "10.0.0.3")[0] == 403  # it was good once
    assert shared.codes[-1] != code
    tries = [try_code("0000 0000", "10.0.0.4")[0] for _ in range(7)]
    assert tries == [403] * 5 + [429] * 2
    assert try_code(shared.codes[-1], "10.0.0.5")[0] == 403  # five wrong ones spoiled it


def test_a_cookie_of_another_key_or_of_this_computer_alone_does_not_pair(
    site: Site, shared: Site
) -> None:
    client, _ = phone(site)  # signed by the same key, but never paired
    cookie = client.get_cookie("curecast", domain="127.0.0.1")
    assert cookie is not None
    stranger = shared.app.test_client()
    stranger.set_cookie("curecast", cookie.value, domain="127.0.0.1")
    assert stranger.get("/", headers=HERE).headers["Location"] == "/pair"
    stranger.set_cookie("curecast", "eyJwYWlyZWQiOnRydWV9.forged.forged", domain="127.0.0.1")
    assert stranger.get("/", headers=HERE).headers["Location"] == "/pair"


def raw(site: Site, request: bytes) -> bytes:
    """Bytes sent as they are, and the head of what comes back."""
    parts = urlsplit(site.address)
    with socket.create_connection((parts.hostname, parts.port), timeout=10) as sock:
        sock.sendall(request)
        answer = b""
        while b"\r\n\r\n" not in answer and (more := sock.recv(4096)):
            answer += more
        return answer


def test_over_the_wire(site: Site) -> None:
    limited = replace(site, app=make_site(site.store, burst=60).app)
    with served(limited, working=False):
        host = limited.address.removeprefix("http://").encode()
        head = b"POST /job/crane-base/reading HTTP/1.1\r\nHost: " + host + b"\r\n"
        huge = head + b"Content-Length: 10485760\r\n\r\n"
        assert raw(limited, huge).split()[1] == b"413"
        body = b"x" * 20000
        kind = b"Content-Type: application/x-www-form-urlencoded\r\nContent-Length: 20000\r\n\r\n"
        assert raw(limited, head + kind + body).split()[1] == b"413"
        long = b"GET / HTTP/1.1\r\nHost: " + host + b"\r\nX: " + b"y" * 70000 + b"\r\n\r\n"
        assert raw(limited, long).split()[1] == b"431"
        for junk in (b"\0\0\0\0\r\n\r\n", b"GET\r\n\r\n", b"GET / HTTP/9.9\r\nHost: x\r\n\r\n"):
            assert not raw(limited, junk).startswith((b"HTTP/1.1 5", b"HTTP/1.0 5"))
        get = b"GET /job/crane-base HTTP/1.1\r\nHost: " + host + b"\r\nConnection: close\r\n\r\n"
        with ThreadPoolExecutor(12) as hands:
            codes = [a.split()[1] for a in hands.map(lambda _: raw(limited, get), range(120))]
        assert set(codes) == {b"200", b"429"}
        assert codes.count(b"200") <= 80
