"""Will it hold, and what to buy: a job's shortfalls, its shopping, its bill and its water."""

from __future__ import annotations

import math

import pytest

from curecast.errors import JobError
from curecast.job.layout import Job
from curecast.job.reader import parse_job
from curecast.prospect.anchor_fit import cone_at, day_line, pull_of
from curecast.prospect.anchorage import edge_of, embedment_of, offset_of, places_of
from curecast.prospect.case import case_of, takeoff_of
from curecast.prospect.cost import bill_of
from curecast.prospect.soundness import Soundness, check_job, soundness_answer, soundness_of
from curecast.prospect.warm_water import mix_water, water_figures
from curecast.prospect.water_lines import water_lines

HEAD = 'curecast = 1\nname = "pad"\nunits = "{units}"\n'
#: A pillar crane as its maker's sheet has it, in the middle of its slab.
GEAR = {
    "name": '"pillar crane"', "weight": '"250 kg"', "reach": '"2.5 m"', "shock": "1.25",
    "strength": '"20 MPa"', "thickness": '"200 mm"', "edge_distance": '"250 mm"', "anchors": "4",
    "anchor_size": '"M20"', "anchor_kind": '"wedge"', "hole_depth": '"120 mm"',
    "base_plate": '"20 mm"', "torque": '"160 N m"', "spacing": '"450 mm"',
}  # fmt: skip
SLAB = {"length": '"2.4 m"', "width": '"2.4 m"', "thickness": '"200 mm"'}


def job(units: str = "si", **sections: dict[str, str]) -> Job:
    """A job of sections; a key set to "" is left out."""
    given = {"slab": SLAB, "equipment": GEAR}
    names = list(dict.fromkeys([*given, *sections]))
    text = HEAD.format(units=units)
    for name in names:
        keys = {**given.get(name, {}), **sections.get(name, {})}
        text += f"[{name}]\n" + "".join(f"{k} = {v}\n" for k, v in keys.items() if v)
    return parse_job(text)


def crane(**changed: str) -> Job:
    return job(equipment=changed)


def short(found: Job) -> dict[str, str]:
    """Shortfalls by key."""
    return {p.key: p.message for p in check_job(found)}


def one_mistake(**sections: dict[str, str]) -> str:
    with pytest.raises(JobError) as error:
        job(**sections)
    (problem,) = error.value.problems
    return f"{problem.key}: {problem.message}"


def fit_text(sound: Soundness) -> str:
    return " | ".join(sound.fit)


def test_a_job_that_holds_says_buy() -> None:
    sound = soundness_of(crane())
    assert (sound.buy, sound.problems, sound.missing) == ("yes", (), ())
    assert len(sound.first) == 3
    assert (
        sound.first[0]
        == "Fetch 72 bags of 36 kg in 6 trips; keep them dry, off the ground and warm."
    )


def test_shortfalls_come_before_the_money() -> None:
    sound = soundness_of(job(slab={"thickness": '"150 mm"'}))
    assert sound.buy == "not-yet"
    assert "thicker" in sound.first[0]
    assert not any("Fetch" in said for said in sound.first)


def test_more_shortfalls_than_lines_are_counted() -> None:
    found = job(
        slab={"thickness": '"150 mm"'},
        equipment={"strength": '"40 MPa"', "planned_edge": '"100 mm"', "size": '"3 m x 3 m"'},
    )
    sound = soundness_of(found)
    assert len(sound.first) == 3
    assert f"the other {len(sound.problems) - 2} shortfalls" in sound.first[2]


@pytest.mark.parametrize("kept", [(), ("weight",), ("weight", "reach")], ids=str)
def test_load_figures_that_nobody_gave_are_never_taken_as_fine(kept: tuple[str, ...]) -> None:
    gone = {key: "" for key in ("weight", "reach", "moment", "shock") if key not in kept}
    sound = soundness_of(crane(**gone))
    if kept == ("weight", "reach"):
        assert sound.buy == "yes"
        return
    assert sound.buy == "ask-first"
    assert sound.first[0].startswith("Ask the maker")
    assert "not known" in fit_text(sound)
    assert any("moment" in said for said in sound.missing)


