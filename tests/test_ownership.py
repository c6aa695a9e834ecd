"""An output replaces only what this program wrote and nobody has changed since."""

from __future__ import annotations

import io
import json
import os
import shutil
from pathlib import Path

import pypdf
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from packets import ownership
from packets.cli import main
from packets.model.record import FORMAT, TABLE_HEADS

EXAMPLE = Path(__file__).parent.parent / "output_examples" / "clinic-wall-split"
FILES = ("job.yaml", "equipment.yaml", "kit.yaml")
PDF = b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\nxref\n0 1\ntrailer\n<<>>\nstartxref\n30\n%%EOF\n"


def test_a_sealed_pdf_is_known_until_a_byte_changes() -> None:
    sealed = ownership.seal_pdf(PDF)
    assert ownership.is_ours(sealed)
    assert not ownership.is_ours(PDF)
    for at in range(6, len(sealed)):
        changed = bytearray(sealed)
        changed[at] ^= 1
        if changed[at : at + 1] in b" \n\r\t" and sealed[at : at + 1] in b" \n\r\t":
            continue  # white space behind the digest says nothing
        tail = sealed.rindex(b"startxref")
        if at < tail:
            assert not ownership.is_ours(bytes(changed)), at


@given(st.text(max_size=200))
def test_a_sealed_page_is_known_and_with_one_more_letter_is_not(text: str) -> None:
    text = text.encode("utf-8", "replace").decode()
    sealed = ownership.seal_html(text)
    assert ownership.is_ours(sealed.encode())
    assert not ownership.is_ours(("x" + sealed).encode())
    assert not ownership.is_ours((sealed + "x").encode())


@given(st.binary(max_size=300))
def test_other_bytes_are_never_taken_for_ours(data: bytes) -> None:
    assert not ownership.is_ours(data)


def test_records_and_tables_are_known_by_their_form() -> None:
    heads = ",".join(TABLE_HEADS)
    row = ",".join("" for _ in TABLE_HEADS)
    assert ownership.is_ours(json.dumps({"format": FORMAT}).encode())
    assert not ownership.is_ours(json.dumps({"format": "job/1"}).encode())
    assert ownership.is_ours(f"{heads}\n{row}\n".encode())
    assert not ownership.is_ours(f"{heads}\r\n{row}\r\n".encode())  # a spreadsheet saved it
    assert not ownership.is_ours(f"{heads},note\n{row},x\n".encode())


def copied(folder: Path) -> Path:
    """A job of its own in a folder, with a shop file beside it."""
    folder.mkdir(exist_ok=True)
    for name in FILES:
        shutil.copy(EXAMPLE / name, folder / name)
    return folder / "job.yaml"


def build(job: Path, out: Path, *more: str) -> tuple[int, str]:
    """Exit code and output of a build."""
    done = CliRunner().invoke(main, ["build", str(job), "-o", str(out), *more])
    return done.exit_code, done.output


def test_a_packet_is_replaced_by_a_packet_but_never_when_it_was_filled_in(tmp_path: Path) -> None:
    job, out = copied(tmp_path), tmp_path / "packet.pdf"
    assert build(job, out)[0] == 0
    first = out.read_bytes()
    assert ownership.is_ours(first)
    assert build(job, out)[0] == 0 and out.read_bytes() == first
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(first))
    fields = pypdf.PdfReader(out).get_fields() or {}
    name = next(name for name, field in fields.items() if field["/FT"] == "/Tx")
    writer.update_page_form_field_values(None, {name: "12"}, auto_regenerate=False)
    writer.write(out)
    filled = out.read_bytes()
    code, said = build(job, out)
    assert code == 2 and "was not replaced" in said
    assert out.read_bytes() == filled


@pytest.mark.parametrize("name", ["equipment.history.yaml", "procedures.yaml", "other-job.yaml"])
def test_a_shop_s_file_is_never_replaced(tmp_path: Path, name: str) -> None:
    job = copied(tmp_path)
    held = tmp_path / name
    held.write_text("format: history/1\nequipment: x\ncharges:\n", encoding="utf-8")
    before = held.read_bytes()
    code, said = build(job, held)
    assert code == 2 and "was not replaced" in said
    assert held.read_bytes() == before


def test_a_page_and_a_handout_are_guarded_too(tmp_path: Path) -> None:
    job = copied(tmp_path)
    page = tmp_path / "notes.html"
    page.write_text("<p>my notes</p>\n", encoding="utf-8")
    assert build(job, page, "--html")[0] == 2
    assert page.read_text(encoding="utf-8") == "<p>my notes</p>\n"
    plan = tmp_path / "drawing.pdf"
    plan.write_bytes(PDF)
    done = CliRunner().invoke(main, ["handout", "sweep", "-o", str(plan)])
    assert done.exit_code == 2 and plan.read_bytes() == PDF


def test_a_pipe_in_the_output_s_place_is_refused_at_once(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(ownership.NotOurs):
        ownership.refuse_foreign(pipe)


def test_review_replaces_its_own_record_and_no_other_file(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "records.csv").write_text("machine,remark\ncooler-2,call them\n", encoding="utf-8")
    kept = tmp_path / "records"
    kept.mkdir()
    shutil.copy(EXAMPLE / "record-good.json", kept / "clinic-record.json")
    done = CliRunner().invoke(main, ["review", str(kept), "-o", str(out)])
    assert done.exit_code == 2, done.output
    assert (out / "records.csv").read_text(encoding="utf-8").startswith("machine,remark")
    assert not (out / "records.pdf").exists()
    (out / "records.csv").unlink()
    for _ in range(2):
        done = CliRunner().invoke(main, ["review", str(kept), "-o", str(out)])
        assert done.exit_code != 2, done.output
    assert (out / "records.csv").read_text(encoding="utf-8").startswith("machine,circuit")
