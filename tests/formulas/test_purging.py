"""Purges by flow and by pressure, gas leaving a hole, and what cylinders can give."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import solve_ivp

from packets.formulas import nitrogen, purging
from packets.formulas.nitrogen_store import Draw, Store, short

PSI, FOOT, INCH = 6894.757, 0.3048, 0.0254
SCFH = FOOT**3 / 3600
AIR = 101325.0


@pytest.mark.parametrize(
    ("bore", "feet"),
    [(1 / 16, 65), (1 / 8, 16), (0.311, 2.6), (0.545, 0.86), (0.785, 0.41), (1.025, 0.24)],
)
def test_speed_of_five_scfh_at_an_opening(bore: float, feet: float) -> None:
    """By arithmetic: 5 ft3/h over the hole or the bore of ACR tube of 3/8 to 1-1/8 in. (ASTM B280
    bores, CDA handbook). Skin feels about 0.5 to 1 ft/s: common practice, no source."""
    found = purging.outlet_speed(5 * SCFH, bore * INCH) / FOOT
    by_hand = 5 / 3600 / (math.pi / 4 * (bore / 12) ** 2)
    assert found == pytest.approx(by_hand, rel=1e-6)
    assert found == pytest.approx(feet, rel=0.03)
    assert purging.flow_for_speed(found * FOOT, bore * INCH) == pytest.approx(5 * SCFH)


@pytest.mark.parametrize("p_atm", [AIR, 69700.0])
@pytest.mark.parametrize("psig", [20, 40, 100])
def test_cycles_thin_the_old_gas_as_far_as_five_mixed_volumes(psig: float, p_atm: float) -> None:
    """Dalton by hand: after each vent the old gas is thinned by the ratio of the pressures."""
    count = purging.pressure_cycles(5, psig * PSI, p_atm)
    old = 1.0
    for _ in range(count):
        old *= p_atm / (p_atm + psig * PSI)
    assert old <= math.exp(-5)
    assert old * (p_atm + psig * PSI) / p_atm > math.exp(-5)


def test_vent_time_by_an_integrator_of_isentropic_flow() -> None:
    """28 ft3 from 40 psig through a 1/4 in. hole: scipy's integrator over the textbook's mass flow,
    choked and not, written here again."""
    volume, hole, kelvin, k = 28 * FOOT**3, 0.25 * INCH, 294.26, 1.4
    gas = 8.314462618 / 28.0134e-3
    area = 0.61 * math.pi / 4 * hole**2

    def slope(_: float, y: list[float]) -> list[float]:
        ratio = max(AIR / y[0], (2 / (k + 1)) ** (k / (k - 1)))
        flow = (
            area
            * y[0]
            * math.sqrt(
                2 * k / ((k - 1) * gas * kelvin) * (ratio ** (2 / k) - ratio ** ((k + 1) / k))
            )
        )
        return [-flow * gas * kelvin / volume]

    def zero(_: float, y: list[float]) -> float:
        return float(y[0] - AIR - PSI / 2)

    zero.terminal = True  # type: ignore[attr-defined]
    done = solve_ivp(slope, (0, 3600), [AIR + 40 * PSI], events=zero, rtol=1e-8)
    ours = purging.vent_time(volume, 40 * PSI, PSI / 2, hole, AIR, kelvin)
    assert ours == pytest.approx(float(done.t_events[0][0]), rel=2e-3)


def cylinder(psig: float, feet: float = 40.0) -> Store:
    return Store(feet * FOOT**3, 2200 * PSI + AIR, psig * PSI + AIR)


def test_a_cylinder_at_260_psig_makes_no_fill_of_303_psig() -> None:
    """Gas does not flow uphill; 50 psi for the regulator: common practice, no source."""
    fill = Draw("fill", 2.9 * FOOT**3, 353 * PSI + AIR)
    [(draw, lack)] = short([cylinder(260)], [fill])
    assert draw is fill
    assert lack == pytest.approx(2.9 * FOOT**3)
    assert short([cylinder(600)], [fill]) == []


def test_purges_before_the_fill_are_taken_from_the_cylinder_that_makes_no_fill() -> None:
    # By hand: 2200 psig is 2214.7 psia. 400 to 353 psig of 40 ft3 is 47/2214.7 x 40 = 0.85 ft3;
    # 260 to 70 psig is 190/2214.7 x 40 = 3.43 ft3.
    fill = Draw("fill", 0.8 * FOOT**3, 353 * PSI + AIR)
    purge = Draw("purge", 3.4 * FOOT**3, 70 * PSI + AIR)
    assert short([cylinder(400), cylinder(260)], [purge, fill]) == []
    [(draw, _)] = short([cylinder(400)], [purge, fill])
    assert draw is fill
    # After the fill the same cylinder still serves the purge.
    assert short([cylinder(400)], [fill, purge]) == []


def test_the_pressure_to_keep_gives_the_fill_and_no_more() -> None:
    store = cylinder(2200)
    gas, floor = 7.0 * FOOT**3, 353 * PSI + AIR
    least = store.pressure_for(gas, floor)
    full = store.full_content, store.full_pressure
    held = nitrogen.content_left(*full, least) - nitrogen.content_left(*full, floor)
    assert held == pytest.approx(gas)
