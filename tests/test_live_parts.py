"""A replay of the printed steps: what is live, what is proved dead, what is on the unit.

The steps are read by their printed sentences, from the first to the last. Whoever does them in that
order must never reach into a panel that is live or only called dead, and power must never come back
onto a compressor that starts by itself, onto an open panel, or onto a hose that nobody watches.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest

from packets.model.packet import Packet, Section, Step
from packets.pipeline import prepare
from tests import jobs
from tests.jobs import Change

# Steps in which hands are at terminals, wires or leads of the panel or the compressor.
HANDS = {
    "confirm-diagnosis": {"leads", "windings", "windings-and-capacitor"},
    "replace-compressor": {"unwire", "heater", "wire"},
    "renew-electrical": {"contactor", "capacitors", "pressure-controls"},
    "serve-heater": {"leads-off", "switch", "leads-on"},
    "start-up": {"connect", "switch", "clips", "clips-single"},
    "close-panel": {"leads-out", "switch-out"},
    "test-locked-rotor": {"switch", "leads-on", "leads-off", "switch-out"},
}
POWER = re.compile(r"Stand to the side and close")
START = re.compile(r" to on\b|start the compressor with")
ALONE = 60.0  # minutes for which nobody stays beside the unit


@dataclass
class Unit:
    """What the sentences read so far have done to the machine."""

    supply: bool = True
    panel: bool = False
    locked: bool = False
    ac_zero: bool = False
    discharged: bool = False
    proved: bool = False
    held_off: bool = False
    leads_on: bool = True
    clips: bool = False
    switch: bool = False
    hoses: set[str] = field(default_factory=set)
    faults: list[str] = field(default_factory=list)

    def want(self, holds: bool, step: Step, fault: str) -> None:
        if not holds:
            self.faults.append(f"{step.number} {step.id}: {fault}")


def said(step: Step) -> str:
    return " ".join("".join(span.text for span in step.action).split())


def signed(step: Step) -> str:
    return "".join(span.text for span in step.sign.text) if step.sign else ""


def do(unit: Unit, section: Section, step: Step) -> None:
    """What one printed step does, and what it must find."""
    text, name = said(step), step.id.partition("/")[2].partition("@")[0]
    if name in HANDS.get(section.fragment, ()):
        unit.want(unit.proved and not unit.supply, step, "hands at a panel that is not proved dead")
    if re.search(r"open the disconnect|open it\b", text, re.I):
        unit.supply = False
    if "Lock out and tag each" in text:
        unit.want(not unit.supply, step, "locked before the disconnect is open")
        unit.locked = True
    if "Open the panel" in text:
        unit.panel = True
    if "Measure AC at each load pole" in text:
        unit.want(unit.locked, step, "AC is read at poles that are not locked out")
        unit.want("live-parts" in [c.id for c in step.cautions], step, "no caution of live parts")
        unit.ac_zero = True
    if "discharge resistor on each capacitor" in text:
        unit.want(unit.ac_zero, step, "the resistor goes on before AC is read as zero")
        unit.want("capacitor" in [c.id for c in step.cautions], step, "no caution of capacitors")
        unit.want(re.search(r"for \d+ s.{0,2}or more", text) is not None, step, "no time")
        unit.discharged = True
    if "each pole is dead" in signed(step):
        unit.want(unit.ac_zero and unit.discharged, step, "proved dead with capacitors charged")
        unit.proved = True
    if re.search(r"Disconnect the compressor leads|tag and disconnect them|Disconnect them", text):
        unit.leads_on = False
    if re.search(r"Connect the (?:compressor )?leads", text):
        unit.leads_on = True
    if "Connect the temporary control switch" in text:
        unit.switch = True
        unit.want("Set it to off" in text, step, "the switch goes in and is not off")
    if re.match(r"Remove the temporary control switch", text):
        unit.switch = False
    if text.startswith("Clip the volt leads"):
        unit.clips = True
    if text.startswith("Remove the volt leads"):
        unit.clips = False
    if re.search(r"Close (?:the panel|each cover)", text):
        unit.panel = False
    if re.search(r"Set the thermostat(?: and the fan)? to off", text):
        unit.held_off = True
    if re.search(r"Set the thermostat(?: and the fan as|,? the mode| to cool)", text):
        # With the control off, a thermostat that calls starts fans and nothing else.
        unit.held_off = unit.held_off and re.search(r"Leave the .*switch off", text) is not None
    if re.search(r"set (?:thermostat and fans|the thermostat and the fan) back", text):
        unit.held_off = False
    hoses(unit, text, step)
    if POWER.search(text):
        power(unit, section, step)
    if section.fragment in ("start-up", "test-locked-rotor") and re.search(
        r" to on\b|start the compressor with", text
    ):
        unit.want(unit.supply and not unit.panel, step, "started with the panel open or dead")
        told = "clear" in signed(step) or "everyone clear" in text
        told = told or section.fragment == "test-locked-rotor"  # signed when power came back
        unit.want(told, step, "started, and who is near?")
        unit.held_off = re.search(r"to off\b", text) is not None
    if step.waiting_minutes > ALONE and unit.supply:
        unit.want(not unit.leads_on, step, "left live and alone with the compressor leads on")
    if step.waiting_minutes > ALONE and section.fragment in ("serve-heater",):
        unit.want(not unit.hoses, step, f"left alone with {sorted(unit.hoses)} on the unit")


def hoses(unit: Unit, text: str, step: Step) -> None:
    """The hoses of the charge and of the start."""
    if "on the scale to the" in text and "pull both hoses down" in text:
        unit.hoses = {"charging hose", "gauge hose"}
    if "Warm it with the electric heating blanket from the cylinder to the port" in text:
        unit.want("liquid in the hose" in unit.hoses, step, "nothing to warm")
        unit.hoses.discard("liquid in the hose")
    if re.search(r"[Cc]harge (?:on )?as liquid", text):
        unit.hoses.add("liquid in the hose")
    if re.search(r"close the port\. Close the valve at the hose's end", text):
        unit.want("liquid in the hose" not in unit.hoses, step, "liquid is shut in the hose")
        unit.hoses.discard("charging hose")
    if text.startswith("Close the") and "Disconnect the gauge hose" in text:
        unit.hoses.discard("gauge hose")
    if "Disconnect the hoses by their low-loss fittings" in text:
        unit.hoses.clear()
    if re.match(r"Connect the low-side hose", text):
        unit.hoses.add("gauges")


def power(unit: Unit, section: Section, step: Step) -> None:
    """Power comes back: nothing is open, nothing starts by itself, everyone is clear."""
    unit.want(not unit.panel, step, "power on an open panel")
    unit.want("clear" in signed(step), step, "nobody signs that everyone is clear")
    unit.want(unit.proved, step, "the panel was not proved dead before it was closed")
    if section.fragment == "close-panel":
        unit.want(
            "start by itself" in signed(step), step, "it starts by itself, and nobody says so"
        )
        unit.want(not unit.clips and not unit.switch, step, "ours is still in the panel")
    else:
        unit.want(unit.held_off, step, "the control can start the compressor")
    if section.fragment == "serve-heater":
        unit.want(not unit.leads_on, step, "the heater comes on with the compressor leads on")
        unit.want(not unit.hoses, step, f"{sorted(unit.hoses)} left on the unit")
    unit.supply, unit.locked = True, False
    unit.proved = unit.ac_zero = unit.discharged = False


def replay(packet: Packet) -> Unit:
    """All printed steps, in order."""
    unit = Unit()
    for section in packet.sections:
        for step in section.steps:
            do(unit, section, step)
    return unit


HEATER: list[Change] = [
    ("      rated_load_current", "      crankcase_heater: true\n      rated_load_current")
]
NO_HEATER: list[Change] = [("      crankcase_heater: true\n      heater_time: 12 h\n", "")]
SEIZED: list[Change] = [
    ("compressor: electrical-burnout, acid_test: acid",
     "compressor: mechanical-failure, acid_test: clean"),
    ("    suction_drier: {model: SD-489 with two ports, size: 1-1/8 in, ports: true}\n", ""),
]  # fmt: skip
SIGNED: Change = (
    "also: [",
    'diagnosed: {by: J. Orrin, on: 2026-03-16, readings: "60 A, still"}\nalso: [',
)
OWN_SWITCH: list[Change] = [("    controls: {", "    controls: {control_switch: true, ")]
OUTSIDE: list[Change] = [
    ("    controls: {", "    controls: {control_switch: true, test_points: true, ")
]
ROTOR: list[Change] = [
    ("  a: [replace-compressor]", "  a: [replace-compressor, test-locked-rotor]")
]
CREAMERY, LIBRARY, CLINIC = "creamery-cooler", "library-heat-pump", "clinic-wall-split"
# Three-phase and single-phase, burnt and seized, heater and none, flammable and not, vapor charge.
MACHINES: dict[str, tuple[str, dict[str, list[Change]]]] = {
    "burnt, three-phase, heater, pump-down": (CREAMERY, {}),
    "burnt, three-phase, no heater": (CREAMERY, {"equipment.yaml": NO_HEATER}),
    "seized, three-phase, heater": (CREAMERY, {"job.yaml": SEIZED}),
    "seized, three-phase, tried": (CREAMERY, {"job.yaml": SEIZED + ROTOR}),
    "burnt, its own control switch": (CREAMERY, {"equipment.yaml": OWN_SWITCH}),
    "burnt, read outside": (CREAMERY, {"equipment.yaml": OUTSIDE}),
    "seized, single-phase, flammable": (LIBRARY, {}),
    "seized, single-phase, flammable, heater": (LIBRARY, {"equipment.yaml": HEATER}),
    "seized, single-phase, flammable, tried": (LIBRARY, {"job.yaml": ROTOR}),
    "runs, single-phase, flammable, vapor": (CLINIC, {}),
    "runs, single-phase, flammable, vapor, heater": (CLINIC, {"equipment.yaml": HEATER}),
    "seized, single-phase, not flammable": (CREAMERY, jobs.PLAIN),
}


@cache
def packet_of(machine: str, folder: Path) -> Packet:
    example, changes = MACHINES[machine]
    job = jobs.copy(folder, changes, jobs.EXAMPLES / example)
    done = prepare(job)
    assert done.packet is not None, [str(finding) for finding in done.findings]
    return done.packet


def fragments(packet: Packet) -> list[str]:
    return [section.fragment for section in packet.sections]


@pytest.mark.parametrize("machine", MACHINES)
def test_nobody_meets_a_live_part_or_a_start_by_itself(machine: str, tmp_path: Path) -> None:
    packet = packet_of(machine, tmp_path)
    unit = replay(packet)
    assert not unit.faults, "\n".join(unit.faults)
    # It is left running on closed panel, with nothing of ours in it.
    assert unit.supply and not unit.panel and not unit.clips and not unit.switch


@pytest.mark.parametrize("machine", MACHINES)
def test_each_step_that_proves_dead_has_its_four_parts_in_order(
    machine: str, tmp_path: Path
) -> None:
    packet = packet_of(machine, tmp_path)
    marks = ("Lock out and tag each", "Measure AC at each load pole",
             "discharge resistor on each capacitor", "Measure AC and DC again")  # fmt: skip
    asked = {"lock-out", "serve-heater", "close-panel", "test-locked-rotor"}
    for section in packet.sections:
        texts = " ".join(said(step) for step in section.steps)
        if section.fragment in asked:
            places = [texts.find(mark) for mark in marks]
            assert -1 not in places and places == sorted(places), section.title


def test_taking_a_step_out_is_found(tmp_path: Path) -> None:
    """The replay finds what it is for: each of these steps left out is a fault."""
    # Where no compressor is replaced, the heater's section is the one that takes the leads off.
    warmed = packet_of("runs, single-phase, flammable, vapor, heater", tmp_path)
    found_off(warmed, {"serve-heater": {"leads-off", "ready"}, "weigh-in-charge": {"vapor-off"}})
    needed = {
        "lock-out": {"ac-zero", "capacitors", "prove-dead"},
        "weigh-in-charge": {"empty-hose", "hose-off", "gauge-off"},
        "serve-heater": {"again-ac", "again-capacitors", "again-dead"},
        "close-panel": {"ac", "capacitors", "dead", "leads-out", "switch-out", "shut"},
    }
    (tmp_path / "burnt").mkdir()
    found_off(packet_of("burnt, three-phase, heater, pump-down", tmp_path / "burnt"), needed)


def found_off(packet: Packet, needed: dict[str, set[str]]) -> None:
    """Each step left out is a fault of the replay, or leaves something in the panel."""
    for fragment, names in needed.items():
        for name in names:
            unit = Unit()
            for section in packet.sections:
                for step in section.steps:
                    if not step.id.startswith(f"{fragment}/{name}@"):
                        do(unit, section, step)
            assert unit.faults or unit.clips, f"{fragment}/{name}"


def test_the_controls_set_back_early_are_found(tmp_path: Path) -> None:
    packet = packet_of("burnt, three-phase, no heater", tmp_path)
    unit = replay(packet)
    unit.held_off = False
    (start,) = [one for one in packet.sections if one.fragment == "start-up"]
    unit.proved = True
    for step in start.steps:
        if not step.id.startswith("start-up/control-off"):
            do(unit, start, step)
    assert any("the control can start the compressor" in fault for fault in unit.faults)


def test_the_bump_is_the_crew_lead_s_and_leaves_the_control_off(tmp_path: Path) -> None:
    packet = packet_of("burnt, three-phase, heater, pump-down", tmp_path)
    (start,) = [one for one in packet.sections if one.fragment == "start-up"]
    names = [step.id.partition("/")[2].partition("@")[0] for step in start.steps]
    order = [names.index(n) for n in ("control-off", "unlock", "bump", "call-last", "start")]
    assert order == sorted(order)
    # A thermostat that calls opens the solenoid: the compressor starts in the very next step.
    assert order[-1] == order[-2] + 1
    bump = start.steps[names.index("bump")]
    assert "crew lead" in signed(bump) and "everyone is clear" in signed(bump)
    assert said(bump).endswith("Leave the temporary control switch off.")
    assert said(start.steps[names.index("start")]).startswith("With everyone clear")


def test_test_points_outside_need_no_second_opening(tmp_path: Path) -> None:
    packet = packet_of("burnt, read outside", tmp_path)
    assert "close-panel" not in fragments(packet)
    (start,) = [one for one in packet.sections if one.fragment == "start-up"]
    assert not any(step.id.startswith("start-up/clips") for step in start.steps)
    assert any(step.id.startswith("start-up/covers-on") for step in start.steps)


def test_meter_leads_come_out_step_by_step_before_the_site_is_left(tmp_path: Path) -> None:
    packet = packet_of("runs, single-phase, flammable, vapor", tmp_path)
    order = fragments(packet)
    assert order.index("verify") < order.index("close-panel") < order.index("leave-clean")
    (closing,) = [one for one in packet.sections if one.fragment == "close-panel"]
    names = [step.id.partition("/")[2].partition("@")[0] for step in closing.steps]
    assert names == [
        "stop", "lock", "ac", "capacitors", "dead", "leads-out", "shut", "restart", "runs",
    ]  # fmt: skip
    (leaving,) = [one for one in packet.sections if one.fragment == "leave-clean"]
    labels = [b.label for step in leaving.steps for row in step.readings for b in row]
    assert not any("meter clips" in str(label) for label in labels)
    assert any(step.id.startswith("leave-clean/setpoint") for step in leaving.steps)


@pytest.mark.parametrize("machine", MACHINES)
def test_volts_are_read_with_the_disconnect_open(machine: str, tmp_path: Path) -> None:
    packet = packet_of(machine, tmp_path)
    (lock,) = [one for one in packet.sections if one.fragment == "lock-out"]
    names = [step.id.partition("/")[2].partition("@")[0] for step in lock.steps]
    assert names.index("as-found") < names.index("open") < names.index("live-volts")
    assert "Do not reset, replace or close any of them" in said(lock.steps[names.index("as-found")])
    volts = said(lock.steps[names.index("live-volts")])
    assert "line side of the open disconnect" in volts and "leave it tripped" in volts


def test_ohms_exclude_a_ground_and_the_earlier_diagnosis_is_signed(tmp_path: Path) -> None:
    for machine in ("seized, three-phase, heater", "seized, single-phase, flammable"):
        (tmp_path / machine).mkdir()
        packet = packet_of(machine, tmp_path / machine)
        (part,) = [one for one in packet.sections if one.fragment == "confirm-diagnosis"]
        blanks = [b for step in part.steps for row in step.readings for b in row]
        by_id = {b.id: b for b in blanks}
        told = {"same-unit", "told-signed"}
        written = {"made-by", "made-on", "readings-then", "signed"}
        assert (told if "flammable" in machine else written) <= set(by_id) and "agrees" in by_id
        assert not any("mechanical" in (c.text for c in b.choices) for b in blanks)
        ohms = by_id.get("legs") or by_id["sum-off"]
        assert ohms.limit is not None and ohms.limit.rows
        assert "not grounded" in signed(part.steps[-1])


def test_the_desk_is_told_that_nobody_signed_the_diagnosis(tmp_path: Path) -> None:
    for at, (changes, warned) in enumerate(
        (([], False), (SEIZED, True), ([*SEIZED, SIGNED], False))
    ):
        (tmp_path / str(at)).mkdir()
        done = jobs.prepared(tmp_path / str(at), {"job.yaml": changes})
        codes = [finding.code for finding in done.findings.warnings()]
        assert ("diagnosis-unsigned" in codes) == warned


def test_a_locked_rotor_test_is_only_made_when_ordered_and_never_after_a_burnout(
    tmp_path: Path,
) -> None:
    for at, (machine, made) in enumerate(
        (("seized, three-phase, heater", False), ("seized, three-phase, tried", True))
    ):
        (tmp_path / str(at)).mkdir()
        order = fragments(packet_of(machine, tmp_path / str(at)))
        assert ("test-locked-rotor" in order) == made
        if made:
            assert order.index("confirm-diagnosis") < order.index("test-locked-rotor")
            assert order.index("test-locked-rotor") < order.index("recover")
    for at, job in enumerate((
        [(ROTOR[0][0], ROTOR[0][1])],
        [(SEIZED[0][0], "compressor: mechanical-failure, acid_test: acid"), ROTOR[0]],
    )):  # fmt: skip
        (tmp_path / f"burnt-{at}").mkdir()
        done = jobs.prepared(tmp_path / f"burnt-{at}", {"job.yaml": job})
        assert done.packet is None
        assert set(jobs.codes(done)) == {"no-plan"}
