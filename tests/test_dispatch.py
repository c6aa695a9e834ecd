"""The dispatch sheet: what is to be done in a sentence, what is overdue, how many, what to ask."""

from __future__ import annotations

import re
from pathlib import Path

from packets import rendering
from packets.formatting import in_si
from packets.model.packet import Packet
from packets.pipeline import prepare
from packets.quantities import parse
from tests import jobs, sample_jobs


def packet(folder: Path, changes: dict[str, list[jobs.Change]] | None = None) -> Packet:
    """The packet of the changed example."""
    done = jobs.prepared(folder, changes)
    assert done.packet is not None, [str(f) for f in done.findings]
    return done.packet


def test_the_scope_is_one_sentence_that_says_what_the_work_brings(tmp_path: Path) -> None:
    scope = packet(tmp_path).dispatch.scope
    assert scope.startswith("Replace the compressor and clean the condenser coil of cooler-2 (")
    assert scope.endswith(
        ": recover the R-448A, braze, prove it tight under nitrogen, evacuate,"
        " weigh in 14 lb 8 oz, start and verify."
    )
    assert scope.count(". ") == 0


def test_a_job_that_finds_the_circuit_empty_recovers_nothing(tmp_path: Path) -> None:
    found = {
        "job.yaml": [
            (
                "refrigerant: present, compressor: electrical-burnout, acid_test: acid",
                "refrigerant: recovered, compressor: mechanical-failure, acid_test: clean",
            )
        ]
    }
    assert "recover" not in packet(tmp_path, found).dispatch.scope


def test_an_instrument_that_is_overdue_is_marked_and_asked_about(tmp_path: Path) -> None:
    old = [("micron: {id: G-3, resolution: 1 micron, calibrated: 2026-02-10}",
            "micron: {id: G-3, resolution: 1 micron, calibrated: 2024-02-10}")]  # fmt: skip
    sheet = packet(tmp_path, {"kit.yaml": old}).dispatch
    states = {name: state for name, _, state in sheet.instruments}
    assert states["Micron gauge G-3"] == "2024-02-10, OVERDUE"
    assert states["Pressure gauge G-1"] == "2026-02-10"
    assert [line for line in sheet.attention if line.startswith("Micron: calibrated 767 days")]


def test_what_to_settle_before_dispatch_is_written_in_whole_sentences(tmp_path: Path) -> None:
    lines = packet(tmp_path).dispatch.attention
    assert lines
    assert all(re.fullmatch(r"[A-Z].*\.", line) and ".." not in line for line in lines)


def test_a_permit_not_issued_yet_leaves_a_line_for_its_number(tmp_path: Path) -> None:
    def printed(made: Packet) -> str:
        html = rendering.html(made, parts=("dispatch",))
        return html[html.index("Hot-work permit</b>") :].partition("</li>")[0]

    assert "write-in" in printed(packet(tmp_path))
    given = [("  fire_watch: R. Amsel\n", "  fire_watch: R. Amsel\n  permit: HW-77\n")]
    assert "HW-77" in (line := printed(packet(tmp_path, {"job.yaml": given})))
    assert "write-in" not in line


def test_the_load_list_tells_how_many_from_how_much(tmp_path: Path) -> None:
    lines = {line.item: line for group in packet(tmp_path).dispatch.load for line in group.lines}
    assert (lines["Core tools"].count, lines["Core tools"].amount) == (2, "")
    (nitrogen,) = (line for item, line in lines.items() if item.startswith("Nitrogen, "))
    assert nitrogen.count == 1 and nitrogen.amount.endswith("ft³")


def test_an_si_packet_names_its_instruments_and_hoses_in_si() -> None:
    """1 psi is 6.9 kPa, 1 degF is 0.56 K, half an ounce 14 g, 1 micron of mercury 0.13 Pa
    (factors: NIST SP 811, from memory)."""
    done = prepare(jobs.EXAMPLE / "job.yaml", units="si")
    assert done.packet is not None
    sheet = done.packet.dispatch
    steps = [step for _, step, _ in sheet.instruments]
    assert steps == ["0.13 Pa", "6.9 kPa", "0.56 K", "CAT III 600 V", "", "0.014 kg"]
    items = [line.item for group in sheet.load for line in group.lines]
    (hoses,) = [item for item in items if item.startswith("Vacuum hoses")]
    assert in_si(parse("20 psi", "pressure-difference")) == "140 kPa"
    assert "3/8 in x 1.2 m, no core and 3/8 in x 1.2 m, core out" in hoses and " ft" not in hoses


def test_the_certificate_asked_for_is_the_one_that_this_machine_takes(tmp_path: Path) -> None:
    """Small appliances take type I, medium to very high pressure type II (40 CFR 82.161)."""
    sealed = sample_jobs.OWN["sealed"](tmp_path)
    split = prepare(jobs.EXAMPLES / "clinic-wall-split" / "job.yaml")
    for done, asked in ((split, "Type II or universal"), (sealed, "Type I or universal")):
        assert done.packet is not None, [str(f) for f in done.findings]
        names = [name for name, _ in done.packet.dispatch.permits]
        assert [name for name in names if name.startswith("Type")] == [asked]
