"""What the trainer edition says beside the steps: which numbers a section explains, and its
check questions, numbered through.

A number is explained where it is first printed; later sections name that section.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from packets.model.packet import Packet, Step, Text, Worked


@dataclass(frozen=True)
class Explained:
    """A number of a section; `before` is the section that explains it, 0 for this one."""

    worked: Worked
    before: int


@dataclass(frozen=True)
class Question:
    """A check question with its number in the edition."""

    number: str
    ask: str
    answer: str


def numbers(packet: Packet) -> Mapping[str, tuple[Explained, ...]]:
    """The numbers of each section by its id; those printed in no section under ""."""
    known = {one.id: one for one in packet.worked}
    first: dict[str, int] = {}
    for section in packet.sections:
        for id in section.worked:
            first.setdefault(id, section.number)
    made = {
        section.id: tuple(
            Explained(known[id], 0 if first[id] == section.number else first[id])
            for id in section.worked
            if id in known
        )
        for section in packet.sections
    }
    return {**made, "": tuple(Explained(one, 0) for one in packet.worked if one.id not in first)}


def said_before(steps: Iterable[Step]) -> Mapping[str, str]:
    """By step number: the earlier step with the same reason, or ""."""
    first: dict[Text, str] = {}
    made = {}
    for step in steps:
        earlier = first.setdefault(step.why, step.number)
        made[step.number] = earlier if earlier != step.number else ""
    return made


def questions(asked: Iterable[tuple[str, str]], section: str = "") -> tuple[Question, ...]:
    """Check questions, numbered: the section's number and a letter."""
    letters = "abcdefghijklmnopqrstuvwxyz"
    return tuple(
        Question(f"{section}{letters[at % len(letters)]}", ask, answer)
        for at, (ask, answer) in enumerate(asked)
    )
