"""The packet inside a returned PDF is compared with the job's own files, limit by limit."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from packets import packet_file
from packets.cli import main
from packets.composing import field_names
from packets.composing.hashing import hash_of
from packets.findings import Findings
from packets.model.blanks import blanks
from packets.readings import proof
from tests import filling, jobs

PACKET = filling.creamery()
Model = dict[str, Any]


def boxes(model: Model) -> list[Model]:
    """Every blank of a packet model."""
    return [
        blank
        for section in model["sections"]
        for step in section["steps"]
        for row in step["readings"]
        for blank in row
    ]


def box(model: Model, ending: str) -> list[Model]:
    """The blanks whose field ends so; there is one at least."""
    found = [blank for blank in boxes(model) if blank["field"].endswith(ending)]
    assert found, ending
    return found


def loosened(ending: str, **limit: Any) -> Callable[[Model], None]:
    """Change the limit of a blank."""

    def change(model: Model) -> None:
        for blank in box(model, ending):
            blank["limit"].update(limit)

    return change


def good_word(ending: str, word: str) -> Callable[[Model], None]:
    """Call a bad word good."""

    def change(model: Model) -> None:
        for blank in box(model, ending):
            blank["limit"]["good"] = [*blank["limit"]["good"], word]
            for choice in blank["choices"]:
                choice["good"] = choice["good"] or choice["text"] == word

    return change


def without_times(model: Model) -> None:
    """Take every least and most time out."""
    for blank in boxes(model):
        blank["after"] = blank["within"] = 0.0


def without_feeds(model: Model) -> None:
    """Let no reading mean anything to the record."""
    for blank in boxes(model):
        blank["feeds"] = ""


def without_hold(model: Model) -> None:
    """Take the hold test's last step out."""
    for section in model["sections"]:
        if section["fragment"] == "pressure-hold":
            section["steps"] = [s for s in section["steps"] if "/end" not in s["id"]]


def without_signs(model: Model) -> None:
    """Ask for no signature."""
    for section in model["sections"]:
        for step in section["steps"]:
            step["sign"] = None


def larger_charge(model: Model) -> None:
    """Change what the leak rate is reckoned from."""
    model["basis"]["circuits"][0]["full_charge"] *= 2


def later_atmosphere(model: Model) -> None:
    """Change what gauge pressures are reckoned from."""
    model["basis"]["circuits"][0]["atmosphere"] *= 1.1


def no_triggers(model: Model) -> None:
    """Take the rules' leak rates out."""
    model["basis"]["rules"]["triggers"] = []


def heavier_cylinder(model: Model) -> None:
    """Change a cylinder's tare."""
    model["basis"]["circuits"][0]["cylinders"][0]["tare"] += 1.0


TAMPERED: dict[str, Callable[[Model], None]] = {
    "amps": loosened("r-amps", high="99.0"),
    "recovery level": loosened("r-reached__t1", high="40"),
    "rise": loosened("r-risen__t1", high="5000"),
    "charge": loosened("r-charged", high="999"),
    "discharge line": loosened("r-discharge-line", high="400"),
    "live pole": good_word("r-poles", "live"),
    "leak at a joint": good_word("r-running-leak", "leak"),
    "times": without_times,
    "feeds": without_feeds,
    "hold": without_hold,
    "signatures": without_signs,
    "full charge": larger_charge,
    "atmosphere": later_atmosphere,
    "triggers": no_triggers,
    "cylinder": heavier_cylinder,
}


def tampered(change: Callable[[Model], None]) -> bytes:
    """The packet model changed, with its hash worked out again."""
    model = json.loads(packet_file.dump(PACKET))
    change(model)
    form = model.pop("format")
    model["hash"] = hash_of(model)
    return json.dumps({"format": form, **model}).encode()


@pytest.mark.parametrize("name", TAMPERED)
def test_a_loosened_packet_with_its_hash_made_anew_never_closes_a_job(
    name: str, tmp_path: Path
) -> None:
    job = jobs.copy(tmp_path)
    model = tmp_path / "packet.json"
    model.write_bytes(tampered(TAMPERED[name]))
    changed = packet_file.load(model.read_bytes(), "packet.json", Findings())
    assert changed is not None and changed.hash != PACKET.hash
    readings = tmp_path / "r.yaml"
    fields = set(field_names(changed))
    answers = {k: v for k, v in filling.GOOD.items() if k in fields or f"a__{k}" in fields}
    text = filling.as_yaml(changed, filling.filled(changed, answers))
    readings.write_text(text, encoding="utf-8")
    words = ["review", str(job), str(readings), "--packet", str(model), "-o", str(tmp_path / "o")]
    done = CliRunner().invoke(main, words)
    made = json.loads((tmp_path / "o" / "26-1142-record.json").read_text(encoding="utf-8"))
    assert made["state"] == "open" and done.exit_code == 1, done.output
    assert "error [limit-differs]" in done.output
    assert made["unproved"]


def test_the_untouched_packet_is_proved_and_closes(tmp_path: Path) -> None:
    job = jobs.copy(tmp_path)
    model, readings = tmp_path / "packet.json", tmp_path / "r.yaml"
    model.write_bytes(packet_file.dump(PACKET))
    text = filling.as_yaml(PACKET, filling.filled(PACKET, filling.GOOD))
    readings.write_text(text, encoding="utf-8")
    words = ["review", str(job), str(readings), "--packet", str(model), "-o", str(tmp_path / "o")]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    made = json.loads((tmp_path / "o" / "26-1142-record.json").read_text(encoding="utf-8"))
    assert made["state"] == "closed" and made["unproved"] == []


def test_a_difference_names_the_limit_and_both_values() -> None:
    field = next(b.field for *_, b in blanks(PACKET) if b.field.endswith("__r-amps"))
    changed = packet_file.load(tampered(TAMPERED["amps"]), "p", Findings())
    assert changed is not None
    apart = proof.compare(changed, PACKET)
    assert apart and all("Highest line" in one.what for one in apart), field
    assert {(one.printed, one.today) for one in apart} == {("99.0 A or less", "13.7 A or less")}


def test_a_job_that_makes_no_packet_today_proves_nothing() -> None:
    findings = Findings()
    assert proof.unproved(PACKET, None, "p.pdf", findings, "")
    assert [f.code for f in findings] == ["limits-unproved"] and findings.stop


def test_a_changed_text_alone_is_told_and_a_named_person_may_take_it() -> None:
    section = replace(PACKET.sections[0], title="Prepare nothing")
    other = replace(PACKET, sections=(section, *PACKET.sections[1:]), hash="00000000")
    findings = Findings()
    assert proof.compare(other, PACKET) == ()
    assert proof.unproved(other, PACKET, "p.pdf", findings, "")
    assert [f.code for f in findings] == ["text-unproved"] and findings.stop
    taken = Findings()
    assert proof.unproved(other, PACKET, "p.pdf", taken, "R. Lund, seen")
    assert not taken.stop and "R. Lund, seen" in str(taken.warnings()[0])


def test_every_limit_of_the_packet_counts() -> None:
    """Whatever single limit is moved by one unit, the comparison names that box."""
    for _, _, _, blank in blanks(PACKET):
        limit = blank.limit
        if limit is None or limit.high is None:
            continue
        model = json.loads(packet_file.dump(PACKET))
        for one in boxes(model):
            if one["field"] == blank.field:
                one["limit"]["high"] = str(limit.high + Decimal(1))
        changed = packet_file.load(json.dumps(model).encode(), "p", Findings())
        assert changed is not None
        assert len(proof.compare(changed, PACKET)) == 1, blank.field
