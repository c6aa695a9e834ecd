"""Walking a packet's blanks: the steps, their tries, and what each field is for."""

from __future__ import annotations

from collections.abc import Iterator

from packets.model.packet import Blank, Packet, Section, Step, Text


def plain(text: Text) -> str:
    """A text as one line; what is read on site shows as a gap."""
    return " ".join("".join(f"({s.text})" if s.kind == "blank" else s.text for s in text).split())


def steps(packet: Packet) -> Iterator[tuple[Section, Step]]:
    """Every step with its section, in printing order."""
    for section in packet.sections:
        for step in section.steps:
            yield section, step


def blanks(packet: Packet) -> Iterator[tuple[Section, Step, int, Blank]]:
    """Every blank with its section, step and try (from 1), in printing order."""
    for section, step in steps(packet):
        for attempt, row in enumerate(step.readings, 1):
            for blank in row:
                yield section, step, attempt, blank


def choice_fields(packet: Packet) -> dict[str, tuple[str, str]]:
    """Of every word to ring: its tick's field, the field of its blank, and the word."""
    return {
        choice.field: (blank.field, choice.text)
        for _, _, _, blank in blanks(packet)
        for choice in blank.choices
    }


def circuit_of(field: str) -> str:
    """The circuit that a field belongs to."""
    return field.partition("__")[0]
