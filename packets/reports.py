"""The plan and the numbers as text for people and as data for programs."""

from __future__ import annotations

import textwrap
from typing import Any

from packets import hookup_report
from packets.composing import grids
from packets.composing.sections import called_for
from packets.composing.texts import number_text
from packets.formatting import System, counted, gauge_unit, minutes, show
from packets.model.limits import plain
from packets.model.numbers import Entry, Number, NumberGrid, NumberTable, Words, WriteIn
from packets.pipeline import Prepared


def plan_text(done: Prepared) -> str:
    """The order of work, one fragment a line, with the fact that called for it."""
    assert done.plan is not None and done.catalog is not None
    lines = []
    sections = {s.id: s for s in done.packet.sections} if done.packet else {}
    for number, planned in enumerate(done.plan.order, 1):
        fragment = done.catalog.library.fragments[planned.fragment]
        lines.append(f"{number:3}. {fragment.title}  [{planned.id}]")
        lines.append(f"     {planned.called_for} < {called_for(planned, done.catalog, done.plan)}")
        section = sections.get(planned.id)
        if section is not None:
            time = f"{minutes(section.hands_on_minutes)} hands on"
            if section.waiting_minutes:
                time += f", {minutes(section.waiting_minutes)} waiting"
            lines.append(f"     {counted(len(section.steps), 'step')}, {time}")
    for name, circuit in done.circuits.items():
        held = circuit.context
        used = list(hookup_report.lines(held.hookups, held.acts))
        if used:
            lines += [f"Hook-ups of circuit {name}", *(f"  {line}" for line in used)]
    if done.packet:
        steps = sum(len(section.steps) for section in done.packet.sections)
        lines.append(f"{counted(len(done.plan.order), 'section')}, {counted(steps, 'step')}")
    return "\n".join(lines)


def plan_data(done: Prepared) -> dict[str, Any]:
    """The plan for a program."""
    assert done.plan is not None and done.catalog is not None
    return {
        "format": "plan/1",
        "start": sorted(done.plan.start),
        "goals": [{"fact": goal.fact, "why": goal.why} for goal in done.plan.goals],
        "order": [
            {
                "id": planned.id,
                "fragment": planned.fragment,
                "revision": done.catalog.library.fragments[planned.fragment].revision,
                "circuit": planned.circuit,
                "title": done.catalog.library.fragments[planned.fragment].title,
                "called_for": planned.called_for,
                "wanted_by": planned.by or "goal",
                "cautions": _cautions(done, planned.id),
            }
            for planned in done.plan.order
        ],
        "hookups": {
            name: hookup_report.data(circuit.context.hookups)
            for name, circuit in done.circuits.items()
        },
        "findings": [finding.as_json() for finding in done.findings],
    }


def _cautions(done: Prepared, section_id: str) -> list[str]:
    sections = done.packet.sections if done.packet else ()
    return [c.id for s in sections if s.id == section_id for step in s.steps for c in step.cautions]


def numbers_text(done: Prepared, units: System) -> str:
    """Every entry of the register with its working."""
    blocks = []
    for name, circuit in done.circuits.items():
        blocks.append(f"Circuit {name}")
        blocks += [_entry_text(entry, units) for entry in circuit.context.register]
        for waiting in circuit.context.register.waiting.values():
            blocks.append(f"{waiting.number}\n    waits for {waiting.key}: {waiting.why}")
    return "\n".join(blocks)


