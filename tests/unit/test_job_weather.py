"""What a job says about its weather: sources, height, and the months of its climate."""

from __future__ import annotations

import pytest

from curecast.errors import JobError
from curecast.job.layout import MONTHS, Job
from curecast.job.reader import parse_job

LEAST = (
    'curecast = 1\nname = "a"\nunits = "si"\n[slab]\nlength = "2.4 m"\nwidth = "2.4 m"\n'
    'thickness = "200 mm"\n'
)
TWELVE = ", ".join(f'"{c} C"' for c in (-5, -4, 0, 6, 12, 17, 20, 19, 15, 9, 4, -2))


def with_lines(lines: str) -> Job:
    return parse_job(LEAST + lines)


def mistakes(lines: str) -> str:
    with pytest.raises(JobError) as caught:
        with_lines(lines)
    return "; ".join(f"{p.key}: {p.message} {p.hint}" for p in caught.value.problems)


def test_sources_in_their_order_each_once() -> None:
    assert parse_job(LEAST).site.sources == ()
    job = with_lines('[site]\nsources = ["Open-Meteo", "nws", "open-meteo"]\nlapse = true\n')
    assert job.site.sources == ("open-meteo", "nws")
    assert job.site.lapse
    assert with_lines('[site]\nsources = "met-norway"\n').site.sources == ("met-norway",)


def test_an_unknown_source_is_named_with_the_nearest() -> None:
    assert 'did you mean "met-norway"?' in mistakes('[site]\nsources = ["met norway"]\n')


def test_the_months_in_either_form() -> None:
    listed = with_lines(f"[climate]\nnormals = [{TWELVE}]\n").climate.normals_c
    assert listed[:3] == (-5.0, -4.0, 0.0)
    assert len(listed) == 12
    each = "".join(f'{m} = "{c} C"\n' for m, c in zip(MONTHS, listed, strict=True))
    job = with_lines(f"[climate]\n{each}")
    assert job.climate.normals_c == listed
    assert "climate.normals" not in {a.key for a in job.assumed}
    assert "climate.normals" in {a.key for a in parse_job(LEAST).assumed}


def test_a_year_with_holes_is_refused() -> None:
    assert "feb, mar" in mistakes('[climate]\njan = "0 C"\n')
    assert "2 months" in mistakes('[climate]\nnormals = ["0 C", "1 C"]\n')
    assert "twice" in mistakes(f'[climate]\nnormals = [{TWELVE}]\njan = "0 C"\n')
    assert "outside" in mistakes('[climate]\njan = "80 C"\n')
    assert "unit" in mistakes("[climate]\njan = -3\n").lower()