def test_no_machine_no_promise() -> None:
    bare = parse_job(HEAD.format(units="si") + "[slab]\n" + "".join(
        f"{k} = {v}\n" for k, v in SLAB.items()))  # fmt: skip
    assert "no machine is named" in fit_text(soundness_of(bare))


# --- slab and anchors against the makers' figures ---


def test_slab_thinner_than_the_maker_asks() -> None:
    said = short(job(slab={"thickness": '"180 mm"'}))
    assert said["slab.thickness"].startswith("180 mm is thinner than the 200 mm")


def test_a_thin_corner_beyond_the_tolerance() -> None:
    depths = '["220 mm", "220 mm", "220 mm", "{} mm"]'
    assert "slab.thickness" in short(job(slab={"corner_depths": depths.format(185)}))
    within = soundness_of(job(slab={"corner_depths": depths.format(192)}))
    assert within.problems == ()
    assert "thinnest corner lacks 8 mm" in fit_text(within)


def test_slab_thinner_than_its_anchors_need() -> None:
    said = short(job(slab={"thickness": '"150 mm"'}, equipment={"thickness": ""}))
    assert list(said) == ["equipment.hole_depth"]
    assert said["equipment.hole_depth"].startswith("holes 120 mm deep need a thicker slab than 150")
    # 17.9.4 by the embedment: 100 mm is just two thirds of 150 mm, and 30 mm of it stay whole.
    deep = {"thickness": "", "embedment": '"100 mm"', "hole_depth": '"110 mm"'}
    assert short(job(slab={"thickness": '"150 mm"'}, equipment=deep)) == {}
    over = {**deep, "embedment": '"101 mm"'}
    assert list(short(job(slab={"thickness": '"150 mm"'}, equipment=over))) == [
        "equipment.embedment"
    ]


def test_a_hole_that_breaks_through() -> None:
    given = {"thickness": "", "embedment": '"90 mm"', "hole_depth": '"115 mm"'}
    said = short(job(slab={"thickness": '"150 mm"'}, equipment=given))
    assert "breaks through" in said["equipment.hole_depth"]


def test_anchors_may_stand_on_a_pad() -> None:
    slab = {"thickness": '"120 mm"', "pads": '["800 mm x 800 mm x 250 mm"]'}
    assert short(job(slab=slab, equipment={"thickness": ""})) == {}


def test_edge_below_the_makers() -> None:
    said = short(crane(planned_edge='"200 mm"'))
    assert list(said) == ["equipment.planned_edge"]
    assert "stands 200 mm from the edge, less than the 250 mm that the maker asks" in " ".join(
        said.values()
    )
    assert short(crane(planned_edge='"250 mm"')) == {}


def test_edge_and_spacing_where_the_maker_says_nothing() -> None:
    # ACI 318-19 17.9.2: 8 and 6 diameters of M20.
    said = short(crane(edge_distance="", planned_edge='"159 mm"', spacing='"119 mm"',
                       weight='"20 kg"'))  # fmt: skip
    assert "160 mm" in said["equipment.planned_edge"]
    assert "120 mm" in said["equipment.spacing"]


def test_slab_smaller_than_the_maker_asks_around_the_base() -> None:
    assert list(short(crane(size='"2.4 m x 2.5 m"'))) == ["slab.length"]
    assert short(crane(size='"2.4 m x 2.4 m"')) == {}


def test_strength_beyond_the_mix() -> None:
    assert "equipment.strength" in short(crane(strength='"35 MPa"'))


def test_head_height() -> None:
    site = {"head_height": '"2.9 m"'}
    low = short(job(site=site, equipment={"height": '"3 m"'}))
    assert "under a clear height of 2.9 m" in low["equipment.height"]
    assert short(job(site=site, equipment={"height": '"2.8 m"'})) == {}
    assert soundness_of(job(site=site)).missing == ("the machine's height, for the head room",)


