"""What is asked of a job follows from the acts that are planned: no flame, no torch; a circuit that
stays shut, no nitrogen, no pump, no refrigerant record."""

from __future__ import annotations

from pathlib import Path

import pytest

from packets import reports
from packets.model.blanks import plain
from packets.model.packet import Packet, Section
from packets.pipeline import Prepared, prepare
from tests import jobs

HEAT_PUMP = jobs.EXAMPLES / "library-heat-pump"
# What only a flame, or only an opened circuit, asks for: common practice, no source.
FLAME = ("torch", "braz", "hot-work", "permit number", "fire watch", "filler rods", "flux",
         "fire blanket", "vented cap")  # fmt: skip
OPENED = ("nitrogen", "vacuum pump", "recovery", "micron", "opened pipe", "pipe caps",
          "charging hose with", "core tools", "scale")  # fmt: skip


def coil(folder: Path, *changes: jobs.Change) -> Prepared:
    """The creamery's coil washed, its circuit left alone."""
    text = (jobs.EXAMPLE / "job.yaml").read_text(encoding="utf-8")
    parts = text[text.index("parts:\n") : text.index("conditions:")]
    return prepare(
        jobs.copy(
            folder,
            {
                "job.yaml": [
                    ("compressor: electrical-burnout, acid_test: acid",
                     "compressor: running, acid_test: not-made"),
                    ("work:\n  a: [replace-compressor]\nalso: [clean-condenser-coil]\n",
                     "work:\n  a: [clean-condenser-coil]\n"),
                    (parts, ""),
                    *changes,
                ]
            },
        )
    )  # fmt: skip


def flared_drier(folder: Path, *changes: jobs.Change) -> Prepared:
    """The library's drier, joined by flares, replaced on a running machine."""
    return prepare(
        jobs.copy(
            folder,
            {
                "job.yaml": [
                    ("compressor: mechanical-failure", "compressor: running"),
                    ("[replace-compressor]", "[replace-drier]"),
                    *changes,
                ]
            },
            HEAT_PUMP,
        )
    )


def packet(done: Prepared) -> Packet:
    assert done.packet, [str(finding) for finding in done.findings]
    return done.packet


def section(made: Packet, name: str) -> Section:
    return next(one for one in made.sections if one.fragment == name)


def words(made: Packet) -> str:
    """Titles, actions, labels, load list, permits, hazards and record, in small letters."""
    found = [*made.hazards, *(one for line in made.dispatch.permits for one in line)]
    found += [line.label for line in made.record]
    found += [one for row in made.dispatch.instruments for one in row]
    found += [line.item for group in made.dispatch.load for line in group.lines]
    for one in made.sections:
        found += [one.title, plain(one.stop_here)]
        for step in one.steps:
            found += [plain(step.action), plain(step.if_out)]
            found += [plain(blank.label) for row in step.readings for blank in row]
    return "\n".join(found).lower()


def test_flares_alone_bring_no_torch_no_permit_and_no_watch(tmp_path: Path) -> None:
    done = flared_drier(tmp_path)
    made, said = packet(done), words(packet(done))
    assert [one for one in FLAME if one in said] == []
    fragments = [one.fragment for one in made.sections]
    assert "purge-and-braze" not in fragments
    assert fragments.index("replace-drier") + 1 == fragments.index("close-joints")
    assert fragments.index("close-joints") < fragments.index("pressure-hold")
    gate = "; ".join(section(made, "close-joints").do_not_start)
    for state in (
        "zero gauge pressure verified",
        "power locked out",
        "refrigerant recovered",
        "purged",
    ):
        assert state in gate
    boxes = [step.id for step in section(made, "close-joints").steps]
    assert sum("tighten" in id for id in boxes) == 2


def test_one_technician_may_make_flares_alone(tmp_path: Path) -> None:
    done = flared_drier(tmp_path, ("crew: {technicians: 2", "crew: {technicians: 1"))
    assert "fire-watch" not in jobs.codes(done)


def test_one_brazed_joint_brings_the_torch_back(tmp_path: Path) -> None:
    path = jobs.copy(
        tmp_path,
        {
            "job.yaml": [("compressor: mechanical-failure", "compressor: running"),
                         ("[replace-compressor]", "[replace-drier]")],
            "equipment.yaml": [("drier.in: {size: 3/8 in, kind: flare",
                                "drier.in: {size: 3/8 in, kind: brazed")],
        },
        HEAT_PUMP,
    )  # fmt: skip
    done = prepare(path)
    fragments = [one.fragment for one in done.plan.order] if done.plan else []
    assert "purge-and-braze" in fragments and "close-joints" not in fragments


def test_a_circuit_that_stays_shut_asks_for_nothing_of_an_opened_one(tmp_path: Path) -> None:
    done = coil(tmp_path)
    said = words(packet(done))
    assert [one for one in (*FLAME, *OPENED) if one in said] == []
    assert [finding.code for finding in done.findings] == []
    assert not any("Hook-ups" in line for line in reports.plan_text(done).splitlines())


def test_its_record_has_no_empty_line_on_refrigerant(tmp_path: Path) -> None:
    ids = {line.id for line in packet(coil(tmp_path)).record}
    assert {"service-date", "technician"} <= ids
    assert not ids & {"recovered", "charged", "recovery-cylinder", "net", "leak-rate"}


def test_its_heater_is_not_waited_for_but_the_oil_is_looked_at(tmp_path: Path) -> None:
    heater = section(packet(coil(tmp_path)), "serve-heater")
    assert heater.waiting_minutes == 0
    (step,) = heater.steps
    labels = [plain(blank.label) for blank in step.readings[0]]
    assert any("Power off" in label for label in labels)
    assert any("Sump" in label for label in labels)
    off = coil(tmp_path, ("acid_test: not-made", "acid_test: not-made, heater: off"))
    assert section(packet(off), "serve-heater").waiting_minutes >= 12 * 60
    full = section(packet(prepare(jobs.EXAMPLE / "job.yaml")), "serve-heater")
    assert full.waiting_minutes >= 12 * 60


def test_its_readings_are_taken_with_gauges_that_are_put_on_and_taken_off(tmp_path: Path) -> None:
    made = packet(coil(tmp_path))
    on = [step.id.partition("@")[0] for step in section(made, "start-up").steps]
    assert on.index("start-up/join-gauges") < on.index("start-up/unlock")
    off = [step.id.partition("@")[0] for step in section(made, "leave-clean").steps]
    assert off[:3] == ["leave-clean/back-seat", "leave-clean/hoses-off", "leave-clean/port-caps"]
    assert any("Type II" in one for line in made.dispatch.permits for one in line)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (("pressure: 2015 psig", "pressure: 20 psig"), "nitrogen-short"),
        (("gross: 35 lb 4 oz", "gross: 22 lb"), "charge-short"),
        (("ultimate: 15 micron", "ultimate: 4000 micron"), "pump-too-weak"),
    ],
)
def test_what_its_work_does_not_take_need_not_be_on_the_van(
    tmp_path: Path, change: jobs.Change, code: str
) -> None:
    """The very kit that stops the whole job stops no wash of a coil."""
    coil(tmp_path)
    path = jobs.change(tmp_path, {"kit.yaml": [change]})
    assert [finding.code for finding in prepare(path).findings.errors()] == []
    whole = jobs.codes(jobs.prepared(tmp_path, {"kit.yaml": [change]}))
    assert code in whole
