"""The walls between the rooms: who may import what, and how large a room may grow."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "packets"
FILES = sorted(PACKAGE.rglob("*.py"))

# One outside library, one door.
DOORS = {
    "yaml": {"sources"},
    "jsonschema": {"validation"},
    "referencing": {"validation"},
    "jinja2": {"rendering"},
    "markupsafe": {"drawing_markup", "markup", "rendering"},
    "markdown_it": {"markup"},
    "weasyprint": {"pdf"},
    "pypdf": {"filled_pdf.child"},
    "click": {"cli", "cli.making", "cli.reviewing", "cli.shared"},
    "CoolProp": {"tables.refrigerant_model", "tables.make_saturation"},
    "fontTools": {"fonts.assemble", "fonts", "drawings.measure"},
}

# A room may import from those in its own row and in rows above it.
ROWS = [
    {"findings", "quantities", "locating", "writing", "building"},
    {"model", "formulas", "expressions", "fonts", "circuit", "charts", "plots"},
    {
        "sources",
        "validation",
        "surely_valid",
        "ways_out",
        "formatting",
        "saturation_data",
        "tables",
        "drawings",
        "filled_pdf",
    },
    {
        "catalog",
        "job_files",
        "reference",
        "circumstances",
        "cores",
        "starting",
        "history",
        "features",
        "ownership",
        "carried",
    },
    {
        "hookups",
        "agreement",
        "library_check",
        "reading_check",
        "fragment_check",
        "job_checks",
        "carried_checks",
        "plan_needs",
        "kit_ratings",
        "schedule",
        "planning",
        "plan_check",
        "numbers",
    },
    {"joints", "named_joints"},
    {"composing", "markup", "illustrating", "wording", "lettering"},
    {"packet_file"},
    {"readings", "judging", "across"},
    {"record"},
    {"fitting", "lessons", "card_room", "columning", "drawing_markup", "panelling", "cautions"},
    {"heights"},
    {"spreading"},
    {"rendering", "pdf", "conforming"},
    {"pipeline"},
    {"hookup_report"},
    {"reports", "making", "many", "handouts", "beginning", "returning"},
    {"record_files"},
    {"cli"},
    {"__main__"},
]


def room(path: Path) -> str:
    """Dotted name of a module inside the package."""
    name = ".".join(path.relative_to(PACKAGE).with_suffix("").parts)
    return name.removesuffix(".__init__") if name != "__init__" else ""


def imports(path: Path) -> set[str]:
    """Every module that a file imports, also inside functions."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found.add(node.module)
            if node.module == "packets":
                found |= {f"packets.{alias.name}" for alias in node.names}
    return found


@pytest.mark.parametrize("path", FILES, ids=room)
def test_one_outside_library_has_one_door(path: Path) -> None:
    for module in imports(path):
        top = module.split(".")[0]
        if top in DOORS:
            assert room(path) in DOORS[top], f"{room(path)} imports {top}"


@pytest.mark.parametrize("path", FILES, ids=room)
def test_imports_point_one_way(path: Path) -> None:
    mine = room(path).split(".")[0]
    if not mine:
        return
    levels = {name: at for at, row in enumerate(ROWS) for name in row}
    assert mine in levels, f"{mine} has no place among the rooms"
    for module in imports(path):
        parts = module.split(".")
        if parts[0] == "packets" and len(parts) > 1 and parts[1] != "__version__":
            assert levels[parts[1]] <= levels[mine], f"{room(path)} imports {module}"


def test_formulas_know_nothing_of_files_the_model_or_the_clock() -> None:
    forbidden = {"pathlib", "os", "io", "json", "time", "datetime", "importlib"}
    for path in (PACKAGE / "formulas").glob("*.py"):
        tops = {module.split(".")[0] for module in imports(path)}
        assert not tops & forbidden, path.name
        inner = {module for module in imports(path) if module.startswith("packets")}
        assert all(module.startswith("packets.formulas") for module in inner), path.name


def test_drawings_know_the_model_and_names_but_no_plan_maker_file_or_clock() -> None:
    known = {"packets.model", "packets.circuit.names", "packets.fonts", "packets.drawings"}
    forbidden = {"pathlib", "os", "io", "json", "time", "datetime", "importlib", "random"}
    for path in (PACKAGE / "drawings").glob("*.py"):
        if path.name == "measure.py":
            continue  # run by hand, like fonts.assemble
        found = imports(path) - {"packets.circuit"}
        assert not {module.split(".")[0] for module in found} & forbidden, path.name
        for module in found:
            if module.startswith("packets"):
                assert any(module == one or module.startswith(f"{one}.") for one in known), module


def test_the_check_of_an_order_never_imports_the_planner() -> None:
    assert "packets.planning" not in imports(PACKAGE / "plan_check.py")


@pytest.mark.parametrize("path", FILES, ids=room)
def test_heavy_libraries_load_only_for_the_verb_that_needs_them(path: Path) -> None:
    if room(path) == "fonts.assemble":
        return  # run by hand to cut the typeface, never by a verb
    heavy = {"weasyprint", "CoolProp", "fontTools", "pypdf"}
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Import):
            assert not {alias.name.split(".")[0] for alias in node.names} & heavy
        if isinstance(node, ast.ImportFrom) and node.module:
            assert node.module.split(".")[0] not in heavy


def test_the_reader_of_hostile_files_imports_nothing_of_ours() -> None:
    assert not {m for m in imports(PACKAGE / "filled_pdf" / "child.py") if m.startswith("packets")}


def test_judging_never_computes_a_packet_anew() -> None:
    for path in [*(PACKAGE / "judging").glob("*.py"), *(PACKAGE / "record").glob("*.py")]:
        rooms = {module.split(".")[1] for module in imports(path) if module.startswith("packets.")}
        assert not rooms & {"numbers", "pipeline", "planning", "catalog", "job_files"}, path.name


def test_no_import_cycle() -> None:
    graph = {f"packets.{room(path)}": imports(path) for path in FILES if room(path)}
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " > ".join((*trail, name))
        if name in done or name not in graph:
            return
        for other in graph[name]:
            if other != name and not name.startswith(f"{other}."):
                visit(other, (*trail, name))
        done.add(name)

    for name in graph:
        visit(name, ())