def test_levels_give_shims_and_the_drill_stop() -> None:
    levels = '["0 mm", "4 mm", "2 mm", "-3 mm"]'
    sound = soundness_of(job(slab={"levels": levels}, equipment={"flatness": '"1 mm"'}))
    assert sound.problems == ()
    assert "point 4 is the low corner, highest shim 7 mm" in fit_text(sound)
    assert sound.figures["drill_stop_m"] == pytest.approx(0.147)
    rough = job(slab={"levels": levels}, equipment={"flatness": '"0.2 mm"'})
    assert "slab.levels" in short(rough)


# --- loads ---


def test_the_crane_by_hand() -> None:
    found = crane()
    moment = 250.0 * 9.80665 * 2.5 * 1.25
    pull = moment / (math.sqrt(2.0) * 0.45) - 250.0 * 9.80665 / 4.0
    assert pull_of(found) == pytest.approx(pull)
    cone = cone_at(found, 20.0)
    assert cone is not None
    assert cone.share_n == pytest.approx(7.0 * math.sqrt(20.0) * 100.0**1.5)
    figures = soundness_of(found).figures
    assert figures["cone_counted_on_n"] == pytest.approx(0.65 * cone.share_n)
    assert figures["worst_anchor_factored_n"] == pytest.approx(1.6 * pull)
    assert figures["torque_pull_n"] == pytest.approx(40_000.0)
    assert figures["moment_nm"] == pytest.approx(moment)


def test_the_cone_goes_with_the_strength_of_the_day() -> None:
    young, ripe = (cone_at(crane(), mpa) for mpa in (5.0, 20.0))
    assert young is not None
    assert ripe is not None
    assert young.share_n / ripe.share_n == pytest.approx(0.5)
    assert "guide at best" in (day_line(crane(), 5.0) or "")
    assert "guide at best" not in (day_line(crane(), 20.0) or "")
    assert cone_at(crane(), None) is None
    assert cone_at(crane(), math.nan) is None
    assert day_line(crane(spacing=""), 20.0) is None


def test_anchors_too_weak_for_their_load() -> None:
    said = short(crane(spacing='"200 mm"'))
    assert "equipment.anchors" in said
    assert "more than the" in said["equipment.anchors"]


def test_a_slab_that_tips() -> None:
    said = short(crane(weight='"1000 kg"', spacing='"1.2 m"'))
    assert "overturning" in said["slab.width"]


def test_soft_ground() -> None:
    soft = job(ground={"bearing": '"10 kPa"'}, equipment={"own_weight": '"3000 kg"'})
    assert "it bears" in short(soft)["ground.bearing"]
    assert short(crane(own_weight='"3000 kg"')) == {}


def test_sliding_counts_only_what_always_lies_there() -> None:
    # Worked by hand: 2649.6 kg of slab, friction 0.35; the load may be off the hook.
    sound = soundness_of(crane(pull='"4 kN"', pull_height='"0 m"', shock=""))
    assert sound.figures["sliding"] == pytest.approx(0.35 * 2649.6 * 9.80665 / 4000.0)
    assert "equipment.pull" in short(crane(pull='"6.5 kN"', shock=""))


def test_a_base_near_one_edge_weighs_on_that_edge() -> None:
    middle, off = (soundness_of(crane(planned_edge=e, own_weight='"500 kg"')).figures
                   for e in ("", '"250 mm"'))  # fmt: skip
    assert off["overturning"] < middle["overturning"]
    assert off["soil_kpa"] > middle["soil_kpa"]
    assert offset_of(crane(planned_edge='"250 mm"')) == pytest.approx((0.0, 1.2 - 0.25 - 0.225))


def test_positions_place_the_anchors() -> None:
    places = '["300 mm x 400 mm", "700 mm x 400 mm", "700 mm, 800 mm", "300 mm by 800 mm"]'
    found = crane(spacing="", positions=places)
    assert edge_of(found) == pytest.approx(0.3)
    assert places_of(found).shape == (4, 2)  # type: ignore[union-attr]
    assert case_of(found).anchor_edge_m == pytest.approx(0.3)
    assert case_of(crane()).anchor_edge_m == pytest.approx(0.25)  # not counted on to be central


