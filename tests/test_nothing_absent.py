"""A packet never names what the machine does not have, and loads each instrument that it asks for.

Machines are generated: each shipped circuit with and without some of its parts, on one phase and on
three, in closed rooms and outdoors, with and without a crankcase heater, for several kinds of work.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest

from packets import markup
from packets.circuit import ports
from packets.model.packet import Packet, Section, Step
from packets.pipeline import Prepared, prepare
from tests import jobs
from tests.test_load_list import lines, unloaded
from tests.test_packets import DRIER_ONLY, EMPTY, FLAMMABLE
from tests.test_ports import LEAK

Changes = dict[str, list[jobs.Change]]


def _circuit(id: str, *more: jobs.Change) -> Changes:
    """The plain job on another circuit."""
    made = {name: list(pairs) for name, pairs in jobs.PLAIN.items()}
    made["equipment.yaml"] += [("circuit: split-cooling", f"circuit: {id}"), *more]
    return made


def _joined(*all_of: Changes) -> Changes:
    made: Changes = {}
    for one in all_of:
        for name, pairs in one.items():
            made[name] = [*made.get(name, []), *pairs]
    return made


def _without(*parts: str) -> Changes:
    listed = "".join(f"      - {{remove: {part}}}\n" for part in parts)
    return {"equipment.yaml": [("    metering:", f"    differences:\n{listed}    metering:")]}


_TXV = "metering: {device: txv, superheat: 8 degF, superheat_within: 3 degF, subcooling: 6 degF}"
_FITTED = (
    "    metering:",
    "    differences:\n"
    "      - {remove: process-port}\n"
    "      - {remove: drier-port}\n"
    "      - {port: suction-port, on: suction-line, name: suction service port}\n"
    "      - {port: liquid-port, on: condenser-line, name: liquid service port}\n"
    "    metering:",
)
_NO_VALVES = {
    "equipment.yaml": [
        ("    metering:",
         "    differences:\n"
         "      - {remove: liquid-valve}\n"
         "      - {remove: suction-valve}\n"
         "      - {port: suction-access, on: suction-line, name: suction service port}\n"
         "      - {port: liquid-access, on: liquid-line, name: liquid service port}\n"
         "      - {port: discharge-access, on: discharge-line, name: discharge service port}\n"
         "    metering:")
    ]
}  # fmt: skip
_NO_RECEIVER = {
    "equipment.yaml": [
        ("    metering:",
         "    differences:\n"
         "      - {remove: receiver}\n"
         "      - {remove: receiver-valve}\n"
         "      - {port: liquid-access, on: drain-line, name: liquid service port}\n"
         "    metering:"),
        ("name: liquid-line, size", "name: drain-line, size"),
        ("{place: receiver, setting", "{place: condenser, setting"),
    ]
}  # fmt: skip
_ACCUMULATOR = {
    "equipment.yaml": [
        ("    metering:",
         "    differences:\n"
         "      - {add: accumulator, in: suction-line, kind: accumulator, at: [8, 3]}\n"
         "    metering:")
    ]
}  # fmt: skip
_CLOSED = {"equipment.yaml": [("kind: outdoor,", "kind: indoor, closed_room: true,")]}
_NO_HEATER = {"equipment.yaml": [("      crankcase_heater: true\n      heater_time: 12 h\n", "")]}
_CABINET_LINE = ("name: liquid-line, size", "name: condenser-line, size")
_CAPILLARY = (_TXV, "metering: {device: capillary, superheat: 8 degF, superheat_within: 3 degF}")
_EEV = (_TXV, _TXV.replace("txv", "eev"))
_CHANGE = (
    "    metering:",
    "    differences:\n      - {change: metering, device: eev}\n    metering:",
)
_DRIER_FLARED = {
    "equipment.yaml": [
        ("drier.in: {size: 1/2 in, kind: brazed, metals: [copper, copper]}",
         "drier.in: {size: 1/2 in, kind: flare, metals: [copper, brass]}"),
        ("drier.out: {size: 1/2 in, kind: brazed, metals: [copper, copper]}",
         "drier.out: {size: 1/2 in, kind: flare, metals: [copper, brass]}"),
    ]
}  # fmt: skip
MACHINES: dict[str, Changes] = {
    "walk-in burnt": {},
    "walk-in without solenoid": _without("solenoid"),
    "walk-in without glass": _without("sight-glass"),
    "walk-in without receiver": _NO_RECEIVER,
    "walk-in with accumulator": _ACCUMULATOR,
    "walk-in with back-seating valves alone": jobs.GAUGE_PORTS,
    "walk-in without heater": _NO_HEATER,
    "walk-in in a closed room": _CLOSED,
    "walk-in empty": EMPTY,
    "walk-in mildly flammable": FLAMMABLE,
    "walk-in drier alone": DRIER_ONLY,
    "walk-in flared drier alone": _joined(DRIER_ONLY, _DRIER_FLARED),
    "walk-in leak": LEAK,
    "split": jobs.PLAIN,
    "split without valves": _joined(jobs.PLAIN, _NO_VALVES),
    "split closed room": _joined(jobs.PLAIN, _CLOSED),
    "split eev": _circuit("split-cooling", _EEV, _CHANGE),
    "package": _circuit("packaged-cooling"),
    "heat pump, packaged": _circuit("packaged-heat-pump"),
    "heat pump, split": _circuit("split-heat-pump"),
    "cabinet with ports": _circuit("capillary-cabinet", _CAPILLARY, _FITTED, _CABINET_LINE),
}
EXAMPLES = [path.parent.name for path in sorted(jobs.EXAMPLES.glob("*/job.yaml"))]
NAMES = [*MACHINES, *EXAMPLES]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Prepared]:
    """A machine's job as far as its packet, made once."""
    done: dict[str, Prepared] = {}

    def one(name: str) -> Prepared:
        if name not in done:
            if name in EXAMPLES:
                done[name] = prepare(jobs.EXAMPLES / name / "job.yaml")
            else:
                done[name] = jobs.prepared(tmp_path_factory.mktemp("m"), MACHINES[name])
        assert done[name].packet is not None, [str(f) for f in done[name].findings.errors()]
        return done[name]

    return one


