"""Which job is meant: a file, a name, or the only open one; and what governs after a pour."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from curecast.cli.app import execute
from curecast.cli.context import Context
from curecast.cli.jobs import find_job, stored_job
from curecast.cli.samples import find_samples
from curecast.errors import InputError, JobError
from curecast.job.reader import parse_job
from curecast.store.connection import Store
from curecast.store.jobs import save_job
from curecast.store.placements import choose_start, record_pour

AT = datetime(2027, 3, 12, 14, tzinfo=UTC)
TEXT = """\
curecast = 1
name = "{name}"
units = "si"
[site]
place = "44.10, -69.11"
zone = "America/New_York"
[slab]
length = "2.4 m"
width = "2.4 m"
thickness = "{thickness}"
"""


def text(name: str = "crane-base", thickness: str = "200 mm") -> str:
    return TEXT.format(name=name, thickness=thickness)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "crane-base.toml"
    path.write_text(text(), encoding="utf-8")
    return path


@pytest.fixture
def store() -> Iterator[Store]:
    with Context().store() as opened:
        yield opened


def keep(store: Store, name: str = "crane-base", *, poured: bool = False) -> None:
    version = save_job(store, name, text(name), parse_job(text(name)).hash, AT)
    choose_start(store, version.job, AT, version, AT)
    if poured:
        record_pour(store, version.job, AT, version, AT)


def test_a_file_needs_no_store(file: Path, own_home: Path) -> None:
    ctx = Context()
    found = find_job(ctx, str(file))
    assert (found.job.name, found.row, found.poured) == ("crane-base", None, False)
    assert (ctx.job_name, ctx.zone) == ("crane-base", "America/New_York")
    assert not own_home.exists()


def test_a_file_that_is_not_there() -> None:
    with pytest.raises(JobError, match="no file"):
        find_job(Context(), "missing.toml")


def test_a_name_without_any_store() -> None:
    with pytest.raises(InputError, match='no job is called "crane-base"'):
        find_job(Context(), "crane-base")
    with pytest.raises(InputError, match="no job is open"):
        find_job(Context(), None)


def test_a_stored_name_and_the_only_open_job(store: Store) -> None:
    keep(store)
    assert find_job(Context(), "crane-base").job.slab.thickness_m == pytest.approx(0.2)
    assert find_job(Context(), None).job.name == "crane-base"
    with pytest.raises(InputError, match=r'no job is called "crane-bas"') as caught:
        find_job(Context(), "crane-bas")
    assert "did you mean crane-base?" in caught.value.hint


def test_two_open_jobs_have_to_be_named(store: Store) -> None:
    keep(store)
    keep(store, "spring-pad")
    with pytest.raises(InputError, match="several jobs are open: crane-base, spring-pad"):
        find_job(Context(), None)


def test_before_the_pour_the_file_counts(store: Store, file: Path) -> None:
    keep(store)
    file.write_text(text(thickness="250 mm"), encoding="utf-8")
    found = find_job(Context(), str(file))
    assert found.job.slab.thickness_m == pytest.approx(0.25)
    assert found.placement is not None
    assert found.edited is None


def test_after_the_pour_the_stored_version_governs(store: Store, file: Path) -> None:
    keep(store, poured=True)
    assert find_job(Context(), str(file)).edited is None
    file.write_text(text(thickness="250 mm"), encoding="utf-8")
    found = find_job(Context(), str(file))
    assert found.poured
    assert found.job.slab.thickness_m == pytest.approx(0.2)
    assert found.edited is not None
    assert found.edited.slab.thickness_m == pytest.approx(0.25)


def test_a_command_on_placed_concrete_refuses_a_job_that_is_not_poured(store: Store) -> None:
    keep(store)
    with pytest.raises(InputError, match="crane-base is not poured yet"):
        stored_job(Context(), "crane-base", store)


def test_alone_it_says_what_to_do_next(store: Store, capsys: pytest.CaptureFixture[str]) -> None:
    assert execute([]) == 0
    assert "curecast demo" in capsys.readouterr().out
    keep(store)
    assert execute([]) == 0
    said = capsys.readouterr().out
    assert "crane-base: the pour is planned for Fri 12 Mar 09:00 EST." in said
    assert "curecast pour crane-base" in said
    keep(store, "spring-pad", poured=True)
    assert execute([]) == 0
    assert "curecast holds spring-pad" in capsys.readouterr().out


def test_every_sample_job_is_sound() -> None:
    jobs = [find_job(Context(), str(path)).job for path in sorted(find_samples().glob("*.toml"))]
    assert {"crane-base", "spring-pad"} <= {job.name for job in jobs}
