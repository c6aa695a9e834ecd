"""Acts that must stand where the hand needs them: the watch's end, the scale's start, the nut."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from packets.model.packet import Packet, Section, Step, Wanted
from packets.pipeline import prepare
from tests import jobs

TORCH = ("creamery-cooler", "library-heat-pump")
TWO_CYLINDERS = [
    (
        "charging_cylinders:\n",
        "charging_cylinders:\n  - {id: N-32, refrigerant: R-448A, gross: 20 lb, tare: 10 lb}\n",
    ),
    ("gross: 35 lb 4 oz", "gross: 20 lb 6 oz"),
]


@cache
def example(folder: str) -> Packet:
    packet = prepare(jobs.EXAMPLES / folder / "job.yaml").packet
    assert packet is not None
    return packet


def section(packet: Packet, fragment: str) -> Section:
    (found,) = [one for one in packet.sections if one.fragment == fragment]
    return found


def names(part: Section) -> list[str]:
    return [step.id.partition("/")[2].partition("@")[0] for step in part.steps]


def said(step: Step) -> str:
    return "".join(span.text for span in step.action)


@pytest.mark.parametrize("folder", TORCH)
def test_the_fire_watch_ends_before_the_hold_is_waited_for(folder: str) -> None:
    packet = example(folder)
    hold = section(packet, "pressure-hold")
    order = names(hold)
    assert order.index("start") + 1 == order.index("watch") == order.index("end") - 1
    assert hold.steps[order.index("end")].waiting_minutes >= 60
    # Who leaves looks that it is over, at the section that ends it.
    gate = section(packet, "leave-clean").do_not_start
    assert f"fire watch complete ({hold.number})" in gate


def test_where_no_flame_was_lit_no_watch_ends_and_none_is_waited_for() -> None:
    packet = example("clinic-wall-split")
    assert "watch" not in names(section(packet, "pressure-hold"))
    assert not any("fire watch" in state for part in packet.sections for state in part.do_not_start)
    # A fact that did not hold before is still told with the section that made it.
    assert "all joints closed, no known leak (8)" in section(packet, "pressure-hold").do_not_start


def starts(packet: Packet) -> list[tuple[str, str]]:
    """Step and cylinder of each box for a scale's start, in printing order."""
    part = section(packet, "weigh-in-charge")
    return [
        (name, blank.about)
        for name, step in zip(names(part), part.steps, strict=True)
        for row in step.readings
        for blank in row
        if blank.feeds == "charge-start"
    ]


def test_the_scale_s_start_is_written_before_liquid_flows(tmp_path: Path) -> None:
    # With a solenoid the first liquid breaks the vacuum, before the solenoid is shut again.
    assert starts(example("creamery-cooler")) == [("break-vacuum", "N-31")]
    assert starts(example("library-heat-pump")) == [("charge", "N-52")]
    # A second cylinder goes onto the scale later and has its own start there.
    two = jobs.prepared(tmp_path, {"kit.yaml": TWO_CYLINDERS}).packet
    assert two is not None
    assert starts(two) == [("break-vacuum", "N-32"), ("charge", "N-31")]
    assert names(section(two, "weigh-in-charge")).count("coil") == 1


def test_no_hose_is_left_on_the_unit_after_the_charge() -> None:
    # The liquid boils into the unit through a port that is open; only a warm hose is closed.
    for folder in TORCH:
        part = section(example(folder), "weigh-in-charge")
        assert names(part)[-4:] == ["close", "empty-hose", "hose-off", "gauge-off"]
        close, warm, off, gauge = part.steps[-4:]
        assert said(close).startswith("Close the cylinder valve. Leave the port open")
        assert "Warm it with the electric heating blanket" in said(warm)
        assert said(off).startswith("While the hose is warm, close the port.")
        assert said(off).endswith("Cap the port.") and said(gauge).endswith("Cap the port.")
        start = section(example(folder), "start-up")
        order = names(start)
        assert order.index("gauges-on") < order.index("unlock")
    assert "no hose on the unit" in "".join(
        span.text for span in section(example("creamery-cooler"), "serve-heater").stop_here
    ).replace("\n", " ")


def test_a_hose_of_vapor_is_taken_off_without_warming_it() -> None:
    part = section(example("clinic-wall-split"), "weigh-in-charge")
    assert names(part)[-2:] == ["close", "vapor-off"]
    assert said(part.steps[-1]).endswith("Cap each port.")


def test_a_flared_drier_s_joint_is_two_steps_each_with_a_box_and_a_way_out() -> None:
    part = section(example("library-heat-pump"), "purge-and-braze")
    assert names(part)[-4:] == ["flare", "tighten"] * 2
    for step in part.steps[-4:]:
        assert step.readings and step.if_out
    # 3/8 in.: as the remade flares, tests/test_flammable_jobs.py.
    ((reached,),) = part.steps[-1].readings
    assert reached.limit is not None and reached.limit.text().startswith("25 to 29 lbf ft")
    # The first of a kind says it whole, though the turns before it were brazed.
    first, _, again, _ = part.steps[-4:]
    assert "".join(span.text for span in first.if_out).startswith("Cut it off")
    assert "".join(span.text for span in again.if_out) == f"as {first.number}"


def test_letting_the_nitrogen_off_is_said_in_the_step_and_not_in_its_box() -> None:
    part = section(example("creamery-cooler"), "evacuate")
    first, again = (s for s in part.steps if s.id.startswith("evacuate/nitrogen-in@"))
    assert "wait 15 min" in said(first)
    # The order stands whole at the second break too.
    assert said(again) == said(first)
    off = next(s for s in part.steps if s.id.startswith("evacuate/nitrogen-off@"))
    assert (
        "Close the core tool at the suction service port. Take the nitrogen hose off last."
        in said(off)
    )


def test_too_little_recovered_is_a_weight_on_the_scale() -> None:
    # Nine tenths of 232, 112 and 42 oz, up to the scale's step: 208.8, 100.8, 37.8.
    # Common practice, no source.
    for folder, weight in (
        ("creamery-cooler", "13 lb 1 oz"),
        ("clinic-wall-split", "2 lb 5.8 oz"),
    ):
        part = section(example(folder), "recover")
        (clear,) = [step for step in part.steps if step.id.startswith("recover/clear@")]
        assert f"Under {weight}" in "".join(span.text for span in clear.if_out)


def test_every_reading_of_a_capillary_machine_has_its_limit() -> None:
    part = section(example("clinic-wall-split"), "verify")
    blanks = [blank for step in part.steps for row in step.readings for blank in row]
    # Two temperatures of the air make the split that is judged; a place is asked only of a leak.
    bare = [blank.id for blank in blanks if blank.limit is None and blank.only_if is None]
    assert bare == ["air-in", "air-out"]
    # Dew of R-32 at 38 and 52 °F is 131.04 and 165.91 psia by CoolProp, less 14.59 psi of air.
    (suction,) = [blank.limit for blank in blanks if blank.id == "suction"]
    assert suction is not None
    assert suction.text() == "117 to 151 psig"


def test_a_day_warmer_than_forecast_finds_the_band_of_subcooling_on_the_paper() -> None:
    part = section(example("library-heat-pump"), "verify")
    step = part.steps[0]
    assert step.table is not None and "subcooling" in step.table.title
    outdoors, suction, pressure, line = step.readings[0]
    assert suction.only_if is None
    # On a day as cold as forecast these two boxes stay open, and nobody asks for them.
    for blank in (pressure, line):
        assert blank.only_if == Wanted(outdoors.field, "warmer")
