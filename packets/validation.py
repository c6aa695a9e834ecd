"""Plain data against its JSON Schema; quantities and dates become values. The only jsonschema user.

`validate` returns the data with every `x-quantity` text replaced by a `Quantity` and every date
by a `date`, or None when anything was wrong. All problems of a file are found in one pass.
"""

from __future__ import annotations

import itertools
import json
from datetime import date
from functools import cache
from typing import Any

from packets import locating, quantities
from packets.findings import Findings, suggest
from packets.sources import Document
from packets.surely_valid import Looks
from packets.ways_out import EMPTY, SAY, way_out

Path_ = tuple[str | int, ...]
MAX_PROBLEMS = 100
# Kinds of which nothing in these files can be zero, but where the schema says `x-zero`.
_ABOVE_ZERO = {
    "mass", "volume", "volume-flow", "mass-flow", "vacuum", "current", "voltage", "frequency",
    "time", "pressure-difference", "temperature-difference", "torque", "area",
}  # fmt: skip

# Schemas that others refer to. What they lend refers to nothing in its own file.
_SHARED = ("common", "circuit")

KINDS = (
    "job", "equipment", "kit", "fragment", "circuit", "rules", "cautions", "work", "readings",
    "facts", "acts", "card", "shop", "history",
)  # fmt: skip


@cache
def schema(kind: str) -> dict[str, Any]:
    """The JSON Schema of one kind of file (`common` holds what they share)."""
    path = locating.schemas() / f"{kind}.json"
    loaded: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return loaded


@cache
def _validator(kind: str) -> Any:
    from jsonschema import Draft202012Validator
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    registry: Any = Registry().with_resources(
        (f"{name}.json", DRAFT202012.create_resource(schema(name))) for name in _SHARED
    )
    return Draft202012Validator(schema(kind), registry=registry)


@cache
def _looks(kind: str) -> Looks:
    return Looks(kind, schema)


def validate(document: Document, kind: str, findings: Findings) -> Any | None:
    """Check a document against the schema of `kind` and convert it.

    Returns the converted data, or None when a problem was added to `findings`.
    """
    stated = document.data.get("format") if isinstance(document.data, dict) else None
    wanted = schema(kind)["properties"]["format"]["const"]
    if stated != wanted:
        findings.error(
            "format",
            document.place("format") if stated is not None else document.place(),
            f"this is not a {kind} file of a version known here"
            if stated is None
            else f"format is {stated!r}, wanted {wanted!r}",
            f"write `format: {wanted}` as the first line, or name the right file",
        )
        return None
    before = findings.added
    walk = _Conversion(kind, document, findings)
    converted = walk.convert(document.data, schema(kind), ())
    if not _looks(kind).passes(document.data):
        for error in itertools.islice(_validator(kind).iter_errors(document.data), MAX_PROBLEMS):
            _report(error, document, walk, findings)
    return converted if findings.added == before else None


@cache
def _target(kind: str, reference: str) -> dict[str, Any]:
    """What a reference in a schema of `kind` names."""
    home, _, pointer = reference.partition("#")
    target: Any = schema(home.removesuffix(".json") or kind)
    for part in pointer.strip("/").split("/"):
        target = target[part]
    found: dict[str, Any] = target
    return found


