"""YAML as people write it: strict scalars, places, and files made to hurt."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packets import sources
from packets.findings import Findings


def parse(text: str) -> tuple[sources.Document | None, list[str]]:
    findings = Findings()
    document = sources.parse(text, "x.yaml", findings)
    return document, [f"{f.code}@{f.place.line}:{f.place.column}" for f in findings]


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("no", "no"),
        ("on", "on"),
        ("Yes", "Yes"),
        ("010", "010"),
        ("1:30", "1:30"),
        ("2026-01-02", "2026-01-02"),
        ("1e5", "1e5"),
        (".5", ".5"),
        (".nan", ".nan"),
        (".inf", ".inf"),
        ("0x10", "0x10"),
        ("1_000", "1_000"),
        ("8", 8),
        ("-3", -3),
        ("0.5", 0.5),
        ("true", True),
        ("'true'", "true"),
        ("'8'", "8"),
        ("null", None),
    ],
)
def test_a_scalar_is_never_turned_into_something_else(written: str, read: object) -> None:
    document, problems = parse(f"a: {written}")
    assert not problems
    assert document is not None
    assert document.data == {"a": read}
    assert type(document.data["a"]) is type(read)


def test_every_value_and_key_has_its_place() -> None:
    document, _ = parse("a:\n  - b: 1\n  - c:   2\n")
    assert document is not None
    assert str(document.place("a", 1, "c")) == "x.yaml:3:10"
    assert str(document.key_place("a", 1, "c")) == "x.yaml:3:5"
    assert str(document.place("a", 1, "missing")) == "x.yaml:3:5"


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("a: 1\nb: 2\na: 3\n", "yaml-duplicate@3:1"),
        ("a: &x 1\nb: *x\n", "yaml-alias@1:4"),
        ("a: !!python/object/apply:os.system [x]", "yaml-tag@1:4"),
        ("a: !custom 1", "yaml-tag@1:4"),
        ("a: 1\n---\nb: 2\n", "yaml-documents@2:1"),
        ("a: [1\nb: 2", "yaml-syntax@2:2"),
        ("", "yaml-empty@0:0"),
        ("# only a remark\n", "yaml-empty@0:0"),
        ("? [a, b]\n: 1\n", "yaml-key@1:3"),
        ("<<: {a: 1}\n", "yaml-merge@1:1"),
    ],
)
def test_what_is_refused_is_refused_at_its_place(text: str, problem: str) -> None:
    _, problems = parse(text)
    assert problems == [problem]


def test_a_key_twice_keeps_the_first_and_reads_on() -> None:
    document, problems = parse("a: {x: 1}\na: {x: {y: 2}}\nb: 3\n")
    assert document is not None
    assert document.data == {"a": {"x": 1}, "b": 3}
    assert problems == ["yaml-duplicate@2:1"]


def test_alias_bomb_is_refused_at_the_first_anchor() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 9)]
    _, problems = parse("\n".join(lines))
    assert problems == ["yaml-alias@1:5"]


def test_deep_nesting_is_refused() -> None:
    _, problems = parse("a:\n" + "".join("  " * n + f"b{n}:\n" for n in range(1, 60)))
    assert problems[0].startswith("yaml-depth@25:")
    # Flow brackets are refused by the parser's own bound before ours is reached.
    _, problems = parse("[" * 100_000)
    assert len(problems) == 1


def test_many_nodes_are_refused() -> None:
    _, problems = parse("[" + "1," * (sources.MAX_NODES + 1) + "]")
    assert problems[0].startswith("yaml-size@")


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    (tmp_path / "large.yaml").write_bytes(b"a: " + b"x" * sources.MAX_BYTES)
    (tmp_path / "latin.yaml").write_bytes(b"a: 1\nb: caf\xe9\n")
    findings = Findings()
    for name in ("large.yaml", "latin.yaml", "absent.yaml"):
        assert sources.read(tmp_path / name, name, findings) is None
    assert sources.read(tmp_path, "folder", findings) is None
    codes = [f"{f.code}@{f.place}" for f in findings]
    assert codes == [
        "file-unreadable@absent.yaml",
        "file-unreadable@folder",
        "file-size@large.yaml",
        "file-encoding@latin.yaml:2:1",
    ]


@settings(max_examples=200)
@given(st.text(max_size=200))
def test_any_text_gives_a_document_or_a_finding(text: str) -> None:
    document, problems = parse(text)
    assert (document is None) <= bool(problems)


@settings(max_examples=200)
@given(st.binary(max_size=200))
def test_any_bytes_give_a_document_or_a_finding(raw: bytes) -> None:
    import tempfile

    with tempfile.NamedTemporaryFile(suffix=".yaml") as file:
        file.write(raw)
        file.flush()
        findings = Findings()
        document = sources.read(Path(file.name), "x.yaml", findings)
    assert (document is None) <= bool(len(findings))
