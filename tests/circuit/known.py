"""The shipped circuits, read as the packet reads them, and short ways to make others."""

from __future__ import annotations

from functools import cache
from typing import Any

from packets import locating, sources, validation
from packets.building import build
from packets.circuit import differences
from packets.findings import Findings
from packets.model.circuits import CircuitLine, CircuitPart, CircuitPlan, Difference, ServicePort

IDS = (
    "capillary-cabinet",
    "condensing-unit-receiver",
    "packaged-cooling",
    "packaged-heat-pump",
    "split-cooling",
    "split-heat-pump",
)
# Shipped too, and without a drier to braze.
WITHOUT_DRIER = ("wall-split",)

# The coil and the metering device that each circuit's plans are proved with.
METERING = dict.fromkeys(IDS, "metering") | {
    "packaged-heat-pump": "outdoor-metering",
    "split-heat-pump": "indoor-metering",
}
COIL = dict.fromkeys(IDS, "evaporator") | {
    "packaged-cooling": "condenser",
    "packaged-heat-pump": "outdoor-coil",
    "split-heat-pump": "indoor-coil",
}


@cache
def circuit(id: str) -> CircuitPlan:
    """A shipped circuit, through schema and builder."""
    findings = Findings()
    path = locating.procedures() / "circuits" / f"{id}.yaml"
    document = sources.read(path, path.name, findings)
    assert document is not None, list(findings)
    data = validation.validate(document, "circuit", findings)
    assert data is not None, list(findings)
    data.pop("format")
    return build(CircuitPlan, data)


def difference(**keys: Any) -> Difference:
    """A difference as an equipment record states it, through its schema and the builder."""
    from jsonschema import Draft202012Validator
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    schema = validation.schema("circuit")
    registry: Any = Registry().with_resources(
        [
            ("circuit.json", DRAFT202012.create_resource(schema)),
            ("common.json", DRAFT202012.create_resource(validation.schema("common"))),
        ]
    )
    data = {key.rstrip("_"): value for key, value in keys.items()}
    wanted = {"$ref": "circuit.json#/$defs/difference"}
    errors = list(Draft202012Validator(wanted, registry=registry).iter_errors(data))
    assert not errors, errors
    return build(Difference, data)


def ring(*parts: tuple[str, str], ports: dict[str, str], **more: Any) -> CircuitPlan:
    """A circuit of two-port parts (name and kind) in one loop, joined by lines called 1, 2, 3."""
    made = {
        name: CircuitPart(kind, ("in", "out"), (float(at), 0.0), **more.get(name, {}))
        for at, (name, kind) in enumerate(parts)
    }
    names = [name for name, _ in parts]
    lines = {
        f"line-{at + 1}": CircuitLine(f"{name}.out", f"{names[(at + 1) % len(names)]}.in")
        for at, name in enumerate(names)
    }
    services = {name: ServicePort(on) for name, on in ports.items()}
    return CircuitPlan("ring", "A ring", made, lines, services)


def apply(changed: CircuitPlan, **keys: object) -> CircuitPlan:
    """A circuit with one difference."""
    result, problems = differences.apply(changed, [difference(**keys)])
    assert not problems, problems
    return result


def without(id: str, *names: str) -> CircuitPlan:
    """A shipped circuit without some parts or service ports."""
    changed = circuit(id)
    for name in names:
        changed = apply(changed, remove=name)
    return changed