def _entry_text(entry: Entry, units: System) -> str:
    if isinstance(entry, WriteIn):
        return f"{entry.id}  (written in on site)\n    {entry.label}: {entry.read}"
    if isinstance(entry, Words):
        return f"{entry.id} = {entry.text}\n    {entry.label}; from: {entry.source}"
    if isinstance(entry, NumberTable):
        head = f"{entry.id}  (table)\n    {entry.title}"
        return "\n".join([head, *_table_lines(entry, units), *_ground(entry)])
    if isinstance(entry, NumberGrid):
        printed = grids.block(entry, units)
        rows = [" | ".join(row) for row in (printed.heads, *printed.rows)]
        head = f"{entry.id}  (table)\n    {printed.title}"
        return "\n".join([head, *(f"    {row}" for row in rows), *_ground(entry)])
    lines = [f"{entry.id} = {number_text(entry, units)}", f"    {entry.label}"]
    if entry.formula:
        lines.append(f"    formula: {entry.formula}")
    if entry.working:
        lines.append(f"    working: {entry.working}")
    if entry.assumption:
        lines.append(f"    assumes: {entry.assumption}")
    return "\n".join([*lines, *_ground(entry)])


def _ground(entry: Number | NumberTable | NumberGrid) -> list[str]:
    lines = [
        f"    input: {item.name} = {item.value}{f' ({item.where})' if item.where else ''}"
        for item in entry.inputs
    ]
    wrapped = textwrap.wrap(f"source: {entry.source}; confidence: {entry.confidence}", 96)
    return [*lines, *(f"    {line}" for line in wrapped)]


def _table_lines(table: NumberTable, units: System) -> list[str]:
    lines = []
    for row in table.rows:
        by_unit, unit = gauge_unit(table.by_quantity, units), gauge_unit(table.quantity, units)
        by = show(row.by, table.by_quantity, units, "nearest", table.by_step, by_unit).text
        low = show(row.low, table.quantity, units, "up", table.step, unit)
        high = show(row.high, table.quantity, units, "down", table.step, unit)
        aim = ""
        if row.target is not None:
            shown = show(row.target, table.quantity, units, table.target_round, table.step).text
            aim = f"{table.target_label.lower()} {shown}, "
        lines.append(f"    {by}: {aim}{plain(low.value)} to {high.text}")
    return lines


def numbers_data(done: Prepared, units: System) -> dict[str, Any]:
    """The register for a program: values in SI and as printed."""
    return {
        "format": "numbers/1",
        "units": units,
        "circuits": {
            name: {
                "numbers": [_entry_data(entry, units) for entry in circuit.context.register],
                "waiting": [
                    {"id": w.number, "key": w.key, "why": w.why}
                    for w in circuit.context.register.waiting.values()
                ],
            }
            for name, circuit in done.circuits.items()
        },
        "findings": [finding.as_json() for finding in done.findings],
    }


def _entry_data(entry: Entry, units: System) -> dict[str, Any]:
    data: dict[str, Any] = {"id": entry.id}
    if isinstance(entry, WriteIn):
        return {**data, "kind": "write-in", "label": entry.label, "read": entry.read}
    if isinstance(entry, Words):
        return {
            **data,
            "kind": "words",
            "label": entry.label,
            "text": entry.text,
            "source": entry.source,
        }
    ground = {
        "formula": entry.formula,
        "inputs": [{"name": i.name, "value": i.value, "where": i.where} for i in entry.inputs],
        "source": entry.source,
        "confidence": entry.confidence,
    }
    if isinstance(entry, NumberTable):
        rows = [{"by": r.by, "low": r.low, "high": r.high, "target": r.target} for r in entry.rows]
        kinds = {"by_quantity": entry.by_quantity, "quantity": entry.quantity}
        return {**data, "kind": "table", "title": entry.title, **kinds, "rows": rows, **ground}
    if isinstance(entry, NumberGrid):
        axes = {"by": list(entry.by), "across": list(entry.across)}
        kinds = {"by_quantity": entry.by_quantity, "across_quantity": entry.across_quantity}
        cells = [[list(cell) if cell else None for cell in row] for row in entry.cells]
        head = {"kind": "grid", "title": entry.title, "quantity": entry.quantity}
        return {**data, **head, **axes, **kinds, "cells": cells, **ground}
    return {
        **data,
        "kind": "number",
        "label": entry.label,
        "quantity": entry.quantity,
        "si": entry.value,
        "printed": number_text(entry, units),
        "round": entry.round,
        "working": entry.working,
        "assumption": entry.assumption,
        **ground,
    }
