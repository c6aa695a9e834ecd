"""A packet that came back, judged: every reading by the limit that was printed beside it.

Judging reads the packet model that was printed, never a fresh computation. It answers pass, out,
missing, not plausible, not judged, or noted (no limit); it guesses nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from packets.judging import refrigerant, steps, times, wholes
from packets.judging.steps import Sheet
from packets.model.packet import Packet
from packets.model.readings import Readings
from packets.model.record import Balance, Signed, StepDone, Test


@dataclass(frozen=True)
class Judgement:
    """All verdicts of a packet."""

    sheet: Sheet
    steps: tuple[StepDone, ...]
    tests: tuple[Test, ...]
    signed: tuple[Signed, ...]
    balances: tuple[Balance, ...]


def judge(packet: Packet, readings: Readings) -> Judgement:
    """Judge the readings of a packet."""
    sheet = Sheet(packet, readings)
    done = times.check(sheet, steps.judge(sheet))
    return Judgement(
        sheet,
        done,
        wholes.tests(sheet, done, sheet.circuits),
        steps.signatures(sheet),
        refrigerant.balances(sheet, done),
    )
