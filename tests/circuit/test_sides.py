"""Where the low side is read while the charge goes in."""

from __future__ import annotations

import pytest

from packets.circuit.sides import low_port, side
from tests.circuit.known import IDS, WITHOUT_DRIER, circuit


@pytest.mark.parametrize("id", [*IDS, *WITHOUT_DRIER])
def test_the_low_side_is_read_at_a_port_that_is_not_the_high_sides(id: str) -> None:
    plan = circuit(id)
    for taken in plan.service_ports:
        sides = {port: side(plan, port) for port in plan.service_ports if port != taken}
        read = low_port(plan, taken)
        if "low" in sides.values():
            assert sides[read] == "low"
        elif set(sides.values()) - {"high"}:
            assert sides[read] != "high"
        else:
            assert read == taken


def test_a_heat_pump_is_read_where_the_side_does_not_change() -> None:
    # Its vapor port is the high side in heating; the common suction port is low in both modes.
    assert low_port(circuit("split-heat-pump"), "liquid-port") == "suction-port"
