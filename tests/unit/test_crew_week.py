"""Several slabs for one crew: days of their own, blankets lent once, and why not."""

from __future__ import annotations

from dataclasses import replace

from curecast.core.heat.covers import CoverSpell
from curecast.core.protection import Measure
from curecast.prospect.cover_stay import Stay
from curecast.prospect.crew_week import crew_week
from curecast.prospect.week import WeekAnswer
from tests.fixtures.answers import job, week

BARE = Measure("none", 0, (), ())


def named(
    name: str, *layers: int, at_hand: int = 1, days: float = 1.0, best: int = 0
) -> WeekAnswer:
    """A week of Wednesday and Friday, each start with so many layers for some days."""
    answer = week(9.0)
    own = replace(job(), name=name)
    pieces = replace(own.protection, blankets=at_hand, blanket_size_m=(3.0, 3.0))
    starts, stays = [], {}
    for i, count in enumerate(layers):
        start = answer.starts[i]
        spell = CoverSpell(0.35, 6.0, 24.0 * days)
        measure = Measure(f"{count} layers", count, (spell,), (), layers=count) if count else BARE
        starts.append(replace(start, measure=measure, verdict="pour"))
        if count:
            stays[i] = Stay(start.origin_h + 6.0, start.origin_h + 24.0 * days)
    order = [best, *(i for i in range(len(starts)) if i != best)]
    return replace(
        answer, job=replace(own, protection=pieces), starts=starts, ranked=order, best=best,
        stays=stays,
    )  # fmt: skip


def test_two_slabs_get_two_days() -> None:
    plan = crew_week([named("a", 0, 0), named("b", 0, 0)])
    assert sorted(str(slab.start) for slab in plan.slabs) == ["0", "1"]
    late = next(slab for slab in plan.slabs if slab.start == 1)
    assert late.why.startswith("alone it would be best Wed 10 Mar: the crew is at ")
    assert next(slab for slab in plan.slabs if slab.start == 0).why == ""


def test_blankets_that_still_lie_are_not_at_hand() -> None:
    plan = crew_week([named("a", 1, days=7.0), named("b", 1, 1, best=1)])
    assert plan.blankets == 1
    placed = {slab.week.job.name: slab.start for slab in plan.slabs}
    assert placed["a"] == 0
    assert placed["b"] is None
    told = plan.slabs[1].why
    assert "Wed 10 Mar: the crew is at a then" in told
    assert "Fri 12 Mar: the blankets lie on a until Wed 17 Mar" in told


def test_a_second_set_of_blankets_helps() -> None:
    plan = crew_week([named("a", 1, days=7.0), named("b", 1, 1, at_hand=2, best=1)])
    assert plan.blankets == 2
    assert [slab.start for slab in plan.slabs] == [0, 1]


def test_a_slab_without_a_start_says_so() -> None:
    none = named("a", 0)
    none = replace(none, best=None, starts=[replace(none.starts[0], verdict="do-not-pour")])
    plan = crew_week([none, named("b", 0)])
    assert [slab.start for slab in plan.slabs] == [None, 0]
    assert plan.slabs[0].why == "no start works this week"
