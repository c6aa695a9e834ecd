"""The gas volume of the circuit: one place that says what it is and where it comes from.

All numbers that need it ask here, so another source than the record is added here alone. It is a
range: a time that must not be promised too short takes the most, one that is "no sooner than" the
least.
"""

from __future__ import annotations

from dataclasses import dataclass

from packets.model.numbers import Confidence, Input
from packets.numbers.context import Context


@dataclass(frozen=True)
class InternalVolume:
    """Least and most volume [m3], as printed, where it comes from and how sure it is."""

    least: float
    most: float
    text: str
    where: str
    confidence: Confidence = "given"

    @property
    def input(self) -> Input:
        return Input("internal volume", self.text, self.where)


def internal_volume(context: Context) -> InternalVolume | None:
    """Volume of the whole circuit, parts and lines: stated, else worked out from its lines and the
    charge; None where nothing tells it."""
    stated = context.record.internal_volume
    if stated is not None:
        where = context.key("internal_volume")
        return InternalVolume(stated.value, stated.value, stated.text, where)
    volumes = context.hookups.volumes
    if volumes.not_counted:
        return None
    whole = volumes.of(tuple(volumes.elements))
    least, most = (
        context.shown(end, "volume", way) for end, way in ((whole.low, "down"), (whole.high, "up"))
    )
    where = (
        f"worked out from the circuit: {'; '.join(volumes.assumptions) or 'every size is stated'}"
    )
    text = f"{least.split()[0]} to {most}"
    return InternalVolume(whole.low, whole.high, text, where, "practice")


def wait_for_volume(context: Context, *names: str) -> None:
    """Note that these numbers wait for the volume."""
    for name in names:
        context.register.wait(
            name, context.key("internal_volume"), "the internal volume is not stated"
        )