def test_anchors_in_one_line_are_said_to_hold_no_moment_across_it() -> None:
    row = crane(spacing="", anchors="2", positions='["1 m x 1.2 m", "1.4 m x 1.2 m"]')
    sound = soundness_of(row)
    assert pull_of(row) is None
    assert sound.buy == "ask-first"
    assert "one line" in " ".join(sound.missing)


def test_a_machine_without_a_name_is_a_machine() -> None:
    assert soundness_of(crane(name="")).buy == "yes"
    assert "the weight" not in " ".join(soundness_of(crane(name="")).missing)
    bare = crane(name="", weight="", reach="", shock="")
    assert any("load figures" in said for said in soundness_of(bare).missing)


def test_embedment_comes_from_the_hole_where_it_is_not_given() -> None:
    assert embedment_of(crane()) == pytest.approx(0.100)
    assert embedment_of(crane(embedment='"90 mm"')) == pytest.approx(0.090)
    assert embedment_of(crane(hole_depth="")) is None


# --- shopping ---


def test_what_the_slab_takes() -> None:
    # Common practice: 4 x 12 ft x 6 in at 0.60 ft3 a bag of 80 lb, with no waste 40 bags.
    slab = {"length": '"12 ft"', "width": '"4 ft"', "thickness": '"6 in"'}
    found = job("us", slab=slab, mix={"bag": '"80 lb"'}, buying={"waste": "0.0"})
    sound = soundness_of(found)
    figures = soundness_answer(found, sound)["takeoff"]
    assert figures["bags"] == 40
    assert figures["bags_kg"] == pytest.approx(40 * 36.287, rel=1e-4)
    assert [(round(b["bag_kg"] / 0.45359), b["bags"]) for b in figures["other_bags"]] == [
        (60, 54),
        (50, 64),
    ]


def test_a_printed_yield_counts() -> None:
    found = job(mix={"bag": '"25 kg"', "yield": '"12.5 l"'}, buying={"waste": "0.0"})
    assert takeoff_of(found).bags == math.ceil(2.4 * 2.4 * 0.2 / 0.0125 - 1e-9)


def test_thickening_is_in_the_volume() -> None:
    slab = {"thick_edge": '"300 mm"', "thick_edge_width": '"300 mm"',
            "pads": '["500 mm x 500 mm x 400 mm"]'}  # fmt: skip
    order = takeoff_of(job(slab=slab))
    extra = (5.76 - 1.8**2) * 0.1 + 0.25 * 0.2
    assert order.extra_m3 == pytest.approx(extra)
    assert order.volume_m3 == pytest.approx(1.152 + extra)
    assert order.thickness_m == pytest.approx(0.2)


def test_a_payload_that_takes_all_at_once_and_one_that_does_not() -> None:
    mix = {"bag": '"25 kg"'}
    one = soundness_of(job(mix=mix, buying={"payload": '"3 t"'}))
    assert (one.shop.order.trips, one.shop.overloaded) == (1, False)
    three = soundness_of(job(mix=mix, buying={"payload": '"1 t"'}))
    assert (three.shop.order.trips, three.shop.overloaded) == (3, True)
    assert "do not overload it" in dict(three.buying)["fetch"]


def test_the_bill_adds_up() -> None:
    prices = "{ bag = 7.35, gravel = 41, blanket = 45, mesh = 22.5, board = 12, widget = 3 }"
    found = job(
        slab={"reinforcement": '"mesh"'}, ground={"gravel": '"100 mm"', "under": '"sheet"'},
        buying={"prices": prices}, protection={"blankets": "2"},
    )  # fmt: skip
    sound = soundness_of(found)
    bill = bill_of(found, sound.shop)
    assert bill.total == pytest.approx(sum(item.count * (item.price or 0) for item in bill.items))
    assert {item.name for item in bill.priced} == {"bag", "gravel", "mesh", "board", "blanket"}
    assert bill.unpriced == ("vapour_sheet", "stake")
    lines = dict(sound.buying)
    assert f"in all {bill.total:.2f}" in lines["cost"]
    assert lines["prices"] == "not used: widget"
    figures = soundness_answer(found, sound)["costs"]
    assert figures["total"] == pytest.approx(sum(i["cost"] or 0.0 for i in figures["items"]))


