"""The few questions that `curecast new` asks, in words that can be answered at the slab."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from curecast.clock import parse_span
from curecast.errors import InputError
from curecast.job.fields import Reader, is_unknown, whole
from curecast.job.keys import ALERT, EQUIPMENT, MIX, SITE, SLAB, TOP

Answers = Mapping[str, str]

#: Keys of the questions about what will stand on the slab.
MACHINE = ("equipment", "weight", "asked_strength", "anchors", "anchor_kind", "torque", "lifting")


@dataclass(frozen=True)
class Question:
    """One question.

    ``example`` is an answer in US units, ``example_si`` the same in SI where that differs;
    ``default`` is taken where nothing is answered. ``check`` takes an answer and gives it as it
    goes into the file, or raises InputError; "?" means "don't know" and needs no check, and so
    does nothing where there is no default. ``wanted`` tells from the answers so far whether the
    question is worth asking.
    """

    key: str
    ask: str
    example: str
    check: Callable[[str], str]
    wanted: Callable[[Answers], bool] = lambda answers: True
    example_si: str = ""
    default: str = ""

    def instance(self, answers: Answers) -> str:
        """The example in the units that were chosen."""
        return self.example_si if answers.get("units") == "si" and self.example_si else self.example


def tidy_answer(question: Question, answer: str) -> str:
    """An answer as it goes into the file; "" for "don't know".

    >>> tidy_answer(QUESTIONS[0], "?")
    ''
    """
    said = " ".join(answer.split())
    return "" if not said or is_unknown(said) else question.check(said)


def _as_written(read: Reader) -> Callable[[str], str]:
    def check(said: str) -> str:
        read(said, "us")
        return said

    return check


def _one_of(read: Reader, **also: str) -> Callable[[str], str]:
    """A choice; ``also`` maps other words that people answer with."""

    def check(said: str) -> str:
        return str(read(also.get(said.casefold(), said), "us"))

    return check


def _count(low: int, high: int) -> Callable[[str], str]:
    def check(said: str) -> str:
        if not re.fullmatch(r"[0-9]{1,6}", said):
            raise InputError(f'"{said}" is not a whole number', "write it bare, as in 2")
        return str(whole(low, high)(int(said), "us"))

    return check


def _yes_or_no(said: str) -> str:
    plain = said.casefold()
    if plain in ("y", "yes", "true"):
        return "true"
    if plain in ("n", "no", "false"):
        return "false"
    raise InputError(f'"{said}" is neither yes nor no', "answer yes or no")


def _hours(said: str) -> str:
    first, last = parse_span(said)
    if not first < last:
        raise InputError(f'"{said}" ends before it begins', "write it like 8:00-17:00")
    return said


def _strength(said: str) -> str:
    """A strength, also as a class of EN 206: its first figure is that of cylinders."""
    named = re.fullmatch(r"[Cc]\s?([0-9]{2,3})\s?/\s?[0-9]{2,3}", said)
    tidy = f"{named[1]} MPa" if named else said
    MIX["strength"].read(tidy, "us")
    return tidy


def _address(said: str) -> str:
    if said.casefold() in ("none", "no", "nobody"):
        return ""
    if re.fullmatch(r"[^@\s:/]+@[^@\s:/]+\.[^@\s:/]+", said):
        said = f"mailto:{said}"
    if said.casefold() == "desktop":
        said = "desktop:"
    return str(ALERT["to"].read(said, "us"))


def _machine(said: str) -> str:
    if said.casefold() in ("none", "no", "nothing"):
        return ""
    return str(EQUIPMENT["name"].read(said, "us"))


def _bagged(answers: Answers) -> bool:
    return not answers.get("preset", "").startswith("ready-mix")


def has_machine(answers: Answers) -> bool:
    """Whether anything is known of a machine on the slab."""
    return any(answers.get(key) for key in MACHINE)


#: Every question in the order in which it is asked.
QUESTIONS: tuple[Question, ...] = (
    Question("name", "What is the job called?", "crane-base", _as_written(TOP["name"].read)),
    Question(
        "units",
        "Inches and pounds (us), or millimetres and kilograms (si)?",
        "us",
        _one_of(TOP["units"].read, metric="si", inches="us"),
        default="us",
    ),
    Question(
        "place",
        "Where is it? Press long on the spot in your phone's map and copy the two numbers.",
        "44.10, -69.11",
        _as_written(SITE["place"].read),
    ),
    Question(
        "zone", "Which time zone is it in? Without it no local time can be told or read.",
        "America/New_York", _as_written(SITE["zone"].read),
    ),
    Question(
        "exposure",
        "Does it lie in the open, under a roof (roofed), or in an unheated shed?",
        "open",
        _one_of(SITE["exposure"].read, roof="roofed", outside="open", outdoors="open"),
    ),
    Question("length", "How long is the slab?", "8 ft", _as_written(SLAB["length"].read),
             example_si="2.4 m"),
    Question("width", "How wide?", "8 ft", _as_written(SLAB["width"].read), example_si="2.4 m"),
    Question("thickness", "How thick?", "8 in", _as_written(SLAB["thickness"].read),
             example_si="200 mm"),
    Question(
        "preset",
        "What is it poured from: bag, bag-high-early, ready-mix, or ready-mix-air?",
        "bag",
        _one_of(MIX["preset"].read, bags="bag", truck="ready-mix"),
    ),
    Question(
        "strength",
        "Which strength is printed on the bag, or written on the order?",
        "4000 psi",
        _strength,
        example_si="27.6 MPa",
    ),
    Question("bag", "How heavy is a bag?", "80 lb", _as_written(MIX["bag"].read), _bagged,
             "25 kg"),
    Question(
        "blankets", "How many curing blankets can lie over it, one on another?", "1",
        _count(0, 10),
    ),
    Question(
        "equipment", "What will stand on it? (none, if nothing is bolted down)", "pillar crane",
        _machine,
    ),
    Question(
        "weight", "How heavy is it?", "550 lb", _as_written(EQUIPMENT["weight"].read), has_machine,
        "250 kg",
    ),
    Question(
        "asked_strength",
        "Which strength of concrete does its maker's sheet ask for?",
        "3500 psi",
        _as_written(EQUIPMENT["strength"].read),
        has_machine,
        "24 MPa",
    ),
    Question("anchors", "How many anchors hold it?", "4", _count(1, 64), has_machine),
    Question(
        "anchor_kind",
        "Are they wedge, adhesive, or cast-in?",
        "wedge",
        _one_of(EQUIPMENT["anchor_kind"].read, glued="adhesive", expansion="wedge"),
        has_machine,
    ),
    Question(
        "torque", "Which torque does the sheet ask for?", "60 ft-lb",
        _as_written(EQUIPMENT["torque"].read), has_machine,
        "80 N m",
    ),
    Question(
        "lifting", "Does it lift, pull or shake? (yes or no)", "yes", _yes_or_no, has_machine
    ),
    Question("people", "How many people place it?", "2", _count(1, 50)),
    Question("hours", "Which hours can they work?", "8:00-17:00", _hours),
    Question(
        "alert",
        "Who is told, and how: an e-mail address, a webhook, desktop, or none?",
        "desktop",
        _address,
    ),
    Question(
        "contact",
        "Which e-mail or web address may the forecast services see? They ask who calls.",
        "you@example.org",
        _as_written(SITE["contact"].read),
        lambda answers: bool(answers.get("place")),
    ),
)  # fmt: skip

#: Question by key.
BY_KEY = {question.key: question for question in QUESTIONS}
