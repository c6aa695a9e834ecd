"""Numbers that the creamery lacks, of the jobs in `sample_jobs`, worked here beside them."""

from __future__ import annotations

import math

import CoolProp.CoolProp as coolprop
import pytest

from packets.quantities import INCH, POUND
from tests import sample_jobs
from tests.outside_truth import expected, mixture, value

FOOT = 12 * INCH


def liquid(fahrenheit: float) -> float:
    """R-448A at its bubble point [kg/m3]."""
    state = mixture()
    state.update(coolprop.QT_INPUTS, 0.0, (fahrenheit + 459.67) / 1.8)
    return float(state.rhomass())


def test_a_receiver_s_charge_by_coolprop_s_liquid() -> None:
    register = sample_jobs.register("leaking")
    # Evaporator 15, condenser 20, receiver's least 10, flooding 12 lb; 42 ft of 1/2 in tube, bore
    # 0.436 in (ASTM B280), liquid at 100 °F.
    line = math.pi / 4 * (0.436 * INCH) ** 2 * 42 * FOOT * liquid(100)
    parts = (15 + 20 + 10 + 12) * POUND + line
    assert value(register, "charge.by_parts") == pytest.approx(parts, rel=1e-3)
    # 0.8 of 1.5 ft3 (common practice, no source), warmest at the highest condensing, 120 °F.
    most = 0.8 * 1.5 * FOOT**3 * liquid(120)
    assert value(register, "charge.receiver_limit") == pytest.approx(most, rel=1e-3)


def test_a_flammable_charge_by_the_standard_s_formulas() -> None:
    register = sample_jobs.register("flammable")
    # IEC 60335-2-40:2018 GG.2: 20 m2 at 0.6 m 1.533 kg; three times the height, three times that.
    room = 3 * expected("flammables", "R-32-20-m2")
    assert value(register, "flammable.room_charge") == pytest.approx(room, abs=2e-3)
    # The same formula solved for the area: it goes with the square of the charge, which the label
    # and the packet print as 8 lb 13 oz (4 kg is 8 lb 13.1 oz).
    area = 20 * ((8 + 13 / 16) * POUND / room) ** 2
    assert value(register, "flammable.least_area") == pytest.approx(area, rel=1e-3)
    free = expected("flammables", "R-32-m1")
    assert value(register, "flammable.m1") == pytest.approx(free, abs=5e-3)


def test_mounting_bolts_are_tightened_as_the_guides_print_it() -> None:
    # Residential installation guides: 90 lbf in.
    inch_pounds = value(sample_jobs.register("plain"), "torque.mounting") / (POUND * 9.80665 * INCH)
    assert inch_pounds == pytest.approx(expected("torque", "compressor-mount-in"))


def test_a_core_s_torque_prints_in_the_unit_of_its_row() -> None:
    # Common practice, no source: 3 to 5 lbf in; 0.34 to 0.56 N m rounded inward would be 4 to 4.
    assert getattr(sample_jobs.register("plain").entries["torque.core"], "text", "") == (
        "3 to 5 lbf in"
    )


def test_an_orifice_s_superheat_is_within_what_the_appendix_prints() -> None:
    # California Energy Commission, 2008 Residential Appendix RA3.2.2: 5 °F for the installer.
    within = value(sample_jobs.register("orifice"), "verify.superheat_within")
    assert within * 1.8 == pytest.approx(5)


def test_the_lower_flammable_limit_is_a_sixth_of_the_charge_that_a_guide_prints() -> None:
    # 1.84 kg = 6 m3 x limit, to the digits printed: no check of ISO 817 itself.
    limit = value(sample_jobs.register("flammable"), "flammable.lfl")
    assert limit == pytest.approx(expected("flammables", "R-32-m1") / 6, abs=0.005 / 6)
