"""Starting files for a job, a machine, a kit or a fragment, written out of the schemas.

Every key stands there once, with its description. What must be filled in is left empty; what may
be left out has a # at the very beginning of its line, and is used by taking that away.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from packets import quantities, validation, ways_out

WIDTH = 100
COMMENT_AT = 34
# What is filled in already, by kind and key.
PRESET = {
    ("job", "revision"): "1",
    ("job", "equipment"): "equipment.yaml",
    ("job", "kit"): "kit.yaml",
    ("fragment", "revision"): "1",
    ("fragment", "prefer"): "50",
}
# A first key for what is listed by names of one's own; else the circuit's.
NAMES = {
    ("equipment", "joints"): "compressor.suction",
    ("equipment", "torque"): "mounting",
    ("equipment", "part_volumes"): "drier",
}
HEAD = (
    "Fill in what belongs behind each colon. A line that begins with # may be left out; take the",
    "# away to use it. `{command}` says what is missing or wrong.",
)

Node = dict[str, Any]
Known = Mapping[tuple[str, str], Sequence[str]]


def text(kind: str, command: str, known: Known, filled: Mapping[str, str] | None = None) -> str:
    """The starting file of a kind.

    `known` are the ids that a key may name, by kind and key; `filled` are values to put in.
    """
    schema = validation.schema(kind)
    preset = {key: value for (of, key), value in PRESET.items() if of == kind}
    writer = _Writer(kind, known, {**preset, **(filled or {})})
    about = f"# {schema['title']}: {schema['description'][0].lower()}{schema['description'][1:]}"
    head = [about, *(f"# {line.format(command=command)}" for line in HEAD), ""]
    return "\n".join([*head, *writer.keys(schema, "", "")]) + "\n"


@dataclass(frozen=True)
class _Writer:
    kind: str
    known: Known
    filled: Mapping[str, str]

    def keys(self, node: Node, indent: str, mark: str, item: bool = False) -> Iterator[str]:
        """The lines of an object: required keys first in a list's item, else in their order.

        `mark` is "#" inside what may be left out; `item` puts a dash before the first key.
        """
        required = node.get("required", [])
        properties = list(node["properties"].items())
        if item:
            properties.sort(key=lambda pair: pair[0] not in required)
        for at, (name, inner) in enumerate(properties):
            usual = name in required or inner.get("x-usual") or (item and at == 0)
            own = mark if usual else "#"
            dash = "  - " if item and at == 0 else "    " if item else ""
            yield from self.key(name, inner, indent + dash, own, item and at == 0)

    def key(self, name: str, node: Node, indent: str, mark: str, dashed: bool) -> Iterator[str]:
        node = self.resolve(node)
        about = self.about(name, node)
        line = f"{mark}{indent}{name}:"
        inner = indent.replace("-", " ") + "  "
        if "properties" in node:
            yield from _commented(line, "", about, mark, indent)
            yield from self.keys(node, inner, mark)
        elif isinstance(node.get("additionalProperties"), dict):
            entry = self.resolve(node["additionalProperties"])
            if entry.get("type") == "array":  # the ids to choose from stand in it, not its keys
                about = self.about("", node)
            yield from _commented(line, "", about, mark, indent)
            yield from self.named(name, entry, inner, mark)
        elif node.get("type") == "array" and self.is_object(node["items"]):
            yield from _commented(line, "", f"{about} One block with - for each.", mark, indent)
            item = self.resolve(node["items"])
            yield from self.keys(item, indent.replace("-", " "), mark, item=True)
        else:
            yield from _commented(line, self.value(name, node, dashed), about, mark, indent)

    def named(self, name: str, node: Node, indent: str, mark: str) -> Iterator[str]:
        """One entry of what is listed by names of one's own."""
        first, about = NAMES.get((self.kind, name), "a"), self.about(name, node)
        if node.get("type") != "array":
            known = self.known.get((self.kind, name), (first,))
            first, about = first if first in known else known[0], self.about("", node)
        line = f"{mark}{indent}{first}:"
        if "properties" in node:
            yield from _commented(line, "", about, mark, indent)
            yield from self.keys(node, indent + "  ", mark)
        else:
            yield from _commented(line, self.value(name, node, False), about, mark, indent)

    def value(self, name: str, node: Node, dashed: bool) -> str:
        """What stands behind the colon already."""
        if "const" in node:
            return str(node["const"])
        if name in self.filled and not dashed:
            return self.filled[name]
        return "[]" if node.get("type") == "array" else ""

    def is_object(self, node: Node) -> bool:
        return "properties" in self.resolve(node)

    def resolve(self, node: Node) -> Node:
        """The node itself, references followed; of two forms the plain one."""
        while "$ref" in node or "else" in node:
            if "else" in node:
                node = {**node["else"], **{k: v for k, v in node.items() if k not in _FORMS}}
                continue
            home, _, pointer = node["$ref"].partition("#")
            target: Any = validation.schema(home.removesuffix(".json") or self.kind)
            for part in pointer.strip("/").split("/"):
                target = target[part]
            node = {**target, **{key: value for key, value in node.items() if key != "$ref"}}
        return node

    def about(self, name: str, node: Node) -> str:
        """Description, what it may be, how it is written."""
        said = [node.get("description", "")]
        inner = self.resolve(node["items"]) if node.get("type") == "array" else node
        names = self.known.get((self.kind, name), ())
        choices = inner.get("enum") or names
        if "const" in node:
            return ""
        if choices:
            some = "Any of" if inner is not node else "One of"
            said.append(f"{some}: {', '.join(map(str, choices))}.")
        elif node.get("type") == "boolean":
            said.append("true or false.")
        examples = node.get("examples", ())
        if examples and not (names and inner is node):
            said.append(f"E.g. {', '.join(ways_out.shown(one) for one in examples)}")
        elif "x-quantity" in node:
            said.append(f"E.g. {quantities.example(node['x-quantity'])}")
        elif choices and inner is not node and "properties" not in inner:
            said.append(f"E.g. [{', '.join(map(str, choices[:2]))}]")
        return " ".join(part for part in said if part)


_FORMS = ("if", "then", "else")


def _commented(line: str, value: str, about: str, mark: str, indent: str) -> Iterator[str]:
    """A key with its comment behind it, or above it when it is long."""
    line = f"{line} {value}".rstrip()
    if not about:
        yield line
    elif max(len(line) + 2, COMMENT_AT) + 2 + len(about) <= WIDTH:
        yield f"{line:{COMMENT_AT}}# {about}"
    else:
        lead = f"{'#' if mark else ''}{indent.replace('-', ' ')}# "
        yield from textwrap.wrap(
            about,
            WIDTH,
            initial_indent=lead,
            subsequent_indent=lead,
            break_on_hyphens=False,
        )
        yield line
