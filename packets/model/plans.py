"""What planning hands on: which fragments, in which order, and what called for each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Planned:
    """One fragment in the order and the circuit it is planned for. `called_for` is the fact that
    brought it in, `by` who wanted that fact: a fragment, or "" when it is a goal."""

    fragment: str
    circuit: str
    called_for: str
    by: str

    @property
    def id(self) -> str:
        """Stable id: fragment and circuit."""
        return f"{self.fragment}@{self.circuit}"


@dataclass(frozen=True)
class Goal:
    """A fact that must hold when we leave, and why."""

    fact: str
    why: str


@dataclass(frozen=True)
class Plan:
    """The order of work, the facts it starts from and the goals it ends with. `kept` are facts
    that nothing can end on this machine."""

    order: tuple[Planned, ...]
    start: frozenset[str]
    goals: tuple[Goal, ...]
    kept: frozenset[str] = frozenset()
