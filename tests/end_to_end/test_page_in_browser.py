"""The page in a real browser: logged in two taps, without signal, undone, paired, for everyone."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Iterator
from importlib.resources import files
from typing import Any

import pytest

from curecast.store.readings import reading_rows, readings
from curecast.store.record import events
from curecast.store.rows import Reading
from tests.fixtures.slab_page import Site, make_site, open_slabs, placement_of, served

NAMES = ("chromium", "chromium-browser", "google-chrome")
BROWSER = next((found for name in NAMES if (found := shutil.which(name))), None)
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no Chromium is installed here")
sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed here")

FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update",
]  # fmt: skip
JOBS = ("one", "two", "three", "four", "five", "six")
Page = Any
Open = Callable[..., Page]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    home = tmp_path_factory.mktemp("page")
    with open_slabs(home, *JOBS) as store, served(make_site(store)) as site:
        yield site


@pytest.fixture(scope="module")
def still(site: Site) -> Iterator[Site]:
    """The same store behind a page that works nothing out: entries need no more."""
    with served(make_site(site.store), working=False) as still:
        yield still


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    with sync_api.sync_playwright() as player:
        browser = player.chromium.launch(executable_path=BROWSER, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def visit(chromium: Any) -> Iterator[Open]:
    """Opens an address on a new phone; what it says on its console is a failure."""
    phones, said = [], []

    def go(address: str, *, width: int = 360, js: bool = True, scheme: str = "light") -> Page:
        phone = chromium.new_context(
            viewport={"width": width, "height": 740 if width < 800 else 900},
            java_script_enabled=js,
            color_scheme=scheme,
        )
        phones.append(phone)
        phone.set_default_timeout(40000)
        page = phone.new_page()
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto(address)
        return page

    yield go
    for phone in phones:
        phone.close()
    assert said == []


def rows(site: Site, name: str) -> tuple[Reading, ...]:
    return reading_rows(site.store, placement_of(site.store, name))


def wait_for(what: Callable[[], bool], page: Page) -> None:
    """Wait until something holds, letting the browser go on."""
    end = time.monotonic() + 40.0
    while not what():
        assert time.monotonic() < end, page.inner_text("body")[:800]
        page.wait_for_timeout(50)


def test_a_number_and_one_tap(site: Site, visit: Open) -> None:
    page = visit(f"{site.address}/job/one")
    page.get_by_text("Log a reading").last.click()
    page.keyboard.type("6")
    page.get_by_label("More").click()
    assert page.inner_text("#what") == "surface 6.5 °C"
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Logged: surface 6.5 °C").wait_for()
    assert [(r.where, r.value_c) for r in rows(site, "one")] == [("surface", 6.5)]
    page.wait_for_selector("#standing[data-current='1']")  # worked out with it, by itself
    assert "walk on it" in page.inner_text("#standing")
    assert "You may now" in page.inner_text("#standing")
    assert "surface 6.5" in page.inner_text("#entries")
    page.get_by_label("°F").check()
    page.get_by_label("air", exact=True).check()
    page.fill("#value", "41")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Logged: air 5 °C").wait_for()
    page.reload()
    assert page.is_checked("input[value=F]")
    assert page.is_checked("input[value=air]")


def test_without_signal_each_reading_waits_and_is_sent_once(site: Site, visit: Open) -> None:
    page = visit(f"{site.address}/job/two")
    page.context.set_offline(True)
    for value in ("7", "-1"):
        page.fill("#value", value)
        page.get_by_role("button", name="Log it").click()
    page.get_by_role("button", name="Blanket on").click()
    page.get_by_text("3 entries wait on this phone").wait_for()
    assert "loading it again without signal is not promised" in page.inner_text("#signal")
    assert page.is_visible("#old") or page.get_attribute("#standing", "data-current") == "0"
    assert rows(site, "two") == ()
    # An answer that is lost on the way back: the reading is kept, the phone does not know.
    page.route("**/reading", _lose_the_answer, times=1)
    page.context.set_offline(False)
    wait_for(lambda: len(rows(site, "two")) >= 1, page)
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_for(lambda: len(events(site.store, placement_of(site.store, "two"))) == 1, page)
    page.wait_for_selector("#signal:empty", state="attached")
    assert [r.value_c for r in rows(site, "two")] == [7.0, -1.0]
    assert page.evaluate("localStorage.length") == 1
    page.wait_for_selector("#standing[data-current='1']")
    assert "only a strength test lifts the bar" in page.inner_text("#standing")  # it read -1 °C


def _lose_the_answer(route: Any) -> None:
    route.fetch()
    route.abort()


def test_what_is_refused_is_told_and_kept_in_sight(still: Site, visit: Open) -> None:
    page = visit(f"{still.address}/job/three")
    page.fill("#value", "300")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("300 °C cannot be at the surface").wait_for()
    page.get_by_role("button", name="I have seen that").click()
    assert page.inner_text("#signal") == ""
    # Typed without signal while the phone's clock ran an hour ahead.
    page.context.set_offline(True)
    page.evaluate("{ const real = Date.now; Date.now = () => real.call(Date) + 36e5; }")
    page.fill("#value", "8")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("1 entry waits").wait_for()
    page.evaluate("{ const fast = Date.now; Date.now = () => fast.call(Date) - 36e5; }")
    page.context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")
    page.get_by_text("lies in the future").wait_for()
    assert rows(still, "three") == ()


def test_undo_and_two_phones(still: Site, visit: Open) -> None:
    ada, ben = (visit(f"{still.address}/job/four") for _ in range(2))
    for page, value in ((ada, "9"), (ben, "10")):
        page.fill("#value", value)
        page.get_by_role("button", name="Log it").click()
        page.get_by_text(f"Logged: surface {value} °C").wait_for()
    assert [r.value_c for r in rows(still, "four")] == [9.0, 10.0]
    ben.locator("#entries", has_text="surface 10 °C").wait_for()
    ben.route("**/job/four", lambda route: route.abort())  # it does not look again by itself
    ada.reload()
    assert "surface 10 °C" in ada.inner_text("#entries")
    ada.context.set_offline(True)
    ada.get_by_role("button", name="Undo this one").click()
    ada.get_by_text("No signal: nothing was taken back").wait_for()
    ada.context.set_offline(False)
    ada.get_by_role("button", name="Undo this one").click()
    ada.get_by_text("Taken back: surface 10 °C").wait_for()
    ada.locator("#entries", has_text="surface 9 °C").wait_for()
    # The other page still shows the entry that is gone; it takes back nothing else.
    ben.get_by_role("button", name="Undo this one").click()
    ben.get_by_text("not the last one any more").wait_for()
    standing = readings(still.store, placement_of(still.store, "four"))
    assert [r.value_c for r in standing] == [9.0]


def test_without_script_the_essentials_work(still: Site, visit: Open) -> None:
    page = visit(f"{still.address}/", js=False)
    assert page.locator(".slabs li").count() == len(JOBS)
    page.get_by_role("link", name="five").click()
    page.fill("#value", "48.5")
    page.check("input[value=F]")
    page.get_by_role("button", name="Log it").click()
    assert "Logged: surface 9.2 °C (48.5 °F)" in page.inner_text("#told")
    page.get_by_role("button", name="Blanket on").click()
    assert "covered, 1 layer" in page.inner_text("#entries")
    page.get_by_role("button", name="Undo this one").click()
    assert "Taken back: covered" in page.inner_text("#told")
    page.fill("#value", "cold")
    page.get_by_role("button", name="Log it").click()
    assert "not a temperature" in page.inner_text("#told")
    assert page.input_value("#value") == "cold"
    assert [round(r.value_c or 0.0, 2) for r in rows(still, "five")] == [9.17]


def test_by_keyboard_alone(still: Site, visit: Open) -> None:
    page = visit(f"{still.address}/job/six", width=1280)
    seen = set()
    for _ in range(30):
        page.keyboard.press("Tab")
        seen.add(page.evaluate("document.activeElement.id || document.activeElement.textContent"))
        if page.evaluate("document.activeElement.id") == "value":
            break
    page.keyboard.type("11.5")
    page.keyboard.press("Enter")
    page.get_by_text("Logged: surface 11.5 °C").wait_for()
    ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert ring == "solid"
    assert [r.value_c for r in rows(still, "six")] == [11.5]


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1280, "dark")])
def test_it_fits_and_anyone_can_use_it(
    site: Site, still: Site, visit: Open, width: int, scheme: str
) -> None:
    rules = files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
    page = visit(f"{site.address}/job/one", width=width, scheme=scheme)
    page.wait_for_selector("#standing[data-current='1']")
    for path in ("", "/?all", "/job/nowhere"):
        if path:
            page.goto(still.address + path)
        over = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(over) == 0
        page.evaluate(rules)
        tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
        found = page.evaluate("tags => axe.run({runOnly: tags})", tags)
        assert [(v["id"], [n["html"] for n in v["nodes"]]) for v in found["violations"]] == []
    if width == 360:
        page.goto(f"{site.address}/job/one")
        for box in page.locator("button:visible, .pill:visible, .jump").all():
            size = box.bounding_box()
            assert size["height"] >= 44
            assert size["width"] >= 44


def test_a_phone_is_paired_by_the_code(site: Site, visit: Open) -> None:
    shared = make_site(site.store, share=True)
    with served(shared, working=False):
        page = visit(f"{shared.address}/job/one")
        assert "Pair this phone" in page.inner_text("h1")
        assert "one" not in page.inner_text("main").replace("phone", "").split()
        page.fill("#code", "1234 5678")
        page.get_by_role("button", name="Pair").click()
        assert "not the code" in page.inner_text("main")
        page.fill("#code", shared.codes[-1])
        page.get_by_role("button", name="Pair").click()
        page.get_by_role("link", name="one").click()
        page.fill("#value", "12")
        page.get_by_role("button", name="Log it").click()
        page.get_by_text("Logged: surface 12 °C").wait_for()
        other = visit(f"{shared.address}/")
        other.fill("#code", shared.codes[0])  # spent
        other.get_by_role("button", name="Pair").click()
        assert "not the code" in other.inner_text("main")


def test_it_prints_without_its_buttons(site: Site, visit: Open) -> None:
    page = visit(f"{site.address}/job/one", width=1280)
    page.emulate_media(media="print")
    assert page.is_visible("#standing")
    assert page.locator("button:visible").count() == 0
    assert page.pdf().startswith(b"%PDF-")