class _Conversion:
    """Walks data and schema side by side. `owned` are the paths it has already judged."""

    def __init__(self, kind: str, document: Document, findings: Findings) -> None:
        self.kind = kind
        self.document = document
        self.findings = findings
        self.owned: set[Path_] = set()

    def resolve(self, node: dict[str, Any]) -> dict[str, Any]:
        """Follow local references; keys beside a reference add to what it names."""
        while "$ref" in node:
            rest = {key: value for key, value in node.items() if key != "$ref"}
            target = _target(self.kind, node["$ref"])
            node = {**target, **rest} if rest else target
        return node

    def convert(self, data: Any, node: dict[str, Any], path: Path_) -> Any:
        node = self.resolve(node)
        if "x-quantity" in node:
            return self.quantity(data, node, path)
        if node.get("type") == "integer" and isinstance(data, float):
            self.findings.error(
                "schema-type",
                self.document.place(*path),
                _named(path, f"{data} is no whole number"),
                "write it without a decimal point",
            )
            self.owned.add(path)
        if node.get("format") == "date" and isinstance(data, str):
            return self.date(data, path)
        if isinstance(data, str) and data.endswith("\n") and "pattern" in node:
            self.findings.error(
                "schema-pattern",
                self.document.place(*path),
                _named(path, "ends in a new line"),
                "write it on one line",
            )
        if isinstance(data, dict):
            properties = node.get("properties", {})
            others = node.get("additionalProperties")
            return {
                key: self.convert(
                    value,
                    properties.get(key, others if isinstance(others, dict) else {}),
                    (*path, key),
                )
                for key, value in data.items()
            }
        if isinstance(data, list):
            items = node.get("items", {})
            return [self.convert(value, items, (*path, at)) for at, value in enumerate(data)]
        return data

    def node(self, path: Path_) -> dict[str, Any]:
        """The schema of the value at `path`, with what the key itself says; {} behind an `if`."""
        node = self.resolve(schema(self.kind))
        for part in path:
            named = node.get("properties", {}).get(part, node.get("additionalProperties"))
            node = node.get("items", {}) if isinstance(part, int) else named
            if not isinstance(node, dict):
                return {}
            node = self.resolve(node)
            if isinstance(node.get("else"), dict):
                node = self.resolve(node["else"])
        return node

    def quantity(self, data: Any, node: dict[str, Any], path: Path_) -> Any:
        self.owned.add(path)
        kind = node["x-quantity"]
        try:
            like = str(node.get("examples", [quantities.example(kind)])[0])
            quantity = quantities.parse(data, kind, like)
            if quantity.value <= 0 and kind in _ABOVE_ZERO and not node.get("x-zero"):
                raise quantities.BadQuantity(f"{data!r} cannot be zero", f"write e.g. {like}")
            _within(quantity, node.get("x-within"), like)
            return quantity
        except quantities.BadQuantity as problem:
            said = EMPTY if data is None else str(problem)
            self.findings.error(
                "quantity", self.document.place(*path), _named(path, said), problem.fix
            )
            return None

    def date(self, data: str, path: Path_) -> Any:
        self.owned.add(path)
        try:
            if len(data) != len("2026-03-18"):
                raise ValueError
            return date.fromisoformat(data)
        except ValueError:
            self.findings.error(
                "date",
                self.document.place(*path),
                _named(path, f"{data!r} is no date"),
                "write year-month-day, e.g. 2026-03-18",
            )
            return None


def _within(quantity: quantities.Quantity, span: list[str] | None, like: str) -> None:
    """Refuse what no machine, tool or day has: a line of three miles, a charge of a gram."""
    if span is None:
        return
    low, high = (_bound(text, quantity.kind).value for text in span)
    slack = 1e-9 * max(abs(low), abs(high))
    if not low - slack <= quantity.value <= high + slack:
        raise quantities.BadQuantity(
            f"{quantity.text!r} is not between {span[0]} and {span[1]}",
            f"check the number and its unit, e.g. {like}",
        )


@cache
def _bound(text: str, kind: str) -> quantities.Quantity:
    return quantities.parse(text, kind)


def _named(path: Path_, message: str) -> str:
    name = ".".join(str(part) for part in path)
    return f"{name}: {message}" if name else message


def _deepest(error: Any) -> Any:
    """Of the branches of an anyOf, the error that got furthest into the data."""
    while error.context:
        error = max(error.context, key=lambda child: len(child.absolute_path))
    return error


def _report(error: Any, document: Document, walk: _Conversion, findings: Findings) -> None:
    """One jsonschema error as findings at the value, or at the stray key itself."""
    error = _deepest(error)
    path: Path_ = tuple(error.absolute_path)
    if path in walk.owned:
        return
    rule, wanted, found = error.validator, error.validator_value, error.instance
    if rule == "additionalProperties":
        known = set(error.schema.get("properties", {}))
        for key in list(found)[: MAX_PROBLEMS * 10]:
            if key not in known and len(findings) < MAX_PROBLEMS * 3:
                place = document.key_place(*path, key)
                findings.error(
                    "unknown-key", place, _named(path, f"unknown key {key!r}"), suggest(key, known)
                )
    elif rule == "required":
        missing = next(key for key in wanted if key not in found and repr(key) in error.message)
        about = error.schema.get("properties", {}).get(missing, {}).get("description", "")
        findings.error(
            "missing-key",
            document.key_place(*path),
            _named(path, f"key {missing!r} is missing"),
            f"add {missing}: {about}".strip(),
        )
    elif rule == "enum":
        place = document.place(*path)
        fix = suggest(str(found), [str(word) for word in wanted])
        said = EMPTY if found is None else f"{found!r} is not known here"
        findings.error("unknown-word", place, _named(path, said), fix)
    else:
        about = way_out(rule, wanted, found, walk.node(path) or error.schema)
        message = SAY.get(rule, lambda found, wanted: str(error.message)[:160])(found, wanted)
        findings.error(
            f"schema-{rule.lower()}", document.place(*path), _named(path, message), about
        )
