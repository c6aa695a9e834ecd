"""The numbers of a packet as a trainer explains them: formula, working, inputs, source.

They say nothing that is not on the paper already, so they are no part of the content hash.
"""

from __future__ import annotations

from collections.abc import Iterable

from packets import numbers
from packets.composing.texts import Texts, entry_text
from packets.formatting import show
from packets.model.numbers import (
    Confidence,
    Entry,
    Input,
    Number,
    Register,
    Words,
    WriteIn,
)
from packets.model.packet import Worked

_SIGNS = (
    ("degF", "°F"), ("degC", "°C"), ("ft3", "ft³"), ("m3", "m³"), ("->", "→"), (" x ", " × "),
)  # fmt: skip
# Formulas that only say where the value stands: the row's name says nothing more.
PLAIN = ("as given", "as the table gives it", "as the rules give it")
# Words that a file states as they are; nothing about them is worked out.
FILES = ("job", "kit", "equipment record", "refrigerant table")
# Numbers that stand behind the weights of a repeated group.
_BEHIND = {
    "recovery-cylinders": ("recovery.gravity",),
    "charging-cylinders": ("charge.total", "charge.tolerance", "charge.hose", "charge.hose_left"),
}


def of_section(trail: Iterable[str], groups: set[str], lists: numbers.Lists) -> tuple[str, ...]:
    """Ids of what a section prints: those of its texts, then the weights of its groups."""
    ids = [*trail]
    if "recovery-cylinders" in groups and lists.recovery:
        ids += [*_BEHIND["recovery-cylinders"], *(_stop(f.cylinder.id) for f in lists.recovery)]
    if "charging-cylinders" in groups and lists.charging:
        ids += [*_BEHIND["charging-cylinders"], *(_scale(d.cylinder.id) for d in lists.charging)]
    return tuple(dict.fromkeys(ids))


def explained(
    texts: Texts, lists: numbers.Lists, step: float, more: Iterable[str]
) -> tuple[Worked, ...]:
    """Every number that the packet printed, in printing order, each once, then those that these
    are made of. `more` are ids printed outside the sections; weights are shown in the scale's
    `step` [kg]."""
    weights = {one.id: one for one in _weights(texts, lists, step)}
    register, done = texts.register, {}
    behind = [id for ids in _BEHIND.values() for id in ids if weights]
    waiting = list(dict.fromkeys([*texts.trail, *behind, *weights, *more]))
    for name in waiting:
        entry = register.entries.get(name)
        if name in weights:
            done[name] = weights[name]
        elif entry is not None and (one := of_entry(entry, texts)) is not None:
            done[name] = one
        inputs: tuple[Input, ...] = getattr(entry, "inputs", ())
        waiting += [i.where for i in inputs if i.where in register and i.where not in waiting]
    return tuple(done.values())


def of_entry(entry: Entry, texts: Texts) -> Worked | None:
    """An entry explained; None for what is read on site or stands in a file as it is."""
    if isinstance(entry, WriteIn) or (isinstance(entry, Words) and entry.source in FILES):
        return None
    if isinstance(entry, Words):
        sure = _sureness(entry.source)
        return Worked(entry.id, entry.label, entry.text, "", "", (), entry.source, sure)
    # A working that names every input with its value has said it all.
    said = entry.working if isinstance(entry, Number) else ""
    repeated = all(f"{one.name} {one.value}" in said for one in entry.inputs)
    inputs = tuple(_input(one, texts.register) for one in entry.inputs if not repeated)
    if not isinstance(entry, Number):
        return Worked(
            entry.id, entry.title, "", as_shown(entry.formula), "", inputs,
            entry.source, entry.confidence, entry.note,
        )  # fmt: skip
    printed, working = entry_text(entry, texts.units), as_shown(entry.working)
    if working == printed or (entry.formula in PLAIN and working.startswith("row ")):
        working = ""
    return Worked(
        entry.id, entry.label, printed, as_shown(entry.formula), working, inputs,
        entry.source, entry.confidence, entry.assumption, entry.round,
    )  # fmt: skip


def _weights(texts: Texts, lists: numbers.Lists, step: float) -> list[Worked]:
    """What the scale must show for each cylinder."""

    def mass(value: float, way: str = "nearest") -> str:
        return show(value, "mass", texts.units, way, step).text

    gravity = texts.register.number("recovery.gravity")
    made = []
    for filling in lists.recovery if gravity else ():
        assert gravity is not None
        cylinder = filling.cylinder
        holds = as_shown(cylinder.water_capacity.text)
        made.append(
            Worked(
                _stop(cylinder.id),
                f"{cylinder.id}: stop the scale at",
                mass(filling.stop, "down"),
                "tare + 0.8 × water capacity × specific gravity at 77 °F, or what the scale "
                "carries, if that is less",
                f"{cylinder.tare.text} + 0.8 × {holds} × {gravity.value:.3f} → "
                f"{mass(filling.stop, 'down')}",
                (
                    ("tare", cylinder.tare.text, "stamped on the cylinder"),
                    ("water capacity", holds, "stamped on the cylinder"),
                    ("specific gravity", f"{gravity.value:.3f}", f"“{gravity.label}”"),
                ),
                "AHRI Guideline K (2004 on)",
                "seen",
                rounding="down",
            )
        )
    for draw in lists.charging:
        stop = f"{mass(draw.start)} - {mass(draw.takes)} = {mass(draw.stop)}"
        made.append(
            Worked(
                _scale(draw.cylinder.id),
                f"{draw.cylinder.id}: scale from and to",
                f"{mass(draw.start)} to {mass(draw.stop)}",
                "weight at the start less what goes in",
                stop,
                (("weight at the start", draw.cylinder.gross.text, "kit, charging_cylinders"),),
                "kit and charge",
                "computed",
            )
        )
    return made


def _stop(cylinder: str) -> str:
    return f"recovery.stop.{cylinder}"


def _scale(cylinder: str) -> str:
    return f"charge.scale.{cylinder}"


def _sureness(source: str) -> Confidence:
    """How sure words are, by what their source says of itself."""
    said = source.lower()
    if "no source" in said or "practice" in said:
        return "practice"
    return "memory" if "memory" in said else "given"


def _input(one: Input, register: Register) -> tuple[str, str, str]:
    """An input; one that is itself a number of the packet is named by its label."""
    behind = register.entries.get(one.where)
    return one.name, as_shown(one.value), f"“{_label(behind)}”" if behind else one.where


def _label(entry: Entry) -> str:
    return entry.label if isinstance(entry, (Number, Words, WriteIn)) else entry.title


def as_shown(text: str) -> str:
    """A quantity or a working as typed, with the signs that paper uses."""
    for typed, sign in _SIGNS:
        text = text.replace(typed, sign)
    return text