def _kinds(done: Prepared) -> set[str]:
    return {part.kind for part in done.circuits["a"].context.hookups.made.parts.values()}


def _devices(done: Prepared) -> set[str]:
    parts = done.circuits["a"].context.hookups.made.parts.values()
    return {part.device or "txv" for part in parts if part.kind == "metering"}


def _port_kinds(done: Prepared) -> set[str]:
    plan = done.circuits["a"].context.hookups.made
    return {ports.kind(plan, port) for port in plan.service_ports}


def _record(done: Prepared):  # type: ignore[no-untyped-def]
    return done.circuits["a"].context.record


def _flares(done: Prepared) -> bool:
    return any(joint.kind == "flare" for joint in done.circuits["a"].context.record.joints.values())


def _space(done: Prepared):  # type: ignore[no-untyped-def]
    return done.circuits["a"].context.equipment.space


# A thing, the words that name it, and whether this machine, its site and its work have it.
THINGS: dict[str, tuple[str, Callable[[Prepared], bool]]] = {
    "receiver": (r"\breceivers?\b", lambda d: "receiver" in _kinds(d)),
    "solenoid": (r"\bsolenoid|\bmagnet\b", lambda d: "solenoid" in _kinds(d)),
    "sight glass": (
        r"\bsight glass",
        lambda d: "sight-glass" in _kinds(d) or _record(d).compressor.semi_hermetic,
    ),
    "accumulator": (r"\baccumulator", lambda d: "accumulator" in _kinds(d)),
    "service valves": (
        r"service valve|valve wrench|stem cap",
        lambda d: "service-valve" in _kinds(d),
    ),
    "cores": (
        r"core tools?\b|\bcores? (?:in|out)\b|valve cores?|each core|new core",
        lambda d: "cored" in _port_kinds(d),
    ),
    "gauge port": (r"gauge port|back-seat", lambda d: "gauge-port" in _port_kinds(d)),
    "process tube": (r"process tube", lambda d: "process-tube" in _port_kinds(d)),
    "bulb": (r"(?<!wet )\bbulb\b", lambda d: "txv" in _devices(d)),
    "expansion valve": (r"expansion valve", lambda d: bool({"txv", "eev"} & _devices(d))),
    "capillary": (r"capillary", lambda d: "capillary" in _devices(d)),
    "crankcase heater": (
        r"crankcase heater|\bheater (?:on|off|terminal)\b|heater-on",
        lambda d: _record(d).compressor.crankcase_heater,
    ),
    "drier": (
        r"(?<!acid-rated )(?<!suction )\bdriers?\b",
        lambda d: bool({"filter-drier", "suction-drier"} & _kinds(d)),
    ),
    "suction drier": (r"suction drier", lambda d: "suction-drier" in _kinds(d)),
    "two-way drier": (r"two-way", lambda d: "reversing-valve" in _kinds(d)),
    "flow of a one-way drier": (
        r"against the flow|arrow with the flow|turn it round",
        lambda d: "reversing-valve" not in _kinds(d),
    ),
    "reversing valve": (
        r"reversing valve|heating mode|\bto heating\b|common suction",
        lambda d: "reversing-valve" in _kinds(d),
    ),
    "three phases": (
        r"line 3\b|lead 3\b|rotation meter|\bbackwards\b|line 2 to",
        lambda d: d.circuits["a"].context.equipment.supply.phases == 3,
    ),
    "run capacitor": (
        r"run capacitor",
        lambda d: d.circuits["a"].context.equipment.supply.phases == 1,
    ),
    "oxygen meter": (r"oxygen meter|oxygen low", lambda d: _space(d).closed_room),
    "flares": (r"\bflares?\b(?! tool)", _flares),
    "cold box": (
        r"\bbox\b|\bcold room\b",
        lambda d: d.circuits["a"].context.equipment.store is not None,
    ),
    "gas that burns": (
        r"flammable|left-hand|gas detector|\bput out flames\b",
        lambda d: d.circuits["a"].values["flammable"] is True,
    ),
    "new compressor": (
        r"new compressor|old compressor",
        lambda d: d.circuits["a"].values["new_compressor"] is True,
    ),
    "torch": (
        r"\btorch\b|fire watch|hot-work|\bbraz(?:e|ing)\b|filler|wet rags",
        lambda d: d.circuits["a"].values["hot_work"] is True,
    ),
}


