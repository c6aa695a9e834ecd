"""Rules for names of numbers: they exist, and are of the kind that the place asks for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from packets.findings import suggest
from packets.model.procedures import Fragment, Library
from packets.numbers.ids import CARD_LISTS, GRID, NUMBERS, TABLE, known
from packets.wording.pieces import NAME, Path_, Problem, pieces, steps

# Name, where it stands, what it is repeated for, the kind asked for ("" for a text, PRINTED for a
# table of either kind).
Use = tuple[str, Path_, tuple[str, ...], str]
PRINTED = "table to print"
_TABLES = (TABLE, GRID)


def uses(fragment: Fragment) -> Iterator[Use]:
    """Every place of a fragment that names a number."""
    for piece in pieces(fragment):
        # Titles take no names; the check of the library says so.
        if piece.role != "title":
            for name in NAME.findall(piece.text):
                yield name, piece.path, piece.each, ""
    for part in ("tools", "materials"):
        for at, load in enumerate(getattr(fragment, part)):
            if load.amount:
                yield load.amount, (part, at, "amount"), (), ""
    for step, path, each in steps(fragment):
        if step.table:
            yield step.table, (*path, "table"), (), PRINTED
        for part in ("hands_on", "waiting"):
            if isinstance(name := getattr(step.minutes, part), str):
                yield name, (*path, "minutes", part), each, "time"
        for at, reading in enumerate(step.readings):
            limit, where = reading.limit, (*path, "readings", at, "limit")
            if limit is None:
                continue
            if limit.rows:
                yield limit.rows, (*where, "rows"), (), TABLE
            for part in ("at_most", "at_least"):
                if name := getattr(limit, part):
                    yield name, (*where, part), each, reading.quantity


def unknown(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A name that no formula, table or file of a job fills in."""
    for name, path, each, _ in uses(fragment):
        names = known(each)
        if name not in names:
            yield Problem(path, f"no number is called {name!r}", _fix(name, names))


def wrong_kind(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A table in a text, a temperature as limit of a pressure, words where a time is asked."""
    for name, path, each, asked in uses(fragment):
        kind = known(each).get(name)
        if kind is None or _fits(kind, asked):
            continue
        if not asked:
            yield Problem(path, f"{name} is a table", "print it with the step's `table`")
        else:
            fitting = [other for other, its in known(each).items() if _fits(its, asked)]
            yield Problem(path, f"{name} is {kind}, not {asked}", _fix(name, fitting))


def _fits(kind: str, asked: str) -> bool:
    if asked == PRINTED:
        return kind in _TABLES
    return kind == asked if asked else kind not in _TABLES


def _fix(name: str, known_names: Iterable[str]) -> str:
    """The nearest name, else those of its subject, else where all of them are listed."""
    names = list(known_names)
    fix, subject = suggest(name, names), name.partition(".")[0]
    if fix.startswith("did you mean"):
        return fix
    same = [other for other in names if other.partition(".")[0] == subject]
    return f"known: {', '.join(same)}" if same else "`packets numbers JOB` lists the names"


def in_cautions(library: Library) -> Iterator[Problem]:
    """A caution names only what every packet knows: it stands in no repetition, prints no table."""
    for id, caution in library.cautions.cautions.items():
        for part in ("hazard", "consequence", "avoidance"):
            for name in NAME.findall(getattr(caution, part)):
                if not _fits(NUMBERS.get(name, TABLE), ""):
                    message = f"no number for a text is called {name!r}"
                    fitting = [other for other, kind in NUMBERS.items() if _fits(kind, "")]
                    yield Problem(("cautions", id, part), message, _fix(name, fitting))


def unknown_elsewhere(library: Library) -> Iterator[tuple[str, str, Problem]]:
    """The same outside fragments, on the card, in the refrigerant record and in cautions: kind and
    id of the file, problem."""
    for found in in_cautions(library):
        yield "cautions", "cautions", found
    for at, group in enumerate(library.card.groups):
        for line, entry in enumerate(group.lines):
            for part in ("number", "along_with"):
                name = getattr(entry, part)
                if name and name not in NUMBERS and name not in CARD_LISTS:
                    path = ("groups", at, "lines", line, part)
                    message = f"no number is called {name!r}"
                    yield "card", "card", Problem(path, message, _fix(name, NUMBERS))
    for id, rules in library.rules.items():
        for at, field in enumerate(rules.refrigerant_record):
            if field.from_ and field.from_ not in NUMBERS:
                problem = Problem(
                    ("refrigerant_record", at, "from"),
                    f"no number is called {field.from_!r}",
                    _fix(field.from_, NUMBERS),
                )
                yield "rules", id, problem
