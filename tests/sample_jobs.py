"""All sample jobs of this repository, taken as far as their numbers: the shipped examples and one
plain comfort-cooling job."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from packets import composing
from packets.pipeline import prepare
from tests import jobs

EXAMPLES = sorted(jobs.EXAMPLE.parent.glob("*/job.yaml"))


@cache
def circuits() -> tuple[tuple[str, composing.Circuit], ...]:
    """Job's name and one circuit of it, with register and lists."""
    return tuple(_circuits())


def _circuits() -> Iterator[tuple[str, composing.Circuit]]:
    for path in EXAMPLES:
        done = prepare(path)
        assert done.circuits, [str(finding) for finding in done.findings]
        for circuit in done.circuits.values():
            yield path.parent.name, circuit
    with tempfile.TemporaryDirectory() as folder:
        done = jobs.prepared(Path(folder), jobs.PLAIN)
        assert done.circuits, [str(finding) for finding in done.findings]
        for circuit in done.circuits.values():
            yield "plain", circuit
