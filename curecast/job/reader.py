"""A job file -> a Job; every mistake at once, each with its line and what to do."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from curecast.errors import JobError
from curecast.job.fields import is_unknown
from curecast.job.findings import Findings, lint_lines
from curecast.job.keys import SECTIONS, Values
from curecast.job.layout import (
    MONTHS,
    AlertTo,
    Buying,
    Climate,
    Cover,
    Crew,
    Equipment,
    Ground,
    HoldOverride,
    Job,
    Mix,
    Placing,
    Protection,
    RuleChoice,
    Site,
    Slab,
)
from curecast.job.lines import key_lines
from curecast.job.sections import read_holds, read_list, read_section, read_top
from curecast.job.stand_ins import BOARD_R_M2K_W, find_assumed
from curecast.job.syntax import load_toml, read_text
from curecast.job.thresholds import THRESHOLDS
from curecast.job.whole import check_whole

__all__ = ["EXPOSURES", "content_hash", "lint_lines", "parse_job", "read_job"]

#: exposure -> sky view, sun, wind factor; ASSUMED but for the open.
EXPOSURES = {"open": (1.0, 1.0, 1.0), "roofed": (0.3, 0.2, 0.6), "shed": (0.0, 0.0, 0.2)}


def read_job(path: str | Path) -> Job:
    """Read a job file.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Job
        Everything in SI, with ``assumed`` naming each stand-in.

    Raises
    ------
    JobError
        With every mistake in ``problems``.
    """
    return parse_job(read_text(path), Path(path).name)


def parse_job(text: str, name_for_messages: str = "job file") -> Job:
    """Read a job file's text; see `read_job`."""
    data = load_toml(text, name_for_messages)
    findings = Findings(key_lines(text), _units(data))
    top = read_top(data, findings)
    sections = {section: read_section(data, section, findings) for section in SECTIONS}
    covers = read_list(data, "cover", findings)
    alerts = read_list(data, "alert", findings)
    holds = read_holds(data, findings)
    check_whole(sections, covers, findings)
    if findings.problems:
        many = len(findings.problems)
        problems = tuple(sorted(findings.problems, key=lambda p: p.line or 0))
        what = "1 mistake" if many == 1 else f"{many} mistakes"
        raise JobError(f"{name_for_messages}: {what}", problems, "mend the file and run it again")
    return Job(
        name=top["name"],
        units=findings.units,
        site=_site(sections["site"]),
        ground=_ground(sections["ground"]),
        slab=Slab(**sections["slab"]),
        mix=Mix(**sections["mix"]),
        placing=Placing(**sections["placement"]),
        covers=tuple(Cover(**{"r_m2k_w": 0.0, **cover}) for cover in covers),
        equipment=_equipment(sections["equipment"], data),
        crew=Crew(**sections["crew"]),
        protection=Protection(**sections["protection"]),
        rules=_rules(sections["rules"]),
        alerts=tuple(AlertTo(**alert) for alert in alerts),
        holds={
            name: HoldOverride(**{"strength_mpa": None, "age_h": None, **hold})
            for name, hold in holds.items()
        },
        assumed=find_assumed(data, findings.units),
        text=text,
        hash=content_hash(data),
        buying=Buying(**sections["buying"]),
        climate=_climate(sections["climate"]),
    )


def content_hash(data: dict[str, Any]) -> str:
    """SHA-256 of what a file says: comments, spacing and the order of keys do not matter."""
    canonical = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(canonical.encode("utf-8", "surrogatepass")).hexdigest()


def _units(data: dict[str, Any]) -> str:
    """The job's units; where it names none, as its thickness is written."""
    said = str(data.get("units", "")).strip().casefold()
    if said in ("us", "si"):
        return said
    slab = data.get("slab")
    thickness = str(slab.get("thickness", "")) if isinstance(slab, dict) else ""
    return "si" if thickness.rstrip().endswith(("m", "metres", "meters")) else "us"


def _site(values: Values) -> Site:
    latitude, longitude = values.pop("place", (None, None))
    sky_view, sun, wind = EXPOSURES[values.get("exposure", "open")]
    values = {"sky_view": sky_view, "sun": sun, "wind_factor": wind, **values}
    return Site(latitude=latitude, longitude=longitude, **values)


def _climate(values: Values) -> Climate:
    months = tuple(values[f"{m}_c"] for m in MONTHS if f"{m}_c" in values)
    return Climate(values.get("normals_c", months))


def _ground(values: Values) -> Ground:
    if values.get("under") == "board":
        values.setdefault("under_r_m2k_w", BOARD_R_M2K_W)
    elif "under_r_m2k_w" in values:
        values.setdefault("under", "board" if values["under_r_m2k_w"] > 0 else "none")
    return Ground(**values)


def _equipment(values: Values, data: dict[str, Any]) -> Equipment:
    """What somebody calls unknown of a machine is the stricter case; so is its use, if not said."""
    said = data.get("equipment")
    if said is not None and is_unknown(said.get("lifting", "unknown")):
        values["lifting"] = True
    if said is not None and is_unknown(said.get("anchor_kind")):
        values["anchor_kind"] = "adhesive"
    return Equipment(**values)


def _rules(values: Values) -> RuleChoice:
    own = {t.attr: values.pop(t.attr) for t in THRESHOLDS if t.attr in values}
    return RuleChoice(**values, thresholds=own)
