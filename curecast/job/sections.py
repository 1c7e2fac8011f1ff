"""A section's TOML values -> attributes in SI; unknown keys with the nearest known one."""

from __future__ import annotations

import difflib
from typing import Any

from curecast.errors import InputError
from curecast.job.fields import is_unknown, say_value
from curecast.job.findings import Findings
from curecast.job.keys import HOLD, LISTS, SECTIONS, TOP, Key, Values
from curecast.job.layout import HOLDS
from curecast.job.lines import Path

_ALL_KEYS = SECTIONS | LISTS | {"hold.NAME": HOLD}


def read_keys(
    table: dict[str, Any], keys: dict[str, Key], path: Path, findings: Findings
) -> Values:
    """Read the keys of one section.

    Returns
    -------
    dict
        Attribute to value, without what is absent, unknown or wrong; mistakes go to ``findings``.
    """
    values: Values = {}
    for key, said in table.items():
        if key not in keys:
            findings.add((*path, key), f"unknown key {say_value(key)}", _where(key, keys, path))
        elif is_unknown(said) and keys[key].required:
            findings.add((*path, key), "this has to be known", "measure it, or ask the maker")
        elif not is_unknown(said):
            try:
                values[keys[key].attr] = keys[key].read(said, findings.units)
            except InputError as error:
                findings.add_error((*path, key), error)
    for key, spec in keys.items():
        if spec.required and key not in table:
            findings.add((*path, key), "this is missing", _example(key, path))
    return values


def _example(key: str, path: Path) -> str:
    known = {
        "curecast": "begin the file with curecast = 1",
        "name": 'give the job a name, as in name = "crane-base"',
        "reason": "a hold's own need is only taken with a reason",
        "to": "say where the alert goes",
    }
    section = ".".join(str(p) for p in path if isinstance(p, str))
    return known.get(key, f'add {key} = "..." with its unit under [{section}]')


def _where(key: str, keys: dict[str, Key], path: Path) -> str:
    """The nearest known key here, or the section where this key belongs."""
    sections = tuple(SECTIONS) + tuple(LISTS)
    known = (*keys, *(sections if not path else ()))
    near = difflib.get_close_matches(key, known, n=1, cutoff=0.75)
    if near:
        return f'did you mean "{near[0]}"?'
    homes = [section for section, their in _ALL_KEYS.items() if key in their]
    if homes:
        return "it belongs in " + " or ".join(f"[{home}]" for home in homes)
    near = difflib.get_close_matches(key, known, n=1)
    return f'did you mean "{near[0]}"?' if near else "known here: " + ", ".join(known)


def read_top(data: dict[str, Any], findings: Findings) -> Values:
    """Read what stands above the first section, and refuse sections that nobody knows."""
    known = {*SECTIONS, *LISTS, "hold"}
    top = {key: value for key, value in data.items() if key not in known}
    layout = top.get("curecast")
    if isinstance(layout, int) and not isinstance(layout, bool) and layout > 1:
        findings.add(("curecast",), f"layout {layout} is newer than this curecast reads (1)")
        top["curecast"] = 1
    return read_keys(top, TOP, (), findings)


def read_section(data: dict[str, Any], section: str, findings: Findings) -> Values:
    """Read one section that may stand once."""
    table = data.get(section, {})
    if not isinstance(table, dict):
        hint = "write it with single brackets" if isinstance(table, list) else ""
        findings.add((section,), f"{section} is a section", hint or f"write [{section}]")
        return {}
    return read_keys(table, SECTIONS[section], (section,), findings)


def read_list(data: dict[str, Any], section: str, findings: Findings) -> list[Values]:
    """Read a section that may stand several times."""
    tables = data.get(section, [])
    if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
        findings.add((section,), f"{section} may stand several times", f"write [[{section}]]")
        return []
    return [
        read_keys(table, LISTS[section], (section, n), findings) for n, table in enumerate(tables)
    ]


def read_holds(data: dict[str, Any], findings: Findings) -> dict[str, Values]:
    """Read the needs that a job gives to single holds."""
    tables = data.get("hold", {})
    if not isinstance(tables, dict):
        findings.add(("hold",), "hold is a section for each hold", "write [hold.full-torque]")
        return {}
    found: dict[str, Values] = {}
    for name, table in tables.items():
        if name not in HOLDS:
            near = difflib.get_close_matches(name, HOLDS, n=1)
            hint = f'did you mean "{near[0]}"?' if near else "holds are " + ", ".join(HOLDS)
            findings.add(("hold", name), f"there is no hold {say_value(name)}", hint)
        elif not isinstance(table, dict):
            findings.add(("hold", name), "this is a section", f"write [hold.{name}]")
        else:
            found[name] = read_keys(table, HOLD, ("hold", name), findings)
            if not {"strength", "age"} & table.keys():
                findings.add(("hold", name), "neither strength nor age is given here")
    return found