def _step_texts(step: Step) -> Iterator[str]:
    yield markup.plain(step.action)
    yield markup.plain(step.if_out)
    yield step.group_title
    for caution in step.cautions:
        yield f"{caution.hazard} {caution.consequence} {caution.avoidance}"
    for row in step.readings:
        for blank in row:
            yield markup.plain(blank.label)
            yield " ".join(blank.limit.choices) if blank.limit else ""


def _texts(of: Packet) -> Iterator[tuple[str, str]]:
    for section in of.sections:
        yield f"{section.fragment} stop here", markup.plain(section.stop_here)
        for step in section.steps:
            for text in _step_texts(step):
                yield step.id, text
    for line in lines(of):
        yield "load list", line.item


@pytest.mark.parametrize("name", NAMES)
def test_a_machine_without_a_thing_is_never_told_of_it(
    name: str, made: Callable[[str], Prepared]
) -> None:
    done = made(name)
    assert done.packet is not None
    texts = list(_texts(done.packet))
    told = [
        f"{thing}: {where}: {text}"
        for thing, (words, has) in THINGS.items()
        if not has(done)
        for where, text in texts
        if re.search(words, text, re.IGNORECASE)
    ]
    assert told == []


# What each instrument that a reading names is called on the load list.
INSTRUMENTS = {
    "micron": r"micron gauge",
    "pressure": r"gauge set",
    "thermometer": r"thermometer",
    "meter": r"\b(?:ohm)?meter\b",
    "torque_wrench": r"torque",
}


def _instruments(section: Section, done: Prepared) -> set[str]:
    """The instruments of the kit that the section's readings are taken with."""
    gauges = done.circuits["a"].context.kit.gauges
    ids = {getattr(gauges, one).id: one for one in INSTRUMENTS if getattr(gauges, one)}
    blanks = [blank for step in section.steps for row in step.readings for blank in row]
    return {ids[one.instrument] for one in blanks if one.instrument and one.instrument in ids}


@pytest.mark.parametrize("name", NAMES)
def test_each_instrument_that_a_reading_or_a_step_names_is_loaded(
    name: str, made: Callable[[str], Prepared]
) -> None:
    done = made(name)
    assert done.packet is not None
    missing = []
    for section in done.packet.sections:
        items = " | ".join(
            line.item for line in lines(done.packet) if section.number in line.sections
        )
        missing += [
            f"{section.fragment}: {one}"
            for one in sorted(_instruments(section, done))
            if not re.search(INSTRUMENTS[one], items, re.IGNORECASE)
        ]
        missing += unloaded(section, done.packet)
    assert missing == []


def test_every_thing_is_there_on_some_machine_and_absent_from_another(
    made: Callable[[str], Prepared],
) -> None:
    """Else the words that name it would prove nothing. Of process tubes no packet is printed."""
    for thing, (words, has) in THINGS.items():
        if thing == "process tube":
            continue
        having = [name for name in NAMES if has(made(name))]
        assert having and len(having) < len(NAMES), thing
        printed = [
            text
            for name in having
            for _, text in _texts(made(name).packet)  # type: ignore[arg-type]
            if re.search(words, text, re.IGNORECASE)
        ]
        assert printed, thing
