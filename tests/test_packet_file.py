"""The packet model read back: the same object, tolerant of other versions, proof against abuse."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from packets import locating, packet_file, pipeline
from packets.composing.hashing import content_hash, hash_of
from packets.findings import Findings
from packets.model.packet import Packet
from tests import filling

PACKET = filling.creamery()


def model() -> dict[str, Any]:
    """The example's packet.json as data."""
    data: dict[str, Any] = json.loads(packet_file.dump(PACKET))
    return data


def load(data: Any) -> tuple[Packet | None, list[str]]:
    """What becomes of a packet.json, and the codes of the findings."""
    findings = Findings()
    raw = data if isinstance(data, bytes) else json.dumps(data).encode()
    return packet_file.load(raw, "packet.json", findings), [f.code for f in findings]


def stamped(data: dict[str, Any]) -> dict[str, Any]:
    """The data with the hash that belongs to it."""
    data["hash"] = hash_of({key: value for key, value in data.items() if key != "format"})
    return data


def test_what_is_written_reads_back_the_same() -> None:
    assert load(packet_file.dump(PACKET)) == (PACKET, [])
    assert content_hash(PACKET) == PACKET.hash


def test_it_fits_its_schema() -> None:
    schema = json.loads((locating.schemas() / "packet.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(model())


def test_keys_of_a_newer_version_are_passed_over() -> None:
    data = model()
    data["sounds"] = [{"bell": 3}]
    data["sections"][0]["steps"][0]["smell"] = {"kind": "burnt"}
    packet, codes = load(stamped(data))
    assert codes == []
    assert packet is not None and packet.sections == PACKET.sections


def test_an_older_model_without_our_keys_still_reads() -> None:
    data = model()
    del data["basis"], data["format"]
    for section in data["sections"]:
        for key in ("makes", "ends", "circuit", "crew"):
            del section[key]
        for step in section["steps"]:
            for row in step["readings"]:
                for blank in row:
                    for key in ("feeds", "after", "about", "quantity", "step"):
                        del blank[key]
    packet, codes = load(stamped(data))
    assert codes == []
    assert packet is not None and packet.basis is None
    assert packet.sections[0].steps[0].readings[0][0].feeds == ""


def test_a_packet_reads_as_unchanged_with_its_drawings() -> None:
    done = pipeline.prepare(filling.EXAMPLE)
    drawn = pipeline.illustrated(done)
    assert drawn.figures and drawn.hash == filling.creamery().hash
    packet, codes = load(json.loads(packet_file.dump(drawn)))
    assert codes == [] and packet == drawn


def test_a_change_after_printing_is_told() -> None:
    data = model()
    data["sections"][3]["title"] += "!"
    packet, codes = load(data)
    assert packet is not None and codes == ["packet-altered"]


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"[]",
        b"{}",
        b"\xff\xfe",
        b'{"format": "packet/9"}',
        b"[" * 100_000,
        b'{"job": NaN}',
        b'{"job": "x", "sections": {"a": 1}}',
        b'{"job": "x", "sections": [{"steps": [{"tick": 7}]}]}',
        b'{"job": "x", "sections": [{"number": 1e999}]}',
        b'{"job": "x", "sections": [' + b"1" * 6000 + b"]}",
        b"{" + b'"a": {' * 500 + b"}" * 501,
    ],
    ids=lambda data: repr(data[:24]),
)
def test_what_is_no_packet_is_a_finding(data: bytes) -> None:
    packet, codes = load(data)
    assert packet is None and len(codes) == 1


VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(max_examples=25, deadline=None)
@given(value=VALUES, data=st.data())
def test_no_value_anywhere_breaks_the_reader(value: Any, data: st.DataObject) -> None:
    whole = model()
    at: Any = whole
    while isinstance(at, (dict, list)) and at:
        keys = sorted(at) if isinstance(at, dict) else list(range(len(at)))
        key = data.draw(st.sampled_from(keys))
        if not isinstance(at[key], (dict, list)) or data.draw(st.integers(0, 3)) == 0:
            at[key] = value
            break
        at = at[key]
    load(whole)
