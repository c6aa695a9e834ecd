"""Which of a machine's circuits this is: what it and the others are called, and their ports."""

from __future__ import annotations

from packets.circuit import names
from packets.circuit.sides import low_port
from packets.model.numbers import Words
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import POUND

SOURCE = "equipment record and circuit file"


def add(context: Context) -> None:
    """Add machine.circuit, machine.others, identify.*; on a machine with one circuit nothing."""
    hookups = context.hookups
    if not hookups.mark:
        return
    circuit, others = hookups.found, hookups.others
    marked = names.joined([names.service_port(circuit, port) for port in circuit.service_ports])
    beside = [
        names.service_port(other, port) for other in others.values() for port in other.service_ports
    ]
    read = [
        names.service_port(other, low) for other in others.values() if (low := low_port(other, ""))
    ]
    compressors = [
        names.part(circuit, id) for id, part in circuit.parts.items() if part.kind == "compressor"
    ]
    entries = (
        ("machine.circuit", "Circuit", f"circuit {hookups.mark}"),
        ("machine.others", "Other circuits", names.joined([f"circuit {mark}" for mark in others])),
        ("identify.compressor", "Its compressor", names.joined(compressors)),
        ("identify.ports", "Its ports", marked),
        ("identify.others", "Ports of the others", names.joined(beside) or "no port"),
        ("identify.read", "The others are read at", names.joined(read) or "any port"),
    )
    for id, label, text in entries:
        context.register.add(Words(id, label, text, SOURCE))
    row = practice("first-recovered")
    context.practice(
        "identify.first",
        "Recovered before both circuits are read",
        "mass",
        row["mass_lb"] * POUND,
        row,
        step=context.kit.scale.resolution.value,
        round="down",
    )
