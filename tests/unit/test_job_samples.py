"""The sample jobs are sound, and say what they are meant to say."""

from __future__ import annotations

from pathlib import Path

import pytest

from curecast.job.layout import Job
from curecast.job.reader import read_job

SAMPLES = Path(__file__).resolve().parents[2] / "sample_jobs"


@pytest.fixture(scope="module")
def crane() -> Job:
    return read_job(SAMPLES / "crane-base.toml")


@pytest.fixture(scope="module")
def pad() -> Job:
    return read_job(SAMPLES / "spring-pad.toml")


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.toml")), ids=lambda p: p.stem)
def test_each_sample_is_sound_and_alerts_nobody(path: Path) -> None:
    job = read_job(path)
    assert job.name == path.stem
    assert all(alert.to == "desktop:" for alert in job.alerts)
    assert (job.site.contact or "").endswith("example.org")


def test_the_crane_s_foot(crane: Job) -> None:
    slab, machine = crane.slab, crane.equipment
    assert (slab.length_m, slab.width_m, slab.thickness_m) == (2.4, 2.4, 0.2)
    assert (machine.weight_kg, machine.reach_m, machine.strength_mpa) == (250.0, 2.5, 24.0)
    assert (machine.anchors, machine.anchor_size_m, machine.lifting) == (4, 0.020, True)
    assert crane.site.exposure == "shed"
    assert (crane.mix.preset, crane.mix.bag_kg, crane.units) == ("bag", 25.0, "si")


def test_the_pad_in_spring(pad: Job) -> None:
    assert pad.slab.length_m == pytest.approx(3.048)
    assert pad.slab.width_m == pytest.approx(2.4384)
    assert pad.slab.thickness_m == pytest.approx(0.127)
    assert (pad.site.exposure, pad.units) == ("open", "us")
    assert pad.mix.preset == "ready-mix-air"
