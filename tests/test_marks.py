"""What stands on memory or practice carries the mark that sends the reader to the maker."""

from __future__ import annotations

from pathlib import Path

import pytest

from packets import markup, rendering
from packets.model.packet import Packet, Span
from packets.numbers import torque
from packets.pipeline import Prepared
from tests import jobs
from tests.splits import ORIFICE, TXV, register, split

MARK = rendering.shipped_words()["confirm_mark"]


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    return jobs.prepared(tmp_path_factory.mktemp("marks"))


def spans(packet: Packet) -> list[Span]:
    return [s for section in packet.sections for step in section.steps for s in step.action]


def test_a_step_s_value_on_weak_ground_is_marked_and_one_seen_is_not(done: Prepared) -> None:
    assert done.packet is not None
    marked = {span.text for span in spans(done.packet) if span.mark}
    # Constants of practice.
    assert "30 scfh" in marked
    assert "15 min" in marked or "10 min" in marked
    # A guide specification that was seen, and a plate.
    assert not {"300 micron", "250 psig"} & marked
    assert all(span.kind == "value" for span in spans(done.packet) if span.mark)


def test_every_weak_number_of_a_limit_is_marked_beside_its_box(done: Prepared) -> None:
    assert done.packet is not None
    blanks = {
        blank.id: blank
        for section in done.packet.sections
        for step in section.steps
        for tries in step.readings
        for blank in tries
    }
    # 208 V +-10 % is ANSI C84.1 from memory; that a machine run in stays under its plate's amps is
    # practice, and the maker's curve decides. The charge stands on the plate,
    # what it may differ by on practice.
    assert blanks["volts"].mark
    assert blanks["spread"].mark
    assert blanks["amps"].mark
    assert blanks["charged"].mark


def test_the_mark_is_printed_behind_the_value_and_not_read_aloud() -> None:
    text = (Span("words", "Sweep at "), Span("value", "30 scfh", True), Span("words", "."))
    assert f">30 scfh</b>{MARK}." in markup.html(text, MARK)
    assert markup.plain(text) == "Sweep at 30 scfh."
    assert MARK not in markup.html(text)


def test_the_page_has_a_mark_for_every_weak_span_and_one_legend(done: Prepared) -> None:
    assert done.packet is not None
    html = rendering.html(done.packet, parts=["field"])
    weak = sum(span.mark for span in spans(done.packet))
    assert weak > 5
    assert html.count(MARK) > weak
    legend = rendering.shipped_words()["confirm"].partition("'s ")[2]
    assert html.count(legend) == 1


def test_a_table_from_memory_is_marked_at_its_title(tmp_path: Path) -> None:
    packet = split(tmp_path, (TXV, ORIFICE)).packet
    assert packet is not None
    tables = {
        step.table.id: step.table
        for section in packet.sections
        for step in section.steps
        if step.table
    }
    assert tables["verify.target_superheat"].mark
    assert not tables["verify.line_by_target"].mark


# --- torque -----------------------------------------------------------------------------------

FLARES = [
    (
        "drier.in: {size: 1/2 in, kind: brazed, metals: [copper, copper]}",
        "drier.in: {size: 1/2 in, kind: flare, metals: [copper, brass]}",
    ),
    (
        "drier.out: {size: 1/2 in, kind: brazed, metals: [copper, copper]}",
        "drier.out: {size: 1/2 in, kind: rotary-lock, metals: [copper, brass]}",
    ),
]


def torques(done: Prepared) -> dict[str, str]:
    return {plan.joint.key: plan.torque for plan in done.circuits["a"].lists.joints}


def test_a_flare_s_torque_is_the_standards_overlap_and_marked(tmp_path: Path) -> None:
    # 1/2 in: 50 to 60.3 N m (JIS B 8607 and EN 378-2, from memory): 36.9 up and 44.5 down, lbf ft.
    done = split(tmp_path, *FLARES)
    assert torques(done)["drier.in"] == "37 to 44 lbf ft"
    assert "memory" in torque.source_of("37 to 44 lbf ft")
    assert torque.source_of("18 lbf ft") == ""


def test_a_rotary_lock_nut_has_no_value_of_ours(tmp_path: Path) -> None:
    done = split(tmp_path, *FLARES)
    assert torques(done)["drier.out"] == "the torque in the maker's instructions"


@pytest.mark.parametrize("key", ["flare", "flare-1-2"])
def test_the_maker_s_flare_torque_wins_for_its_size(tmp_path: Path, key: str) -> None:
    own = ("    internal_volume", f"    torque: {{{key}: 40 lbf ft}}\n    internal_volume")
    done = split(tmp_path, *FLARES, own)
    assert torques(done)["drier.in"] == "40 lbf ft"
    other = ("    internal_volume", "    torque: {flare-3-8: 25 lbf ft}\n    internal_volume")
    assert torques(split(tmp_path, *FLARES, other))["drier.in"] == "37 to 44 lbf ft"


# Machinery's Handbook 31st edition, Table 1a, from AWS A5.8-1981: solidus, liquidus, range.
FILLERS = {
    "bcup-2": (1310, 1460, 1350, 1550),
    "bag-5": (1250, 1370, 1370, 1550),
    "bag-7": (1145, 1205, 1205, 1400),
    "bag-24": (1220, 1305, 1305, 1550),
}


def test_filler_metals_of_this_job_carry_their_melting_range(done: Prepared) -> None:
    found = register(done)
    for name, expected in FILLERS.items():
        for key, fahrenheit in zip(
            ("solidus", "liquidus", "range_low", "range_high"), expected, strict=True
        ):
            number = found.number(f"braze.{name}.{key}")
            assert number is not None
            assert number.value * 1.8 - 459.67 == pytest.approx(fahrenheit, abs=1e-6)
    assert "braze.bcup-3.solidus" not in found


def test_nominal_size_is_an_eighth_under_the_outside_diameter(done: Prepared) -> None:
    # 1-1/8 in OD is nominal 1 in (CDA Copper Tube Handbook, from memory).
    found = register(done).number("braze.nominal.compressor-suction")
    assert found is not None
    assert found.value / 0.0254 == pytest.approx(1.0)
