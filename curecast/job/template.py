"""A commented job file from a stranger's answers; what nobody knows says so in the file."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from curecast.clock import parse_span, show_time_of_day
from curecast.job.questions import (
    BY_KEY,
    MACHINE,
    QUESTIONS,
    Answers,
    Question,
    has_machine,
    tidy_answer,
)
from curecast.job.reader import parse_job

__all__ = ["QUESTIONS", "Question", "name_from_file", "render_job", "tidy_answer"]


@dataclass(frozen=True)
class _Row:
    """One line: its key, the question that fills it, its comment.

    ``value`` is a text to be written when there is no answer. ``bare`` values go without quotes.
    """

    key: str
    question: str = ""
    comment: str = ""
    value: str = "unknown"
    bare: bool = False


_HEAD = (
    "# A slab, and what will stand on it. What has a unit stands in quotes: "
    '"8 in", "200 mm",\n# "4000 psi", "24 MPa", "41F", "5C". Where nobody knows, leave '
    '"unknown": curecast check\n# then names what stands in.\n\ncurecast = 1'
)
_COVER = (
    "\n# A cover that is planned, from and to the start of placing; curecast best-day finds one.\n"
    '# [[cover]]\n# r = "R3 US"\n# from = "0 h"\n# to = "72 h"\n# laps = true'
)
_CLIMATE = (
    "\n# Mean air temperature of each month at the site, January first: for dates after the\n"
    '# forecast.\n# [climate]\n# normals = ["22F", "24F", "32F", "43F", "54F", "63F",\n'
    '#            "69F", "68F", "60F", "49F", "39F", "28F"]'
)
_HOLD = (
    "\n# A hold's own need, with its reason.\n"
    '# [hold.full-torque]\n# strength = "3500 psi"\n# reason = "the engineer asks for it"'
)
_MORE_OF_MACHINE = (
    "# The more of the sheet stands here, the more curecast check can reckon: reach (or moment),\n"
    "# shock, own_weight, pull, size, thickness, edge_distance, anchor_size, hole_depth,\n"
    '# embedment, spacing ("450 mm" between four anchors), base_plate, cure.'
)
_BUYING = (
    "\n# What curecast check buys and fetches with; prices in your own money, by the piece, by\n"
    "# the cubic yard (us) or the cubic metre (si).\n"
    '# [buying]\n# payload = "1000 lb"            # of your vehicle\n'
    '# minimum_load = "1 yd3"         # of the ready-mix plant\n'
    "# prices = { bag = 7.50, ready_mix = 180, gravel = 40, blanket = 45 }"
)
_HIRE = (
    "# What protection costs, beside each start of curecast best-day: hire by the day and piece,\n"
    "# fuel by the gallon (us) or the litre (si).\n"
    '# heater_fuel = "0.5 gal"        # burnt in an hour\n'
    '# currency = "USD"\n'
    "# prices = { blanket_day = 6, sheet_day = 1, heater_day = 40, heater_hour = 0, fuel = 4 }"
)
_NO_MACHINE = (
    "\n# [equipment]\n# The maker's sheet of what will be bolted down: name, weight, strength, "
    "anchors, torque."
)
_NO_CONTACT = '# contact = "you@example.org"     # the forecast services ask who calls'
#: The file: a text stands as it is, "[section]" opens one when it has a line.
_ROWS: tuple[_Row | str, ...] = (
    _HEAD,
    _Row("name", "name", value="my-slab"),
    _Row("units", "units", "what you read: us or si", "us"),
    "[site]",
    _Row("place", "place", "latitude, longitude, as a phone's map copies it"),
    _Row("zone", "zone", "as in America/New_York: times are read and shown in it"),
    _Row("exposure", "exposure", "open, roofed, or shed (gappy walls, unheated)"),
    _Row("contact", "contact", "the forecast services ask who calls"),
    _NO_CONTACT,
    '# sources = ["nws", "met-norway"] # in this order; open-meteo only where it is named\n'
    '# elevation = "40 ft"             # of the site; lapse = true corrects the air for it',
    "[ground]",
    _Row("temperature", comment="of the ground under the slab"),
    _Row("under", comment="sheet (vapour sheet), board (insulation board), or none"),
    "[slab]",
    _Row("length", "length", "inside the forms"),
    _Row("width", "width", "inside the forms"),
    _Row("thickness", "thickness", "at its thinnest"),
    _Row("reinforcement", comment="none, mesh, bars, or fibre"),
    "[mix]",
    _Row("preset", "preset", "bag, bag-high-early, ready-mix, or ready-mix-air"),
    _Row("strength", "strength", "as printed or ordered, at 28 days"),
    _Row("bag", "bag", "mass of one bag"),
    "[placement]",
    _Row("temperature", comment="of the fresh concrete, if it is promised"),
    "[equipment]",
    _Row("name", "equipment", "after the maker's sheet:"),
    _Row("weight", "weight"),
    _Row("strength", "asked_strength", "of the concrete, before full torque"),
    _Row("anchors", "anchors", bare=True),
    _Row("anchor_kind", "anchor_kind", "wedge, adhesive, or cast-in"),
    _Row("torque", "torque", "of one anchor"),
    _Row("lifting", "lifting", "does it lift, pull or shake", bare=True),
    "[crew]",
    _Row("people", "people", bare=True),
    _Row("from", "hours", "local time", "8:00"),
    _Row("to", "hours", "", "17:00"),
    _Row("days", comment="working days", value="mon-sun"),
    "[protection]",
    _Row("blankets", "blankets", "how many at hand, for one over another", bare=True),
    _Row("heater", comment="a heated tent over the slab", value="false", bare=True),
    _HIRE,
    "[[alert]]",
    _Row("to", "alert"),
    _COVER,
    _CLIMATE,
    _BUYING,
    _HOLD,
)
#: Nobody can do without these: the file begins with figures that have to be measured.
_TO_MEASURE = {
    "us": {"length": "8 ft", "width": "8 ft", "thickness": "6 in"},
    "si": {"length": "2.4 m", "width": "2.4 m", "thickness": "150 mm"},
}
_NOT_MEASURED = "MEASURE THIS: not known when the file was made"
_LEFT_OUT_UNKNOWN = ("alert", "contact")
_COLUMN = 33


def render_job(answers: Answers) -> str:
    """Write a job file.

    Parameters
    ----------
    answers : mapping of str to str
        By the keys of `QUESTIONS`; what is absent, empty or "?" is not known.

    Returns
    -------
    str
        TOML that `parse_job` reads.

    Raises
    ------
    InputError
        An answer that its question does not take; a JobError where answers do not go together.
    """
    known: dict[str, str] = {}
    for question in QUESTIONS:
        tidy = tidy_answer(question, answers.get(question.key, ""))
        if tidy:
            known[question.key] = tidy
    lines: list[str] = []
    section = ""
    for row in _ROWS:
        if isinstance(row, str) and row.startswith("["):
            section = row
        elif isinstance(row, str):
            lines += [] if row == _NO_CONTACT and known.get("contact") else [row]
        elif said := _line(row, known):
            lines += ["", section] if section else []
            section = ""
            lines.append(said)
    hint = _MORE_OF_MACHINE if "[equipment]" in lines else _NO_MACHINE
    lines.insert(lines.index("[crew]") - 1, hint)
    text = "\n".join(lines) + "\n"
    parse_job(text, "the new job file")
    return text


def name_from_file(stem: str) -> str:
    """A job's name from the name of its file.

    >>> name_from_file("Crane base_2")
    'Crane-base-2'
    """
    return re.sub(r"[^A-Za-z0-9]+", "-", stem).strip("-")[:60].rstrip("-") or "my-slab"


def _line(row: _Row, known: Answers) -> str:
    """One line of the file; "" where it has no place in this job."""
    value, comment, bare = row.value, row.comment, row.bare
    if row.question and not BY_KEY[row.question].wanted(known):
        return ""
    if row.question in MACHINE and not has_machine(known):
        return ""
    if row.question in known:
        value = known[row.question]
    elif row.question in _TO_MEASURE["us"]:
        value, comment = _TO_MEASURE[known.get("units", "us")][row.question], _NOT_MEASURED
    elif row.question in _LEFT_OUT_UNKNOWN:
        return ""
    else:
        bare = bare and value != "unknown"
    if row.question == "hours" and "hours" in known:
        value = show_time_of_day(parse_span(value)[row.key == "to"])
    said = f"{row.key} = {value if bare else json.dumps(value, ensure_ascii=False)}"
    return f"{said:<{_COLUMN}} # {comment}" if comment else said