def test_no_prices_no_bill() -> None:
    assert "cost" not in dict(soundness_of(crane()).buying)


def test_ready_mix_and_its_bags_instead() -> None:
    found = job(mix={"preset": '"ready-mix"', "strength": '"25 MPa"'},
                buying={"minimum_load": '"2 m3"', "wait": '"30 min"'})  # fmt: skip
    lines = dict(soundness_of(found).buying)
    assert lines["ready-mix"].startswith("2 m3 by truck (the plant's least load; 0.79 m3 is spare)")
    assert "beyond its free wait" in lines["ready-mix"]
    assert lines["instead"] == "65 bags of 40 kg, or 104 bags of 25 kg, or 130 bags of 20 kg"
    assert "fetch" not in lines


# --- water ---


def test_water_beyond_the_bags_range() -> None:
    said = short(job(mix={"bag": '"25 kg"', "water": '"3.5 l"'}))
    assert said["mix.water"].startswith("3.5 l a bag is beyond the bag's range, 1.9 l to 3 l")
    assert short(job(mix={"bag": '"25 kg"', "water": '"2.2 l"'})) == {}


def test_pints_for_a_bag() -> None:
    lines = dict(soundness_of(job("us", mix={"bag": '"80 lb"'})).buying)
    assert lines["water"].startswith("6 pt a bag to begin with; never over 9.3 pt")


def test_water_for_cold_bags_by_hand() -> None:
    # 80 lb at 35 °F and 6.26 lb of water: 111.2 °F for 55 °F; 13 °C is 55.4 °F.
    placement = {"material_temperature": '"35F"', "water_temperature": '"50F"'}
    found = job("us", mix={"bag": '"80 lb"', "water": '"2.8395 l"'}, placement=placement)
    figures = water_figures(found)
    assert figures is not None
    wanted = 13.0 + 0.22 * 80 / 6.26 * (13.0 - 35.0 / 1.8 + 32.0 / 1.8)
    assert figures["water_c"] == pytest.approx(wanted, abs=0.02)
    assert figures["enough"]
    assert figures["with_cold_water_c"] < 13.0
    assert figures["kettle_l"] == pytest.approx(
        figures["water_l"] * (figures["water_c"] - 10.0) / (95.0 - 10.0)
    )


def test_bags_too_cold_for_60_degrees() -> None:
    found = job(placement={"material_temperature": '"-15 C"'})
    (line, *_) = water_lines(found)
    assert "even water at 60 °C, the hottest on cement" in line
    assert "keep the bags at" in line


def test_a_heater_takes_its_time() -> None:
    found = job(placement={"material_temperature": '"2 C"', "water_heater": '"2 kW"'})
    out = mix_water(found, 2.0, 2.0)
    assert out is not None
    assert out.heating_h == pytest.approx(
        out.all_l * 4186.0 * (out.wanted.water_c - 10.0) / (0.85 * 2000.0) / 3600.0
    )
    assert "the heater takes" in water_lines(found)[1]


def test_water_too_hot_for_a_bag() -> None:
    hot = {"material_temperature": '"2 C"', "water_temperature": '"70 C"'}
    assert "may meet cement" in short(job(placement=hot))["placement.water_temperature"]
    hot["water_temperature"] = '"50 C"'
    assert short(job(placement=hot)) == {}
    assert "the 50 °C that the job plans lands it at" in " ".join(water_lines(job(placement=hot)))


