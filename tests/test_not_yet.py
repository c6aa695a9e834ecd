"""Machines that no fragment has a way into or out of are refused, in one plain finding."""

from __future__ import annotations

from pathlib import Path

import pytest

from packets.circuit import differences, ports
from packets.model.circuits import Difference
from packets.pipeline import Prepared
from tests import jobs
from tests.circuit.known import circuit
from tests.splits import TXV, split

_CABINET = ("circuit: split-cooling", "circuit: capillary-cabinet")
_CAPILLARY = (TXV, "metering: {device: capillary, superheat: 8 degF, superheat_within: 3 degF}")
# Access ports fitted in place of both tubes.
_FITTED = (
    "    metering:",
    "    differences:\n"
    "      - {remove: process-port}\n"
    "      - {remove: drier-port}\n"
    "      - {port: suction-port, on: suction-line, name: suction service port}\n"
    "      - {port: liquid-port, on: condenser-line, name: liquid service port}\n"
    "    metering:",
)
COMPRESSOR = "compressor.{}: {{size: {}, kind: brazed"


def _screwed(port: str, size: str) -> jobs.Change:
    old = COMPRESSOR.format(port, size)
    return old, old.replace("brazed", "rotary-lock")


def _codes(done: Prepared) -> list[str]:
    return jobs.codes(done)


def test_a_circuit_with_process_tubes_is_refused_in_one_finding(tmp_path: Path) -> None:
    done = split(tmp_path, _CABINET, _CAPILLARY)
    (found,) = done.findings.errors()
    assert (found.code, done.packet) == ("process-tube", None)
    assert "compressor process tube and drier process tube" in found.message
    assert "no steps to open such a tube" in found.message


def test_the_same_cabinet_with_access_ports_fitted_is_not(tmp_path: Path) -> None:
    done = split(tmp_path, _CABINET, _CAPILLARY, _FITTED)
    assert "process-tube" not in _codes(done)
    assert done.circuits["a"].values["capillary"] is True


@pytest.mark.parametrize("size", ["1-1/8 in"])
def test_a_compressor_with_screwed_joints_is_never_cut_or_heated(tmp_path: Path, size: str) -> None:
    changes = [_screwed("suction", size), _screwed("discharge", "7/8 in")]
    done = jobs.prepared(tmp_path, {"equipment.yaml": changes})
    assert _codes(done) == ["joint-kind"] and done.packet is None
    (found,) = done.findings.errors()
    assert "compressor.suction is a screwed (rotary-lock) joint" in found.message
    assert "never cut or heated" in found.message


@pytest.mark.parametrize(
    ("old", "new", "refused"),
    [
        ("drier.in: {size: 1/2 in, kind: brazed", "drier.in: {size: 1/2 in, kind: flare", True),
        ("drier.in: {size: 1/2 in, kind: brazed",
         "drier.in: {size: 1/2 in, kind: rotary-lock", True),
        ("suction-drier.in: {size: 1-1/8 in, kind: brazed",
         "suction-drier.in: {size: 1-1/8 in, kind: rotary-lock", True),
        ("compressor.suction: {size: 1-1/8 in, kind: brazed",
         "compressor.suction: {size: 1-1/8 in, kind: flare", True),
        ("metals: [copper, copper]", "metals: [copper, copper]", False),
    ],
)  # fmt: skip
def test_each_part_taken_out_is_asked_for_the_kind_of_its_joints(
    tmp_path: Path, old: str, new: str, refused: bool
) -> None:
    lines = (jobs.EXAMPLE / "equipment.yaml").read_text(encoding="utf-8").splitlines()
    line = next(one for one in lines if one.strip().startswith(old) or (not refused and old in one))
    done = jobs.prepared(tmp_path, {"equipment.yaml": [(line, line.replace(old, new))]})
    assert ("joint-kind" in _codes(done)) == refused


def test_a_port_says_what_it_is_and_old_files_are_read_as_before() -> None:
    receiver, cabinet = circuit("condensing-unit-receiver"), circuit("capillary-cabinet")
    kinds = {port: ports.kind(receiver, port) for port in receiver.service_ports}
    assert kinds == {
        "suction-port": "cored", "discharge-port": "cored", "liquid-port": "gauge-port",
    }  # fmt: skip
    assert ports.valve(receiver, "liquid-port") == ("receiver-valve", "back-seated")
    assert not receiver.service_ports["liquid-port"].core
    assert ports.tubes(cabinet) == ("process-port", "drier-port")
    # Without a kind: no core and no valve is a tube, no core behind a valve its gauge port.
    lone, wrong = differences.apply(
        cabinet, [Difference(port="old", on="suction-line", core=False)]
    )
    assert not wrong and ports.kind(lone, "old") == "process-tube"
