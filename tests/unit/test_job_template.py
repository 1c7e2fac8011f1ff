"""The questions of a new job, and the file that comes of the answers."""

from __future__ import annotations

import pytest

from curecast.errors import InputError, JobError
from curecast.job.questions import BY_KEY, Question
from curecast.job.reader import parse_job
from curecast.job.template import QUESTIONS, name_from_file, render_job, tidy_answer


def test_no_answers_at_all() -> None:
    text = render_job({})
    job = parse_job(text)
    assert job.name == "my-slab"
    assert text.count("MEASURE THIS") == 3
    assert {"site.place", "site.exposure", "mix.preset", "mix.strength"} <= {
        a.key for a in job.assumed
    }


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q.key)
def test_each_question_takes_its_own_example(question: Question) -> None:
    assert question.ask.endswith(("?", ".", ")"))
    for units in ("us", "si"):
        assert tidy_answer(question, question.instance({"units": units}))
    assert question.default in ("", question.example)


def test_examples_are_in_the_units_that_were_chosen() -> None:
    us = " ".join(q.instance({"units": "us"}) for q in QUESTIONS)
    si = " ".join(q.instance({"units": "si"}) for q in QUESTIONS)
    assert not {"m", "mm", "kg", "MPa", "N"} & set(us.split())
    assert not {"ft", "in", "lb", "psi", "ft-lb"} & set(si.split())


@pytest.mark.parametrize("answer", ["", "  ", "?", "unknown", "don't know", "UNKNOWN"])
def test_nobody_has_to_know(answer: str) -> None:
    for question in QUESTIONS:
        assert tidy_answer(question, answer) == ""
    assert render_job({q.key: answer for q in QUESTIONS}) == render_job({})


def test_the_answers_arrive() -> None:
    answers = {q.key: q.example for q in QUESTIONS} | {
        "units": "metric",
        "hours": "7-15:30",
        "alert": "ada@example.org",
        "equipment": 'the "old" crane \\ north',
        "lifting": "no",
        "anchor_kind": "glued",
        "length": "8' 6\"",
    }
    job = parse_job(render_job(answers))
    assert (job.name, job.units) == ("crane-base", "si")
    assert (job.site.latitude, job.site.exposure) == (44.10, "open")
    assert job.slab.length_m == pytest.approx(2.5908)
    assert (job.crew.from_h, job.crew.to_h) == (7.0, 15.5)
    assert job.alerts[0].to == "mailto:ada@example.org"
    assert job.equipment.name == 'the "old" crane \\ north'
    assert job.equipment.anchor_kind == "adhesive"
    assert not job.equipment.lifting


@pytest.mark.parametrize(
    ("key", "answer"),
    [
        ("length", "8"),
        ("length", "8 psi"),
        ("thickness", "2 mm"),
        ("name", "two words"),
        ("units", "imperial"),
        ("people", "two"),
        ("people", "0"),
        ("hours", "17:00-8:00"),
        ("hours", "8:00"),
        ("alert", "ada"),
        ("lifting", "maybe"),
        ("blankets", "1.5"),
        ("place", "Rockland"),
        ("torque", "60 lb"),
    ],
)
def test_an_answer_that_does_not_fit_is_refused(key: str, answer: str) -> None:
    with pytest.raises(InputError):
        tidy_answer(BY_KEY[key], answer)
    with pytest.raises(InputError):
        render_job({key: answer})


def test_a_european_class_is_its_cylinders() -> None:
    assert tidy_answer(BY_KEY["strength"], "C25/30") == "25 MPa"


def test_answers_that_do_not_go_together_are_refused() -> None:
    with pytest.raises(JobError):
        render_job({"length": "2 ft", "width": "2 ft", "thickness": "3 ft"})


def test_only_what_matters_is_asked() -> None:
    assert not BY_KEY["bag"].wanted({"preset": "ready-mix"})
    assert BY_KEY["bag"].wanted({})
    assert not BY_KEY["torque"].wanted({"equipment": ""})
    assert BY_KEY["torque"].wanted({"equipment": "winch"})
    assert BY_KEY["zone"].wanted({"place": "44.1, -69.1"})
    assert "\nbag = " not in render_job({"preset": "ready-mix", "bag": "25 kg"})
    assert "\n[equipment]" not in render_job({"equipment": "none"})
    assert "\n[[alert]]" not in render_job({"alert": "none"})


@pytest.mark.parametrize(
    ("stem", "name"),
    [("crane-base", "crane-base"), ("Crane base_2", "Crane-base-2"), ("---", "my-slab"),
     ("", "my-slab"), ("é" * 9, "my-slab"), ("x" * 99, "x" * 60)],
)  # fmt: skip
def test_a_name_from_the_file(stem: str, name: str) -> None:
    assert name_from_file(stem) == name
    assert parse_job(render_job({"name": name})).name == name
