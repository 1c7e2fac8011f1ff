"""Any text is a job or a JobError; any answers make a file that can be read."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from curecast.errors import JobError
from curecast.job.keys import LISTS, SECTIONS
from curecast.job.layout import Job
from curecast.job.lines import Path as KeyPath
from curecast.job.lines import key_lines
from curecast.job.reader import lint_lines, parse_job
from curecast.job.template import QUESTIONS, render_job

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"
SAMPLE = (SAMPLES / "crane-base.toml").read_text(encoding="utf-8")


def outcome(text: str) -> Job | JobError:
    try:
        return parse_job(text, "f.toml")
    except JobError as error:
        return error


def is_one_sentence_each(found: Job | JobError) -> bool:
    if isinstance(found, Job):
        return True
    lines = lint_lines(found.problems, "f.toml")
    return bool(found.message) and all(line and len(line) < 600 for line in lines)


@given(st.text(max_size=200))
def test_any_text(text: str) -> None:
    assert is_one_sentence_each(outcome(text))


scalars = st.one_of(
    st.sampled_from(
        ["1", "0", "-3", "1.5", "nan", "-inf", "true", "false", '"unknown"', '"8 in"', '"41F"',
         '"5C"', '"R3 US"', '"72 h"', '"24 MPa"', '""', '"mon-sat"', '"8:00"', '"3,500 psi"',
         "2026-01-01", "08:00:00", "[]", "{}", '["8 in", 3]', "[[1]]", '{ a = "b" }', "8 in",
         "'5 ft 6 in'", '"\\u0000"', "1979-05-27T07:32:00Z", "99999999999999999999"]
    ),
    st.text(max_size=12).map(lambda t: '"' + t.replace("\\", "").replace('"', "") + '"'),
)  # fmt: skip
all_keys = sorted({key for keys in (SECTIONS | LISTS).values() for key in keys} | {"naem", "x.y"})
rows = st.tuples(st.sampled_from(all_keys), scalars).map(lambda kv: f"{kv[0]} = {kv[1]}")
headers = st.sampled_from(
    [f"[{s}]" for s in SECTIONS]
    + [f"[[{s}]]" for s in LISTS]
    + ["[cover]", "[[slab]]", "[hold.drill]", "[hold]", "[hold.x]", "[slab.x]", "[nobody]"]
)


@settings(max_examples=300)
@given(st.lists(rows | headers, max_size=12))
@example(["[hold.drill]", "strength = {}"])
def test_text_that_looks_like_a_job(lines: list[str]) -> None:
    assert is_one_sentence_each(outcome('curecast = 1\nname = "x"\n' + "\n".join(lines)))


@settings(max_examples=200)
@given(st.integers(0, len(SAMPLE) - 1), st.integers(0, 12), st.text(max_size=3))
def test_a_sample_with_a_slip_of_the_pen(at: int, gone: int, added: str) -> None:
    assert is_one_sentence_each(outcome(SAMPLE[:at] + added + SAMPLE[at + gone :]))


def paths(value: Any, path: KeyPath = ()) -> set[KeyPath]:
    """Every key of a TOML document, with the entries of its lists of tables."""
    found: set[KeyPath] = {path} if path and isinstance(path[-1], str) else set()
    if isinstance(value, dict):
        for key, inner in value.items():
            found |= paths(inner, (*path, key))
    elif isinstance(value, list):
        for n, inner in enumerate(value):
            found |= paths(inner, (*path, n))
    return found


@settings(max_examples=300)
@given(st.lists(rows | headers, max_size=12))
@example(['a."b.c" = 1', "d = [{ e = 1 }, { e = 2 }]"])
@example(["x.y = 1", "x.z = 2"])
def test_every_key_has_its_line(lines: list[str]) -> None:
    text = "\n".join(lines)
    try:
        data = tomllib.loads(text)
    except ValueError:
        return
    found = key_lines(text)
    for path in paths(data):
        parts = [part for part in path if isinstance(part, str)]
        if path in found:
            assert parts[-1].split(".")[0] in text.split("\n")[found[path] - 1]
        else:  # a table that only its inner tables name, as in [hold.drill]
            assert any(other[: len(path)] == path for other in found) or data == {}


#: Sound answers, whichever of them are given; the slab is at least 2 ft wide and 12 in thick.
ANSWERS: dict[str, st.SearchStrategy[str]] = {
    "name": st.from_regex(r"[A-Za-z0-9][A-Za-z0-9\-]{0,30}", fullmatch=True),
    "units": st.sampled_from(["us", "si", "metric"]),
    "place": st.sampled_from(["44.10, -69.11", "44°06'00\"N 69°06'36\"W", "-33.9, 18.4"]),
    "zone": st.sampled_from(["America/New_York", "UTC", "Australia/Lord_Howe"]),
    "exposure": st.sampled_from(["open", "roofed", "shed", "roof"]),
    "length": st.sampled_from(["8 ft", "2,4 m", "5' 6\"", "240 cm", "24 in"]),
    "width": st.sampled_from(["8 ft", "2.4 m", "2 ft"]),
    "thickness": st.sampled_from(["6 in", "200 mm", "5 1/2 in", "1 ft"]),
    "preset": st.sampled_from(["bag", "bag-high-early", "ready-mix", "ready-mix-air"]),
    "strength": st.sampled_from(["4000 psi", "24 MPa", "30 N/mm2"]),
    "bag": st.sampled_from(["80 lb", "25 kg"]),
    "blankets": st.integers(0, 10).map(str),
    "equipment": st.text(max_size=40).filter(
        lambda t: all(c.isprintable() for c in " ".join(t.split()))
    ),
    "weight": st.sampled_from(["550 lb", "250 kg", "2.5 kN"]),
    "asked_strength": st.sampled_from(["24 MPa", "3000 psi"]),
    "anchors": st.integers(1, 64).map(str),
    "anchor_kind": st.sampled_from(["wedge", "adhesive", "cast-in", "glued"]),
    "torque": st.sampled_from(["60 ft-lb", "80 N m"]),
    "lifting": st.sampled_from(["yes", "no", "Y"]),
    "people": st.integers(1, 50).map(str),
    "hours": st.sampled_from(["8:00-17:00", "7 to 15:30", "6am-6pm"]),
    "alert": st.sampled_from(["ada@example.org", "https://example.org/x", "desktop", "none"]),
    "contact": st.sampled_from(["ada@example.org", "https://example.org/yard"]),
}


def test_every_question_has_answers_here() -> None:
    assert list(ANSWERS) == [question.key for question in QUESTIONS]


@settings(max_examples=300)
@given(st.fixed_dictionaries({}, optional=ANSWERS))
def test_any_answers_make_a_file_that_can_be_read(answers: dict[str, str]) -> None:
    job = parse_job(render_job(answers))
    assert job.name == answers.get("name", "my-slab")
    if "people" in answers:
        assert job.crew.people == int(answers["people"])


LINES = [line.partition("  #")[0] for line in SAMPLE.splitlines() if line[:1] not in ("", "#")]
SPACE = st.text(" \t", max_size=3)


@given(st.lists(st.tuples(SPACE, st.sampled_from(["", "\n", "# why", "# a = 1\n"]))))
def test_spacing_and_comments_do_not_change_the_hash(dressing: list[tuple[str, str]]) -> None:
    dressed = list(LINES)
    for n, (space, comment) in enumerate(dressing):
        dressed[n % len(LINES)] = f"{space}{dressed[n % len(LINES)]}{space}{comment}"
    assert parse_job("\n".join(dressed)).hash == parse_job(SAMPLE).hash
