"""What `packets new` writes: starting files that name the ids there are to choose from."""

from __future__ import annotations

import re

from packets import catalog, locating, starting
from packets.findings import Findings


def file(kind: str, circuit: str = "") -> str:
    """The starting file of a job, an equipment record or a kit; the record of a machine built as
    `circuit` names that circuit's parts, lines and joints.

    Raises:
        KeyError: no circuit is called that; with the ids of all there are.
    """
    known = _known()
    if not circuit:
        return starting.text(kind, "packets check job.yaml", known)
    if circuit not in known["equipment", "circuit"]:
        raise KeyError(", ".join(known["equipment", "circuit"]))
    loaded = catalog.load(Findings(), None, {circuit})
    assert loaded is not None, "our own circuits are good"
    plan = loaded.library.circuits[circuit]
    known["equipment", "part_volumes"] = list(plan.parts)
    known["equipment", "lines"] = [name for name, line in plan.lines.items() if not line.direct]
    # Two parts that meet without tube have one joint, called by the port the line comes from.
    known["equipment", "joints"] = [
        joint
        for line in plan.lines.values()
        for joint in ([line.from_] if line.direct else [line.from_, line.to])
    ]
    return starting.text(kind, "packets check job.yaml", known, {"circuit": circuit})


def fragment(id: str, folder: str) -> str:
    """The starting file of a fragment; for one of ours, ours with the revision it stands on."""
    ours = locating.procedures() / f"{id}.yaml"
    text = ours.read_text(encoding="utf-8") if ours.is_file() else ""
    if text.startswith("format: fragment/"):
        found = re.search(r"^revision: (\d+)$", text, re.MULTILINE)
        assert found is not None, f"{id} has no revision"
        replaces = f"replaces: {found[1]} # the revision of the shipped one this was written from"
        return text.replace(found[0], f"{found[0]}\n{replaces}", 1)
    return starting.text("fragment", f"packets lint {folder}", _known(), {"fragment": id})


def is_id(text: str) -> bool:
    """Whether a text can be an id, and so a file's name."""
    return re.fullmatch(r"[a-z][a-z0-9-]{0,59}", text) is not None


def _known() -> dict[tuple[str, str], list[str]]:
    """Ids to choose from, by kind of file and key."""
    loaded = catalog.load(Findings())
    if loaded is None:
        return {}
    library = loaded.library
    facts, circuits, rules = list(library.facts.facts), list(library.circuits), list(library.rules)
    return {
        ("job", "work"): list(library.work),
        ("job", "also"): [name for name, item in library.work.items() if item.fills_waits],
        ("job", "rules"): rules,
        ("equipment", "circuit"): circuits,
        ("fragment", "acts"): list(library.acts.acts),
        ("fragment", "caution"): list(library.cautions.cautions),
        **{("fragment", part): facts for part in ("needs", "makes", "ends")},
    }
