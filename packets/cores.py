"""The service ports a job opens, and those whose cores are out at once: each takes a core tool."""

from __future__ import annotations

from collections.abc import Iterator

from packets.model.hookups import Hookups, Inlet, PortUse, Vent


def out_at_once(hookups: Hookups) -> dict[str, frozenset[str]]:
    """By hook-up, the ports whose cores are out together. A hook-up begins where the one before
    has ended, so its tools are free for the next."""
    sweep, known = hookups.sweep, hookups.made.service_ports
    swept = (sweep.inlet, sweep.vent) if sweep else ()
    return {
        "recovery": _drawn((*hookups.recovery.liquid, *hookups.recovery.vapor)),
        "sweep": frozenset(port for port in swept if port in known and known[port].core),
        "unbraze": _drawn(_ends(hookups, hot=True)),
        "braze": _drawn(_ends(hookups, hot=False)),
        "evacuation": _drawn(hookups.evacuation.pumped),
    }


def opened(hookups: Hookups) -> frozenset[str]:
    """Every port that something is joined to: each gets a new core and new caps."""
    joined = [
        *hookups.recovery.liquid,
        *hookups.recovery.vapor,
        *hookups.evacuation.pumped,
        *_ends(hookups, hot=True),
        *_ends(hookups, hot=False),
    ]
    sweep, gauge = hookups.sweep, hookups.evacuation.gauge
    others = {hookups.charging, gauge.port if gauge else ""}
    others |= {sweep.inlet, sweep.vent} if sweep else set()
    return frozenset((others | {use.port for use in joined}) - {""})


def _ends(hookups: Hookups, *, hot: bool) -> Iterator[Inlet | Vent]:
    """Where the gas comes in and goes out while stubs (`hot`) or new joints are in the flame."""
    steps = hookups.unbraze.steps if hot else hookups.braze.steps
    for step in steps:
        if step.route is not None:
            yield step.route.inlet
            yield step.route.vent


def _drawn(uses: Iterator[Inlet | Vent] | tuple[PortUse, ...]) -> frozenset[str]:
    return frozenset(use.port for use in uses if use.port and use.core_out)
