"""The nitrogen of one drawing: its way past a joint, in, out, and what is plugged."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from packets.drawings import ends, trail
from packets.drawings.board import Board
from packets.drawings.ends import Arrow
from packets.drawings.gear import NITROGEN
from packets.drawings.geometry import Node
from packets.drawings.picture import Picture
from packets.drawings.shapes import BLACK, WHITE
from packets.drawings.sheet import BESIDE
from packets.model.hookups import End, Inlet, PortUse, Route, Vent


def past(
    board: Board, route: Route, gone: Collection[str], joints: Sequence[tuple[str, str]]
) -> Picture:
    """Circuit, route past joints, each with its number, caps, inlet and vent; words for all but
    the parts."""
    sides = [side.end for side in (route.inlet, route.vent) if side.end]
    picture = Picture.of(board, gone, [*route.caps, *route.keep_closed, *sides])
    picture.lines()
    ringed = [joint for joint, _ in joints]
    if route.beside:
        picture.route(route.beside, ringed, BESIDE, 0.5)
    picture.route(route.legs, ringed)
    picture.symbols()
    picture.taps()
    _plugs(picture, route)
    for joint, number in joints:
        picture.ring(joint, number)
    if board.size.spare:
        _ways(picture, route)
    else:
        _vent(picture, route.vent)
        _inlet(picture, route.inlet)
    return picture


def _plugs(picture: Picture, route: Route) -> None:
    """Black plugs for the route, white ones that just stay on."""
    spare = picture.board.size.spare
    for end in route.caps:
        box = ends.cap(picture.sheet, end, BLACK)
        picture.say((("Cap", True),), box, 20 if spare else 80, needed=not spare)
    for end in route.keep_closed:
        ends.cap(picture.sheet, end, WHITE)


# ---- with the names of ports, and the cylinder


def _vent(picture: Picture, vent: Vent) -> None:
    if vent.port:
        arrow = ends.arrow_at(picture.sheet, vent.port)
        picture.use(PortUse(vent.port, vent.core_out), "Vent", 70, arrow.box)
    elif vent.end:
        # A cap on a stub that is heated would burn; the stub is open where it was cut.
        cut = vent.end.owner == "stub"
        if not cut:
            ends.cap(picture.sheet, vent.end, WHITE)
        words = "Open end" if cut else "Vented cap"
        picture.say(((words, True),), ends.arrow_beside(picture.sheet, vent.end).box, 70)


def _inlet(picture: Picture, inlet: Inlet) -> None:
    if inlet.port:
        picture.gear(NITROGEN, [picture.board.mouth(inlet.port)], "in")
        picture.use(PortUse(inlet.port, inlet.core_out), "Nitrogen in")
    elif inlet.end:
        node = _cleared(picture, inlet.end)
        _, look = trail.end_of(picture.board, inlet.end)
        side = ends.side(picture.sheet, node, look)
        picture.gear(NITROGEN, [(node, side)], "in")
        picture.say(
            (("Nitrogen in, hose held on", True),), ends.plug_box(picture.sheet, inlet.end), 70
        )


def _cleared(picture: Picture, end: End) -> Node:
    """The lattice place of an open end, reached by a hose though its part's symbol lay there."""
    at, _ = trail.end_of(picture.board, end)
    node = (round(at[0]), round(at[1]))
    part = end.joint.partition(".")[0]
    if end.owner == "stub" and picture.covers(part, node):
        picture.clear(part)
    return node


# ---- with arrows and two words alone


def _ways(picture: Picture, route: Route) -> None:
    """The arrows in and out, each with its word, which stands never nearer to the other."""
    if route.vent.end:
        ends.cap(picture.sheet, route.vent.end, WHITE)
    # The arrow at an open end has less choice of where to lie than the one at a port.
    into = _arrow(picture, route.inlet, True, None) if route.inlet.end else None
    out = _arrow(picture, route.vent, False, into)
    into = into or _arrow(picture, route.inlet, True, out)
    for arrow, word, other in ((out, "Out", into), (into, "In", out)):
        if arrow:
            picture.say_on(arrow, ((word, True),), (other.box,) if other else ())


def _arrow(
    picture: Picture, place: Inlet | Vent, inward: bool, other: Arrow | None
) -> Arrow | None:
    if place.port:
        return ends.arrow_at(picture.sheet, place.port, inward, other)
    return ends.arrow_beside(picture.sheet, place.end, inward) if place.end else None
