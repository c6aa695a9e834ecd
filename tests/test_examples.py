"""The committed examples are what the program makes today, and keep to the page budget."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from packets import pdf, pipeline, rendering
from packets.cli import main
from packets.composing import field_names
from packets.pipeline import Prepared
from tests import filling
from tests.rebuild_examples import SETS, readings

EXAMPLES = Path(__file__).parent.parent / "output_examples"
JOBS = sorted(EXAMPLES.glob("*/job.yaml"))
# Pages of the field packet and steps, at most. Plain words and safe steps come before both; the
# limits only show a change that prints far more than it meant to.
BUDGET = {
    "creamery-cooler": (25, 170),
    "library-heat-pump": (21, 130),
    "clinic-wall-split": (15, 100),
}


@pytest.fixture(scope="module", params=JOBS, ids=lambda path: path.parent.name)
def built(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Prepared, PdfReader]:
    """A fresh build of one example."""
    job: Path = request.param
    done = pipeline.prepare(job)
    assert done.packet is not None, [str(f) for f in done.findings]
    assert done.files is not None
    made = pdf.write(
        rendering.html(pipeline.illustrated(done)),
        attachments=pipeline.attachments(done.files, done.packet),
        identifier=f"{done.packet.job}-{done.packet.revision}-{done.packet.hash}",
    )
    out = tmp_path_factory.mktemp("built") / "packet.pdf"
    out.write_bytes(made)
    return job, done, PdfReader(out)


Built = tuple[Path, Prepared, PdfReader]


def test_the_committed_packet_says_the_same(built: Built) -> None:
    job, _, fresh = built
    kept = PdfReader(job.parent / "packet.pdf")
    assert len(kept.pages) == len(fresh.pages)
    for old, new in zip(kept.pages, fresh.pages, strict=True):
        assert old.extract_text() == new.extract_text()
    assert set(kept.get_fields() or {}) == set(fresh.get_fields() or {})


def test_it_keeps_to_its_budget(built: Built) -> None:
    job, done, fresh = built
    pages, steps = BUDGET[job.parent.name]
    texts = [page.extract_text() for page in fresh.pages]
    dispatch = sum("Dispatch ·" in text for text in texts)
    assert dispatch == 2
    assert len(texts) - dispatch <= pages
    assert done.packet is not None
    assert sum(len(section.steps) for section in done.packet.sections) <= steps


def test_every_folder_of_examples_is_a_job_with_a_budget() -> None:
    folders = {path.name for path in EXAMPLES.iterdir() if path.is_dir()}
    assert folders == {path.parent.name for path in JOBS} == set(BUDGET)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.parent.name)
def test_on_the_other_paper_and_in_si_it_keeps_to_its_pages(job: Path) -> None:
    done = pipeline.prepare(job, units="si")
    assert done.packet is not None, [str(f) for f in done.findings]
    drawn = pipeline.illustrated(done)
    made = pdf.write(rendering.html(drawn, paper="a4"), identifier="test")
    texts = [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]
    dispatch = sum("Dispatch ·" in text for text in texts)
    assert dispatch == 2
    assert len(texts) - dispatch <= BUDGET[job.parent.name][0]


def test_every_page_carries_job_machine_revision_hash_and_its_number(built: Built) -> None:
    _, done, fresh = built
    packet = done.packet
    assert packet is not None
    for number, page in enumerate(fresh.pages, 1):
        text = page.extract_text()
        for part in (packet.job, packet.equipment, f"Rev {packet.revision}", packet.hash):
            assert part in text
        assert f"{number} of {len(fresh.pages)}" in text


def test_every_box_is_a_field(built: Built) -> None:
    _, done, fresh = built
    assert done.packet is not None
    assert set(field_names(done.packet)) <= set(fresh.get_fields() or {})


def test_nothing_unfilled_is_printed(built: Built) -> None:
    _, _, fresh = built
    text = "\n".join(page.extract_text() for page in fresh.pages)
    for trace in ("{", "}", "None", "nan", "undefined", "Span(", "@a"):
        assert trace not in text


def test_a_second_build_hashes_the_same(built: Built) -> None:
    job, done, _ = built
    again = pipeline.prepare(job)
    assert again.packet is not None
    assert done.packet is not None
    assert again.packet.hash == done.packet.hash


RETURNED = sorted(EXAMPLES.glob("*/readings-*.yaml"))


def test_every_example_is_there_as_it_came_back_sound_and_gone_wrong() -> None:
    there = {(path.parent.name, path.stem.removeprefix("readings-")) for path in RETURNED}
    assert there == {(job.parent.name, name) for job in JOBS for name in SETS}
    assert set(filling.RETURNED) == {job.parent.name for job in JOBS}


@pytest.mark.parametrize("path", RETURNED, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_the_committed_readings_and_record_say_the_same(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = path.stem.removeprefix("readings-")
    assert path.read_text(encoding="utf-8") == readings(path.parent / "job.yaml", name)
    monkeypatch.chdir(path.parent)
    words = ["review", "job.yaml", path.name, "--json", "-o", str(tmp_path / "out")]
    made = CliRunner().invoke(main, words)
    assert made.exit_code == {"good": 0, "bad": 1}[name], made.output
    kept = json.loads((path.parent / f"record-{name}.json").read_text(encoding="utf-8"))
    assert json.loads(made.stdout) == kept
    (printed,) = (tmp_path / "out").glob("*.pdf")
    assert len(PdfReader(printed).pages) <= {"good": 2, "bad": 3}[name]
