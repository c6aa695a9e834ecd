"""The examples' packets as they came back: for each, a sound set of answers and one gone wrong.

Answers go by the field without its circuit, and a box that is not named gets an entry its limit
allows (`tests.filling`). The verdicts are worked by hand in the comments, from the printed limits
and the scale's weights; nothing here asks the program.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

Answers = Mapping[str, str | None]
OUNCE = 0.45359237 / 16  # kg, exact by definition


@dataclass(frozen=True)
class Returned:
    """One set of answers, and what a review must say of it.

    `verdicts` are readings by name: the verdict and words of its reason; all that keep the job open
    are among them. `tests` are tests by title: answer, verdict, words of the reason. `ounces` are
    the balance by name, to the scale's step. `leak_rates` are the
    annualized and the rolling one in percent a year, with the history beside the example's
    machine. `actions` are words of what is due. `accepted` are
    readings that the manager takes as they are.
    """

    answers: Answers
    state: str
    verdicts: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    tests: Mapping[str, tuple[str, str, str]] = field(default_factory=dict)
    ounces: Mapping[str, float] = field(default_factory=dict)
    leak_rates: tuple[float, float] | None = None
    notes: tuple[str, ...] = ()
    actions: tuple[str, ...] = ()
    accepted: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Example:
    """An example's folder and its two sets."""

    folder: str
    good: Returned
    bad: Returned

    def of(self, name: str) -> Returned:
        """The set called good or bad."""
        return {"good": self.good, "bad": self.bad}[name]
