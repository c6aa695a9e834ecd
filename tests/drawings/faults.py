"""Everything that can be wrong with a drawing on paper, read from its SVG alone."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations, pairwise, product

from packets.drawings.drawing import Drawing
from tests.drawings.reading import Box, Read, gap, overlap

HAIR = 0.02
LEAST_POINTS = 8.0
# mm between the words of two labels: less, and they read as one phrase, or as lines of one.
BESIDE, UNDER = 1.5, 1.1
# mm by which the word of an arrow is nearer to it than to the other arrow, or that it is away
# from the other where a dotted line leads to its own.
NEARER, LED_CLEAR = 0.5, 3.0


def faults(drawing: Drawing) -> list[str]:
    """What is wrong, in words; nothing for a good drawing."""
    read = Read(drawing.svg)
    return [
        *_words(read),
        *_leaders(read),
        *_apart(read),
        *_flow(read),
        *_frame(read, drawing),
        *_lines(read),
        *_crossings(read),
    ]


def _words(read: Read) -> Iterator[str]:
    """Words are legible and lie on nothing: no other words, symbol, line, mark."""
    discs = read.circles("badge")
    for one, other in combinations(read.words, 2):
        if overlap(one.box, other.box, HAIR):
            yield f"{one.words!r} on {other.words!r}"
    for one, other in combinations(discs, 2):
        if overlap(one, other, HAIR):
            yield f"disc on disc at {one}"
    things: dict[str, list[Box]] = {kind: read.groups(kind) for kind in ("symbol", "gear", "tap")}
    things |= {kind: read.shapes(kind) for kind in ("arrow", "cap")}
    things["ring"] = read.circles("ring")
    things["line"] = [
        bar
        for line in read.lines("line", "route", "hose", "vent", "inlet", "stub", "stem")
        for bar in line.bars()
    ]
    texts = [(one.words, one.box) for one in read.words if not one.badge]
    texts += [("disc", disc) for disc in discs]
    for words, box in texts:
        for kind, some in things.items():
            for thing in some:
                if overlap(box, thing, HAIR):
                    yield f"{words!r} on a {kind} at {thing}"
    for one in read.words:
        if one.points < LEAST_POINTS - 0.01:
            yield f"{one.words!r} in {one.points:.1f} pt"
        if one.badge and not any(_inside(one.box, disc) for disc in discs):
            yield f"number {one.words!r} outside of its disc"


def _leaders(read: Read) -> Iterator[str]:
    """The dotted line from words to what they name runs over no words and no number."""
    boxes = [(one.words, _shrunk(one.box, 0.15)) for one in read.words]
    boxes += [("disc", _shrunk(disc, 0.15)) for disc in read.circles("badge")]
    for line in read.lines("leader"):
        for (a, b), (c, d) in pairwise(line.points):
            count = max(1, int(max(abs(c - a), abs(d - b)) / 0.1))
            spots = [(a + (c - a) * n / count, b + (d - b) * n / count) for n in range(count + 1)]
            for words, box in boxes:
                if any(_holds(box, spot) for spot in spots):
                    yield f"a dotted line through {words!r} from {line.points[0]}"


def _apart(read: Read) -> Iterator[str]:
    """Words of two labels stand so far apart that they are not read in one."""
    for some, others in combinations(read.labels, 2):
        for one, other in product(some, others):
            a, b = one.box, other.box
            level = min(a[3], b[3]) > max(a[1], b[1])
            over = min(a[2], b[2]) > max(a[0], b[0])
            if (level and gap(a, b) < BESIDE) or (over and gap(a, b) < UNDER):
                yield f"{one.words!r} and {other.words!r} read as one, {gap(a, b):.2f} mm apart"


def _flow(read: Read) -> Iterator[str]:
    """The word of an arrow in or out stands nearer to its own arrow than to the other; one that a
    dotted line leads to its arrow stands clear of the other."""
    arrows = {"In": _arrow(read, "inlet"), "Out": _arrow(read, "vent")}
    if not all(arrows.values()):
        return
    for lines, led in read.led_labels:
        for word, other in (("In", "Out"), ("Out", "In")):
            if lines[0].words != word:
                continue
            own, far = (min(gap(lines[0].box, bar) for bar in arrows[at]) for at in (word, other))
            if far < own + NEARER and not (led and far > LED_CLEAR):
                yield f"{word!r} {own:.1f} mm from its arrow and {far:.1f} mm from the other"


def _arrow(read: Read, kind: str) -> list[Box]:
    """What an arrow in or out covers: its shaft, and the head that is on it."""
    shafts = [bar for line in read.lines(kind) for bar in line.bars()]
    heads = [head for head in read.shapes("arrow") for bar in shafts if overlap(head, bar)]
    return [*shafts, *heads]


def _frame(read: Read, drawing: Drawing) -> Iterator[str]:
    """Nothing leaves the paper, the paper is as big as said, and there is no colour."""
    left, top, wide, high = read.frame
    frame = (left, top, left + wide, top + high)
    if (wide, high) != read.size or read.size != (drawing.width_mm, drawing.height_mm):
        yield f"size {read.size} in a frame of {wide} x {high}"
    boxes = [one.box for one in read.words]
    for kind in ("symbol", "gear", "tap"):
        boxes += read.groups(kind)
    boxes += [*read.shapes("arrow"), *read.shapes("cap"), *read.circles("badge")]
    boxes += [
        bar for line in read.lines("line", "route", "hose", "vent", "inlet") for bar in line.bars()
    ]
    for box in boxes:
        if not _inside(box, frame):
            yield f"{box} leaves the frame {frame}"
    if strange := read.inks() - {"none", "#000", "#fff"}:
        yield f"colours {strange}"


def _lines(read: Read) -> Iterator[str]:
    """Lines and hoses run at right angles and through no symbol, and no two lie on each other."""
    there, gone = read.groups("symbol", dashed=False), read.groups("symbol", dashed=True)
    gears = read.groups("gear")
    runs = read.lines("line", "hose")
    for line in runs:
        for at, ((a, b), (c, d)) in enumerate(pairwise(line.points), 2):
            if a != c and b != d:
                yield f"a {line.kind} aslant at {(a, b)}"
            bar = _fat((min(a, c), min(b, d), max(a, c), max(b, d)))
            # A hose ends in the equipment it is joined to; other ends touch an edge at most.
            own = (c, d) if line.kind == "hose" and at == len(line.points) else None
            # One held on a cut stub begins where the part was.
            begins = line.points[0] if line.kind == "hose" else None
            through = [*there, *(part for part in gone if not (begins and _holds(part, begins)))]
            through += [gear for gear in gears if not (own and _holds(gear, own))]
            for thing in through:
                if overlap(bar, _shrunk(thing, 0.45)):
                    yield f"a {line.kind} through the symbol at {thing}"
    for one, other in combinations(runs, 2):
        for bar in one.bars():
            for across in other.bars():
                upright = (_tall(bar), _tall(across))
                if upright[0] == upright[1] and overlap(bar, across, HAIR) and _long(bar, across):
                    yield f"a {one.kind} along a {other.kind} at {bar}"


def _crossings(read: Read) -> Iterator[str]:
    """Where two runs cross, the lesser one has a gap under the other."""
    runs = [
        (line.kind, (min(a, c), min(b, d), max(a, c), max(b, d)))
        for line in read.lines("line", "route", "hose")
        for (a, b), (c, d) in pairwise(line.points)
    ]
    gaps = [bar for line in read.lines("gap") for bar in line.bars()]
    for (kind, one), (other_kind, other) in combinations(runs, 2):
        level, upright = (one, other) if _tall(other) else (other, one)
        if _tall(level) or not _tall(upright):
            continue
        x, y = upright[0], level[1]
        cross = level[0] + 0.5 < x < level[2] - 0.5 and upright[1] + 0.5 < y < upright[3] - 0.5
        spot = (x - 0.1, y - 0.1, x + 0.1, y + 0.1)
        if cross and not any(overlap(spot, gap) for gap in gaps):
            yield f"{kind} and {other_kind} cross at {(x, y)} without a gap"


def _inside(box: Box, frame: Box) -> bool:
    return (
        box[0] >= frame[0] - HAIR
        and box[1] >= frame[1] - HAIR
        and box[2] <= frame[2] + HAIR
        and box[3] <= frame[3] + HAIR
    )


def _holds(box: Box, point: tuple[float, float]) -> bool:
    return _inside((*point, *point), box)


def _tall(box: Box) -> bool:
    return box[3] - box[1] > box[2] - box[0]


def _long(one: Box, other: Box) -> bool:
    """Whether two bars share a stretch, not only a corner."""
    return (
        max(
            min(one[2], other[2]) - max(one[0], other[0]),
            min(one[3], other[3]) - max(one[1], other[1]),
        )
        > 2.0
    )


def _fat(box: Box) -> Box:
    return box[0] - 0.01, box[1] - 0.01, box[2] + 0.01, box[3] + 0.01


def _shrunk(box: Box, by: float) -> Box:
    return box[0] + by, box[1] + by, box[2] - by, box[3] - by