def test_ice_in_the_heat() -> None:
    (line,) = water_lines(job(placement={"material_temperature": '"42 C"',
                                         "water_temperature": '"25 C"'}))  # fmt: skip
    assert "of ice in place of as much" in line


def test_bags_that_nobody_measured_get_a_choice() -> None:
    (line,) = water_lines(crane())
    assert "0 °C:" in line
    assert "10 °C:" in line


def test_ready_mix_is_ordered_warm() -> None:
    mix = {"preset": '"ready-mix"'}
    assert "order it at 13 °C or more" in water_lines(job(mix=mix))[0]
    cold = job(mix=mix, placement={"temperature": '"9 C"'})
    assert "order it warmer" in water_lines(cold)[0]


# --- mistakes in the file: one sentence each ---


@pytest.mark.parametrize(
    ("sections", "says"),
    [
        (
            {"mix": {"bag": '"25 kg"'}, "buying": {"payload": '"20 kg"'}},
            "buying.payload: a vehicle that carries 20 kg cannot carry one bag of 25 kg",
        ),
        ({"mix": {"yield": '"40 l"'}}, "mix.yield: a bag of 36 kg makes about 17.0 l"),
        ({"slab": {"thick_edge": '"300 mm"'}}, "slab.thick_edge: a thickened edge needs its depth"),
        (
            {"slab": {"thick_edge": '"100 mm"', "thick_edge_width": '"300 mm"'}},
            "slab.thick_edge: this is thinner than the slab",
        ),
        (
            {"slab": {"thick_edge": '"300 mm"', "thick_edge_width": '"1.3 m"'}},
            "slab.thick_edge_width: this is more than half",
        ),
        ({"slab": {"pads": '["3 m x 1 m x 300 mm"]'}}, "slab.pads: pad 1 is larger"),
        ({"slab": {"pads": '["1 m x 1 m x 100 mm"]'}}, "slab.pads: pad 1 is thinner"),
        ({"slab": {"pads": '["1 m x 300 mm"]'}}, "slab.pads: "),
        ({"slab": {"levels": '["0 mm", "1 mm"]'}}, "slab.levels: 2 levels"),
        ({"equipment": {"spacing": '"2.4 m"'}}, "equipment.spacing: anchors so far apart"),
        ({"equipment": {"anchors": "6"}}, "equipment.spacing: spacing places four anchors, not 6"),
        (
            {"equipment": {"spacing": "", "anchors": "1", "positions": '["3 m x 1 m"]'}},
            "equipment.positions: an anchor at 3 m x 1 m stands outside",
        ),
        (
            {"equipment": {"spacing": "", "positions": '["1 m x 1 m"]'}},
            "equipment.positions: 1 positions, where 4 anchors are",
        ),
        ({"equipment": {"embedment": '"130 mm"'}}, "equipment.embedment: the anchors would go"),
        ({"equipment": {"planned_edge": '"1.3 m"'}}, "equipment.planned_edge: this is more than"),
    ],
)
def test_one_sentence_for_a_mistake(sections: dict[str, dict[str, str]], says: str) -> None:
    assert one_mistake(**sections).startswith(says)


@pytest.mark.parametrize(
    ("section", "key"),
    [
        ("ground", "gravel"), ("ground", "bearing"), ("slab", "thick_edge"), ("slab", "pads"),
        ("slab", "levels"), ("mix", "yield"), ("placement", "water_heater"),
        ("equipment", "spacing"), ("equipment", "positions"), ("equipment", "embedment"),
        ("equipment", "handle"), ("equipment", "own_weight"), ("equipment", "pull"),
        ("buying", "payload"), ("buying", "minimum_load"), ("buying", "wait"),
        ("buying", "prices"), ("site", "head_height"), ("protection", "blanket_size"),
    ],
)  # fmt: skip
def test_nobody_has_to_know(section: str, key: str) -> None:
    plain = soundness_of(crane(spacing="") if key == "spacing" else crane())
    said = soundness_of(job(**{section: {key: '"unknown"'}}))
    assert said.buying == plain.buying
    assert said.problems == plain.problems
