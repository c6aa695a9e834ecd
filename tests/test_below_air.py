"""Bands that cross the air's pressure are printed, and judged as they are printed."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from packets.judging import entries
from packets.model.limits import VACUUM, Limit
from packets.model.packet import Blank, Packet
from packets.pipeline import prepare
from tests import jobs
from tests.splits import TXV

INCH_HG, PSI = 3386.389, 6894.757293168361
AIR_980_FT = 101325 * (1 - 2.25577e-5 * 980 * 0.3048) ** 5.2559


def cold(folder: Path, refrigerant: str, low: int, high: int) -> Path:
    """A split on a capillary tube that evaporates below the air's pressure."""
    made = {
        name: [(old, new.replace("R-410A", refrigerant)) for old, new in pairs]
        for name, pairs in jobs.PLAIN.items()
    }
    made["equipment.yaml"] += [
        (TXV, "metering: {device: capillary}"),
        ("evaporating: {low: 35 degF, high: 50 degF}",
         f"evaporating: {{low: {low} degF, high: {high} degF}}"),
    ]  # fmt: skip
    made["equipment.yaml"] += [
        ("charge: 14 lb 8 oz", "charge: 5 oz"),
        (
            "name: liquid-line, size: 1/2 in, length: 42 ft",
            "name: liquid-line, size: 1/4 in, length: 3 ft",
        ),
    ]
    made["kit.yaml"].append(("scale: {resolution: 0.5 oz", "scale: {resolution: 0.1 oz"))
    made["kit.yaml"] += [(old, new.replace("A2L", "A2L, A3")) for old, new in jobs.RATED]
    made["kit.yaml"].insert(0, ("rated_for: [A1, A2L]", "rated_for: [A1, A2L, A3]"))
    return jobs.copy(folder, made)


def suction(packet: Packet) -> Blank:
    (blank,) = [
        one
        for section in packet.sections
        for step in section.steps
        for row in step.readings
        for one in row
        if section.fragment == "verify" and one.id == "suction"
    ]
    return blank


@pytest.mark.parametrize(
    ("refrigerant", "fluid", "low", "high"),
    [
        ("R-134a", "R134a", -25, 0),
        ("R-1234yf", "R1234yf", -30, 0),
        ("R-134a", "R134a", -35, -20),
    ],
)
def test_a_band_across_the_air_s_pressure_is_printed_in_inches_and_psig(
    tmp_path: Path, refrigerant: str, fluid: str, low: int, high: int
) -> None:
    """Dew pressures by CoolProp, less the standard atmosphere of 980 ft; inward to half an inch of
    mercury and to a psi."""
    done = prepare(cold(tmp_path, refrigerant, low, high))
    assert done.packet is not None, [str(f) for f in done.findings]
    blank = suction(done.packet)
    ends = [
        PropsSI("P", "T", (at + 459.67) / 1.8, "Q", 1, fluid) - AIR_980_FT for at in (low, high)
    ]
    assert ends[0] < 0
    limit = blank.limit
    assert limit is not None and limit.low is not None and limit.high is not None
    inches = int(-ends[0] / INCH_HG * 2) / 2
    if ends[1] > 0:
        assert blank.unit == "psig"
        assert blank.limit_text == f"{inches:.1f} in. Hg vacuum to {int(ends[1] / PSI)} psig"
        written = entries.number(f"{inches} in. Hg", "gauge-pressure", "psig")
        deeper = entries.number(f"{inches + 0.5} in. Hg", "gauge-pressure", "psig")
        assert limit.allows(written) is True
        assert limit.allows(deeper) is False
        assert limit.allows(Decimal(0)) is True
    else:
        assert blank.unit == VACUUM
        assert blank.limit_text.endswith(f" to {inches:.1f} in. Hg vacuum")


def test_a_band_in_kilopascals_crosses_zero(tmp_path: Path) -> None:
    done = prepare(cold(tmp_path, "R-134a", -25, 0), units="si")
    assert done.packet is not None, [str(f) for f in done.findings]
    limit = suction(done.packet).limit
    assert limit is not None and limit.low is not None and limit.high is not None
    assert limit.low < 0 < limit.high


def test_what_is_printed_of_a_band_is_what_is_judged() -> None:
    limit = Limit("between", "psig", Decimal("-4.911541"), Decimal(6))
    assert limit.text() == "10.0 in. Hg vacuum to 6 psig"
    assert Limit("between", VACUUM, Decimal(-10), Decimal(-4)).text() == "4 to 10 in. Hg vacuum"
