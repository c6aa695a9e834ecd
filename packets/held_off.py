"""What holds the compressor off when power returns, and whether its start is read from outside."""

from __future__ import annotations

from collections.abc import Collection

from packets.model.equipment import Circuit


def temporary_switch(record: Circuit, phases: int, kinds: Collection[str]) -> bool:
    """Whether the crew fits a switch that holds the compressor off when power returns.

    A thermostat cannot bump a three-phase compressor: many delay the start. On a pump-down system
    it moves only the liquid-line solenoid, and the low-pressure control starts the compressor.
    """
    needed = phases == 3 or "solenoid" in kinds
    return needed and not record.controls.control_switch


def starts_by_switch(record: Circuit, phases: int, kinds: Collection[str]) -> bool:
    """Whether a switch, the unit's own or a temporary one, starts the compressor."""
    return record.controls.control_switch or temporary_switch(record, phases, kinds)


def outside_readings(record: Circuit, phases: int, kinds: Collection[str]) -> bool:
    """Whether the start is read at test points outside and the panel is not opened for it."""
    return record.controls.test_points and not temporary_switch(record, phases, kinds)
