"""Whether the readings of a step hang together: one kind of limit each, and what another reading
decides comes after it.
"""

from __future__ import annotations

from collections.abc import Callable

from packets.findings import Findings, Place, suggest
from packets.model.procedures import Reading, Step

# The place of a path in the fragment's file.
At = Callable[..., Place]


def check(
    step: Step, path: tuple[str | int, ...], before: set[str], at: At, findings: Findings
) -> None:
    """Add the findings of a step's readings, and their ids to those taken `before`."""
    own: dict[str, Reading] = {}
    for number, reading in enumerate(step.readings):
        here = (*path, "readings", number)
        _limit(reading, here, at, findings)
        if reading.limit and reading.limit.by and reading.limit.by not in before:
            findings.error(
                "reading-order",
                at(*here, "limit", "by"),
                f"reading {reading.limit.by!r} is not taken before this one",
                suggest(reading.limit.by, before),
            )
        if reading.only_if:
            _only_if(reading, own, here, at, findings)
        before.add(reading.id)
        own[reading.id] = reading


def _only_if(
    reading: Reading,
    own: dict[str, Reading],
    here: tuple[str | int, ...],
    at: At,
    findings: Findings,
) -> None:
    """It hangs on a word that an earlier choice of this step can say."""
    assert reading.only_if is not None
    asked = own.get(reading.only_if.reading)
    if asked is None:
        findings.error(
            "reading-order",
            at(*here, "only_if", "reading"),
            f"reading {reading.only_if.reading!r} is not taken before this one in this step",
            suggest(reading.only_if.reading, own),
        )
        return
    words = asked.limit.choice if asked.limit else ()
    if reading.only_if.says not in words:
        findings.error(
            "limit-choice",
            at(*here, "only_if", "says"),
            f"{asked.id!r} cannot say {reading.only_if.says!r}",
            suggest(reading.only_if.says, words) if words else f"give {asked.id!r} a choice",
        )


def _limit(reading: Reading, here: tuple[str | int, ...], at: At, findings: Findings) -> None:
    """A limit says one thing: numbers, a table, words to ring, or what is read on site."""
    limit = reading.limit
    if limit is None:
        return
    said = [limit.at_most or limit.at_least, limit.rows, limit.choice, limit.write_in]
    if sum(map(bool, said)) > 1:
        findings.error(
            "limit-kinds",
            at(*here, "limit"),
            f"the limit of {reading.id!r} is of more than one kind",
            "keep numbers, a table, a choice or a write-in",
        )
    if (limit.rows or limit.at_most or limit.at_least) and not reading.quantity:
        findings.error(
            "limit-kinds",
            at(*here),
            f"{reading.id!r} has a limit in numbers and no quantity",
            "write its quantity",
        )
