"""Rules for signatures: a hold point costs attention, so it is rare and says who signs for what."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library
from packets.wording.pieces import Problem, pieces, steps

MOST_HOLDS = 2
_SIGNS = re.compile(r"\bsigns?\b[^:]*:")


def many_holds(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """More hold points in a fragment than anyone still stops for."""
    held = [path for step, path, _ in steps(fragment) if step.hold or step.hold_before]
    for path in held[MOST_HOLDS:]:
        yield Problem(
            path, f"{len(held)} hold points, {MOST_HOLDS} at most", "keep those that can hurt"
        )


def no_signer(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A signature says whose it is and what for: "The lead signs: the failure is confirmed."."""
    for piece in pieces(fragment):
        if piece.role == "sign" and not _SIGNS.search(piece.text):
            yield Problem(piece.path, "it does not say who signs for what", "The lead signs: …")
