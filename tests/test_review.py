"""A packet's way back: printed, filled in, read, judged, written down. And what can go wrong."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator
from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    TextStringObject,
)

from packets import locating, packet_file, pipeline
from packets.cli import main
from packets.model.blanks import blanks
from packets.model.packet import Packet
from tests import filling, jobs

WEIGHTS = filling.GOOD


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, bytes, Packet]:
    """The example in a folder of its own, its printed PDF and its packet."""
    folder = tmp_path_factory.mktemp("printed")
    job = jobs.copy(folder)
    done = pipeline.prepare(job)
    assert done.packet is not None
    return job, filling.printed(job), done.packet


Printed = tuple[Path, bytes, Packet]


@pytest.fixture(scope="module")
def filled(printed: Printed) -> bytes:
    """The printed PDF, filled in as a sound job."""
    _, data, packet = printed
    return filling.as_pdf(data, packet, filling.filled(packet, WEIGHTS))


def run(*words: object) -> tuple[int, str]:
    """The command's exit code and all that it printed; never a traceback."""
    result = CliRunner().invoke(main, ["review", *map(str, words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert "Traceback" not in result.output
    return result.exit_code, result.output


def record(folder: Path) -> dict:  # type: ignore[type-arg]
    """The record that was written, checked against its schema."""
    data = json.loads((folder / "26-1142-record.json").read_text(encoding="utf-8"))
    schema = json.loads((locating.schemas() / "record.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(data)
    return data  # type: ignore[no-any-return]


def changed(data: bytes, change) -> bytes:  # type: ignore[no-untyped-def]
    """The PDF with something done to it."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(data)))
    change(writer)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def fields(writer: PdfWriter):  # type: ignore[no-untyped-def]
    """Every form field of a document."""
    for page in writer.pages:
        for reference in page.get("/Annots", []):
            if "/T" in reference.get_object():
                yield reference.get_object()


def test_the_filled_pdf_and_the_readings_file_say_the_same(
    printed: Printed, tmp_path: Path
) -> None:
    job, data, packet = printed
    entries = filling.filled(packet, WEIGHTS)
    (tmp_path / "filled.pdf").write_bytes(filling.as_pdf(data, packet, entries))
    (tmp_path / "filled.yaml").write_text(filling.as_yaml(packet, entries), encoding="utf-8")
    made = []
    for name in ("filled.pdf", "filled.yaml"):
        code, said = run(job, tmp_path / name, "-o", tmp_path / name.replace(".", "-"))
        assert code == 0, said
        made.append(record(tmp_path / name.replace(".", "-")))
    from_pdf, from_yaml = made
    for one in made:
        one.pop("sources")
    assert from_pdf == from_yaml
    assert from_pdf["state"] == "closed"
    # By hand: 41 lb 1.5 oz - 27 lb 9.5 oz = 13 lb 8 oz = 6.1235 kg.
    assert from_pdf["balances"][0]["recovered"] == pytest.approx(6.1235, abs=1e-3)
    assert "tight@a" not in from_pdf["facts"] and "recorded@a" in from_pdf["facts"]
    tight = next(one for one in from_pdf["held"] if one["fact"] == "tight@a")
    assert tight["by"].startswith("section 13, ") and "nitrogen" in tight["proof"]


def test_the_record_is_printed_on_few_pages_and_says_what_counts(
    printed: Printed, tmp_path: Path
) -> None:
    job, _, packet = printed
    bad = {**WEIGHTS, "verify__heat__r-amps": "15.1", "start-up__unlock__sign": None,
           "return-visit__drop__r-first-day": None}  # fmt: skip
    entries = filling.filled(packet, bad)
    (tmp_path / "r.yaml").write_text(filling.as_yaml(packet, entries), encoding="utf-8")
    code, said = run(job, tmp_path / "r.yaml", "-o", tmp_path / "out")
    assert code == 1, said
    pages = PdfReader(tmp_path / "out" / "26-1142-record.pdf").pages
    assert len(pages) <= 2
    text = "\n".join(page.extract_text() for page in pages)
    for part in ("OPEN", "15.1 A", "13.7 A or less", "MISSING", "2026-03-21", "13 lb 8 oz"):
        assert part in text, part
    assert "None" not in text


def test_an_empty_packet_is_open_and_nothing_is_made_up(printed: Printed, tmp_path: Path) -> None:
    job, data, _ = printed
    (tmp_path / "empty.pdf").write_bytes(data)
    code, _ = run(job, tmp_path / "empty.pdf", "-o", tmp_path / "out")
    made = record(tmp_path / "out")
    assert code == 1 and made["state"] == "open"
    assert made["balances"][0]["recovered"] is None and made["leaks"][0]["annualized"] is None
    assert made["facts"] == []
    assert made["written"] == []


def test_a_job_changed_since_printing_is_shown_line_by_line(filled: bytes, tmp_path: Path) -> None:
    job = jobs.copy(tmp_path, {"equipment.yaml": [("charge: 14 lb 8 oz", "charge: 16 lb 0 oz")]})
    (tmp_path / "filled.pdf").write_bytes(filled)
    code, said = run(job, tmp_path / "filled.pdf", "-o", tmp_path / "out")
    assert "packet-files" in said and "14 lb 8 oz" in said and "16 lb 0 oz" in said
    # What was printed judges: the charge of the packet, not today's. But nothing proves it.
    made = record(tmp_path / "out")
    assert made["balances"][0]["full_charge"] == pytest.approx(6.577, abs=1e-3)
    assert code == 1 and made["state"] == "open"
    assert any("full charge" in one and "6.58" not in one for one in made["unproved"])


def test_readings_of_another_packet_are_kept_and_not_judged(
    printed: Printed, tmp_path: Path
) -> None:
    job, _, packet = printed
    text = filling.as_yaml(packet, filling.filled(packet, WEIGHTS))
    (tmp_path / "r.yaml").write_text(text.replace(packet.hash, "01234567"), encoding="utf-8")
    code, said = run(job, tmp_path / "r.yaml", "-o", tmp_path / "out")
    made = record(tmp_path / "out")
    assert code == 1 and "packet-other" in said
    assert made["state"] == "not-judged"
    assert ["a__recover__clear__r-recovered", "13 lb 8 oz"] in made["written"]


def test_readings_of_another_job_are_a_finding(printed: Printed, tmp_path: Path) -> None:
    job, _, packet = printed
    text = filling.as_yaml(packet, filling.filled(packet, WEIGHTS))
    (tmp_path / "r.yaml").write_text(text.replace('"26-1142"', '"26-9999"'), encoding="utf-8")
    code, said = run(job, tmp_path / "r.yaml")
    assert code == 1 and "readings-other" in said


def test_the_printed_packet_judges_a_readings_file_of_an_older_one(
    printed: Printed, tmp_path: Path
) -> None:
    _, data, packet = printed
    job = jobs.copy(tmp_path, {"equipment.yaml": [("charge: 14 lb 8 oz", "charge: 15 lb 0 oz")]})
    text = filling.as_yaml(packet, filling.filled(packet, WEIGHTS))
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "printed.pdf").write_bytes(data)
    code, said = run(job, tmp_path / "r.yaml")
    assert code == 1 and "packet-other" in said
    code, said = run(job, tmp_path / "r.yaml", "--packet", tmp_path / "printed.pdf")
    assert code == 1 and "limit-differs" in said and "14 lb 4 oz to 15 lb 12 oz" in said
    taken = text + '  packet: "R. Lund, charge corrected after"\n'
    (tmp_path / "r.yaml").write_text(taken, encoding="utf-8")
    words = ("--packet", tmp_path / "printed.pdf", "-o", tmp_path / "out")
    code, said = run(job, tmp_path / "r.yaml", *words)
    made = record(tmp_path / "out")
    assert code == 0 and made["state"] == "closed", said
    assert made["packet_taken"] == "R. Lund, charge corrected after" and made["unproved"]


def test_two_copies_that_disagree_are_believed_in_neither(printed: Printed, tmp_path: Path) -> None:
    job, _, packet = printed
    name = "verify__heat__r-amps"
    for file, amps in (("one.yaml", "12.1"), ("two.yaml", "11.4")):
        entries = filling.filled(packet, {**WEIGHTS, name: amps})
        (tmp_path / file).write_text(filling.as_yaml(packet, entries), encoding="utf-8")
    code, said = run(job, tmp_path / "one.yaml", tmp_path / "two.yaml", "-o", tmp_path / "out")
    assert code == 1 and said.count("copies-disagree") == 1
    step = next(s for s in record(tmp_path / "out")["steps"] if s["id"].startswith("verify/heat"))
    amps = next(r for r in step["readings"] if r["label"] == "Highest line")
    assert amps["verdict"] == "not-judged"
    assert "12.1" in amps["reason"] and "11.4" in amps["reason"]


def test_copies_that_mean_the_same_agree_however_it_is_written(
    printed: Printed, tmp_path: Path
) -> None:
    job, _, packet = printed
    boxes = {
        "evacuate__pull__r-pulled": ("480 micron", "480"),
        "verify__heat__r-amps": ("12.1 A", "12.1"),
        "weigh-in-charge__close__r-charged": ("14lb 8oz", "14 lb 8 oz"),
        "evacuate__pull__r-time": ("13:40", "1:40 pm"),
        "pressure-hold__end__r-end-pressure": ("about 20", "about 20 psig"),
    }
    known = {filling.key(blank) for *_, blank in blanks(packet)}
    used = {name: both for name, both in boxes.items() if name in known}
    assert len(used) >= 4
    for at, file in enumerate(("one.yaml", "two.yaml")):
        answers = {**WEIGHTS, **{name: both[at] for name, both in used.items()}}
        text = filling.as_yaml(packet, filling.filled(packet, answers))
        (tmp_path / file).write_text(text, encoding="utf-8")
    _, said = run(job, tmp_path / "one.yaml", tmp_path / "two.yaml")
    told = [line for line in said.splitlines() if "copies-disagree" in line]
    # Only what nobody can read is compared as text; it is told once.
    assert len(told) == 1 and "end-pressure" in told[0]
    assert "copies disagree" not in "".join(line for line in said.splitlines() if "error" in line
                                            or "warning" in line)  # fmt: skip


def test_a_form_and_a_file_of_the_same_paper_agree(
    printed: Printed, filled: bytes, tmp_path: Path
) -> None:
    job, _, packet = printed
    (tmp_path / "filled.pdf").write_bytes(filled)
    text = filling.as_yaml(packet, filling.filled(packet, WEIGHTS))
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    code, said = run(job, tmp_path / "filled.pdf", tmp_path / "r.yaml")
    assert code == 0, said


def test_two_copies_that_agree_complete_each_other(printed: Printed, tmp_path: Path) -> None:
    job, _, packet = printed
    entries = filling.filled(packet, WEIGHTS)
    half = dict(list(entries.items())[::2])
    rest = dict(list(entries.items())[1::2])
    for file, part in (("one.yaml", half), ("two.yaml", rest)):
        (tmp_path / file).write_text(filling.as_yaml(packet, part), encoding="utf-8")
    code, said = run(job, tmp_path / "one.yaml", tmp_path / "two.yaml")
    assert code == 0, said


@pytest.mark.parametrize(
    "text",
    [
        "",
        "format: readings/1\n",
        "format: readings/1\njob: x\npacket: 01234567\nreadings: 7\n",
        "format: readings/1\njob: [1]\npacket: 01234567\nreadings: {a: {b: c}}\n",
        "format: readings/1\njob: x\npacket: nothex\nreadings: {a__b: [1, 2]}\n",
        "format: job/1\n",
        "\x00\x01",
        "readings: &a [*a]\n",
    ],
)
def test_a_readings_file_of_the_wrong_form_is_a_finding(
    printed: Printed, tmp_path: Path, text: str
) -> None:
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    code, said = run(printed[0], tmp_path / "r.yaml", "-o", tmp_path / "out")
    assert code == 1 and "error" in said


def test_a_wrong_value_is_a_finding_and_the_rest_is_kept(printed: Printed, tmp_path: Path) -> None:
    job, _, packet = printed
    text = filling.as_yaml(packet, filling.filled(packet, WEIGHTS))
    text = text.replace(
        "\nreadings:\n", "\nreadings:\n  a__verify__heat__r-ampss: 12\n  stray: [1, 2]\n"
    )
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    code, said = run(job, tmp_path / "r.yaml", "-o", tmp_path / "out")
    assert code == 1 and "field-unknown" in said and "did you mean a__verify__heat__r-amps?" in said
    made = record(tmp_path / "out")
    assert made["balances"][0]["recovered"] is not None
    assert ["a__verify__heat__r-ampss", "12"] in made["unplaced"]


def test_a_damaged_pdf_is_a_finding(printed: Printed, tmp_path: Path) -> None:
    job, data, _ = printed
    for name, broken in (
        ("cut.pdf", data[: len(data) // 3]),
        ("noise.pdf", b"%PDF-1.7\n" + bytes(range(256)) * 40),
        ("empty.pdf", b""),
        ("text.pdf", b"hello"),
    ):
        (tmp_path / name).write_bytes(broken)
        code, said = run(job, tmp_path / name)
        assert code == 1 and "error [pdf-" in said, (name, said)


def test_a_locked_pdf_is_a_finding(printed: Printed, tmp_path: Path) -> None:
    job, data, _ = printed
    locked = changed(data, lambda writer: writer.encrypt("secret", algorithm="RC4-128"))
    (tmp_path / "locked.pdf").write_bytes(locked)
    code, said = run(job, tmp_path / "locked.pdf")
    assert code == 1 and "pdf-encrypted" in said


def test_a_script_in_the_pdf_is_told_and_not_run(
    printed: Printed, filled: bytes, tmp_path: Path
) -> None:
    job, _, _ = printed

    def script(writer: PdfWriter) -> None:
        action = {"/S": NameObject("/JavaScript"), "/JS": TextStringObject("app.beep()")}
        made = DictionaryObject({NameObject(key): value for key, value in action.items()})
        writer._root_object[NameObject("/OpenAction")] = made

    (tmp_path / "script.pdf").write_bytes(changed(filled, script))
    code, said = run(job, tmp_path / "script.pdf")
    assert code == 0 and "pdf-script" in said


def test_fields_lost_renamed_and_twice_are_findings(
    printed: Printed, filled: bytes, tmp_path: Path
) -> None:
    job, _, _ = printed

    def muddle(writer: PdfWriter) -> None:
        own = {str(field["/T"]): field for field in fields(writer)}
        own["a__verify__heat__r-amps"][NameObject("/T")] = TextStringObject("ampere")
        twin = own["a__verify__heat__r-discharge-line"]
        twin[NameObject("/T")] = TextStringObject("a__recover__clear__r-recovered")

    (tmp_path / "muddled.pdf").write_bytes(changed(filled, muddle))
    code, said = run(job, tmp_path / "muddled.pdf", "-o", tmp_path / "out")
    assert code == 1
    for code_word in ("field-lost", "field-unknown", "field-twice"):
        assert code_word in said
    made = record(tmp_path / "out")
    assert any(name == "ampere" for name, _ in made["unplaced"])
    written = dict(made["written"])
    assert " / " in written["a__recover__clear__r-recovered"]


def test_a_hundred_thousand_fields_end_in_a_finding(printed: Printed, tmp_path: Path) -> None:
    job, _, _ = printed
    bodies = {
        1: b"<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[%s]>>>>"
        % b" ".join(b"%d 0 R" % at for at in range(10, 100_010)),
        2: b"<</Type/Pages/Kids[]/Count 0>>",
        **{at: b"<</FT/Tx/T(f%d)/V(x)>>" % at for at in range(10, 100_010)},
    }
    text, places = b"%PDF-1.4\n", []
    chunks = [text]
    size = len(text)
    for at, body in bodies.items():
        chunk = b"%d 0 obj%sendobj\n" % (at, body)
        places.append((at, size))
        chunks.append(chunk)
        size += len(chunk)
    table = b"".join(b"%d 1\n%010d 00000 n \n" % place for place in places)
    tail = b"xref\n%strailer<</Size 100010/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n"
    text = b"".join(chunks) + tail % (table, size)
    (tmp_path / "many.pdf").write_bytes(text)
    code, said = run(job, tmp_path / "many.pdf", "-o", tmp_path / "out")
    assert code == 1 and ("pdf-fields-many" in said or "pdf-too-much" in said), said[-500:]


def test_a_copy_that_cannot_be_read_keeps_the_job_open(
    printed: Printed, filled: bytes, tmp_path: Path
) -> None:
    job, _, _ = printed
    (tmp_path / "one.pdf").write_bytes(filled)
    (tmp_path / "two.pdf").write_bytes(filled[: len(filled) // 2])
    both = (tmp_path / "one.pdf", tmp_path / "two.pdf")
    code, said = run(job, *both, "-o", tmp_path / "out")
    assert code == 1 and "OPEN. copies not read." in said
    made = record(tmp_path / "out")
    assert made["state"] == "open"
    assert [one["why"] for one in made["actions"]] == ["not read: two.pdf"]


def test_a_form_that_names_itself_ends(printed: Printed, tmp_path: Path) -> None:
    job, _, _ = printed
    (tmp_path / "loop.pdf").write_bytes(
        b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[3 0 R]>>"
        b"/Names<</EmbeddedFiles 4 0 R>>>>endobj\n"
        b"2 0 obj<</Type/Pages/Kids[2 0 R]/Count 9>>endobj\n"
        b"3 0 obj<</FT/Tx/T(a)/Kids[3 0 R 3 0 R]>>endobj\n"
        b"4 0 obj<</Kids[4 0 R 4 0 R]>>endobj\ntrailer<</Root 1 0 R>>\n"
    )
    code, said = run(job, tmp_path / "loop.pdf")
    assert code == 1 and "error [" in said


def test_a_huge_attachment_is_not_unpacked_into_memory(
    printed: Printed, filled: bytes, tmp_path: Path
) -> None:
    job, _, _ = printed

    def bomb(writer: PdfWriter) -> None:
        writer.add_attachment("bomb.bin", b"\0" * 20_000_000)
        for page in writer.pages:
            page.compress_content_streams()
        writer.compress_identical_objects()

    (tmp_path / "bomb.pdf").write_bytes(changed(filled, bomb))
    code, said = run(job, tmp_path / "bomb.pdf")
    assert "pdf-attachment-large" in said and code == 1


def test_a_changed_packet_model_is_a_finding(printed: Printed, tmp_path: Path) -> None:
    job, data, packet = printed
    model = json.loads(packet_file.dump(packet))
    model["sections"][0]["title"] = "Prepare nothing"

    def swap(writer: PdfWriter) -> None:
        names = writer._root_object["/Names"]["/EmbeddedFiles"]["/Names"]
        at = next(i for i, name in enumerate(names) if str(name) == packet_file.NAME)
        stream = DecodedStreamObject()
        stream.set_data(json.dumps(model).encode())
        spec = names[at + 1].get_object()
        spec[NameObject("/EF")] = DictionaryObject({NameObject("/F"): writer._add_object(stream)})

    (tmp_path / "altered.pdf").write_bytes(changed(data, swap))
    code, said = run(job, tmp_path / "altered.pdf")
    assert code == 1 and "packet-altered" in said


def test_a_dispatch_sheet_alone_is_told_to_have_no_field_packet(
    printed: Printed, tmp_path: Path
) -> None:
    job, _, _ = printed
    sheet = tmp_path / "sheet.pdf"
    made = CliRunner().invoke(main, ["build", str(job), "--edition", "dispatch", "-o", str(sheet)])
    assert sheet.exists(), made.output
    code, said = run(job, sheet, "-o", tmp_path / "out")
    assert code == 1 and "this file has no field packet" in said and "field-lost" not in said
    assert "sheet.pdf has no field packet." in said and "readings not written" not in said
    whys = [one["why"] for one in record(tmp_path / "out")["actions"]]
    assert "not read: sheet.pdf has no field packet" in whys


def test_a_packet_made_anew_says_what_changed_in_the_records(
    printed: Printed, tmp_path: Path
) -> None:
    _, _, packet = printed
    job = jobs.copy(tmp_path, {"equipment.yaml": [("charge: 14 lb 8 oz", "charge: 15 lb 0 oz")]})
    (tmp_path / "packet.json").write_bytes(packet_file.dump(packet))
    text = filling.as_yaml(packet, filling.filled(packet, WEIGHTS))
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    _, said = run(job, tmp_path / "r.yaml", "--packet", tmp_path / "packet.json")
    assert "circuit a, full charge: printed 14 lb 8 oz" in said
    assert "the job's files on disk give 15 lb 0 oz" in said


def test_a_scan_without_a_form_is_told_what_to_do(printed: Printed, tmp_path: Path) -> None:
    job, _, _ = printed
    writer = PdfWriter()
    writer.add_blank_page(200, 200)
    with (tmp_path / "scan.pdf").open("wb") as stream:
        writer.write(stream)
    code, said = run(job, tmp_path / "scan.pdf")
    assert code == 1 and "packets new readings" in said


def test_what_a_person_wrote_prints_whatever_it_is(printed: Printed, tmp_path: Path) -> None:
    job, _, packet = printed
    odd = {
        **WEIGHTS,
        "find-cause__suspects__r-cause": "<script>x</script> {{ 7*7 }} 漢字 \N{GRINNING FACE}",
        "record__owner": "漢字 \\x07 <script>",
    }
    text = filling.as_yaml(packet, filling.filled(packet, odd))
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    code, said = run(job, tmp_path / "r.yaml", "-o", tmp_path / "out")
    assert code == 0, said
    assert "漢字" in (tmp_path / "out" / "26-1142-record.json").read_text(encoding="utf-8")


def test_the_readings_file_has_every_blank_once(printed: Printed, tmp_path: Path) -> None:
    job, _, packet = printed
    result = CliRunner().invoke(main, ["new", "readings", str(job)])
    assert result.exit_code == 0
    keys = [
        line.strip().split(":")[0]
        for line in result.stdout.splitlines()
        if line.startswith("  ") and not line.strip().startswith("#") and ":" in line
    ]
    from packets.composing import field_names
    from packets.model.blanks import choice_fields

    words = choice_fields(packet)
    wanted = {words[n][0] if n in words else n for n in field_names(packet)}
    assert len(keys) == len(set(keys))
    assert set(keys) == wanted


def test_a_reading_taken_as_it_is_closes_the_job_and_is_named(
    printed: Printed, tmp_path: Path
) -> None:
    job, _, packet = printed
    entries = filling.filled(packet, {**WEIGHTS, "verify__heat__r-amps": "14.2"})
    text = filling.as_yaml(packet, entries)
    assert text.endswith("accepted:\n")
    (tmp_path / "r.yaml").write_text(
        text + '  a__verify__heat__r-amps: "R. Lund: within the curve"\n', encoding="utf-8"
    )
    code, said = run(job, tmp_path / "r.yaml", "-o", tmp_path / "out")
    assert code == 0, said
    page = PdfReader(tmp_path / "out" / "26-1142-record.pdf").pages[0].extract_text()
    assert "taken as they are" in page and "R. Lund" in page


@pytest.mark.parametrize(
    "shape", ["{by: Ida, reason: within the curve}", "[Ida, within]", "12", '"' + "why " * 60 + '"']
)
def test_an_acceptance_of_the_wrong_form_takes_no_effect(
    printed: Printed, tmp_path: Path, shape: str
) -> None:
    job, _, packet = printed
    entries = filling.filled(packet, {**WEIGHTS, "verify__heat__r-amps": "14.2"})
    text = filling.as_yaml(packet, entries) + f"  a__verify__heat__r-amps: {shape}\n"
    (tmp_path / "r.yaml").write_text(text, encoding="utf-8")
    code, said = run(job, tmp_path / "r.yaml", "-o", tmp_path / "out")
    assert code == 1 and "one line of text" in said
    made = record(tmp_path / "out")
    (amps,) = [r for s in made["steps"] for r in s["readings"] if "heat__r-amps" in r["field"]]
    assert made["state"] == "open" and amps["verdict"] == "out"


def test_the_readings_file_shows_how_an_acceptance_is_written(printed: Printed) -> None:
    job, _, packet = printed
    said = CliRunner().invoke(main, ["new", "readings", str(job)]).stdout
    example = said.splitlines()[-2]
    assert said.endswith("\naccepted:\n") and example.startswith("#   ")
    name, _, why = example.removeprefix("#   ").partition(": ")
    assert name in {blank.field for *_, blank in blanks(packet)} and ", " in why


def test_wrong_use_and_no_files(printed: Printed, tmp_path: Path) -> None:
    job, _, _ = printed
    assert run(job)[0] == 2
    assert run(job, tmp_path / "none.yaml")[0] == 1
    assert run(job, tmp_path / "none.pdf")[0] == 1
    (tmp_path / "file").write_text("x", encoding="utf-8")
    assert run(job, job, "-o", tmp_path / "file")[0] == 2
