"""Where words go: near, lower than the drawing if they can, in brief where there is little room."""

from __future__ import annotations

from packets.drawings import labelling, labels
from packets.drawings.geometry import Box
from packets.drawings.labels import Label
from packets.drawings.masks import Mask

WORDS = (("sight glass", False),)
STATE = (("OPEN", True),)
PLACE = Box(28.0, 18.0, 32.0, 22.0)
REACH = (18.0, 40.0)


def placed(label: Label, *taken: Box) -> list[labels.Placement]:
    """Where a label goes on a sheet of 60 mm by 60 mm with something in the way."""
    masks = [Mask(60.0, 60.0) for _ in range(3)]
    for box in (PLACE, *taken):
        masks[0].take(box)
    found, missed, _ = labelling.place([label], 8.0, masks[0], masks[1], masks[2], REACH)
    assert len(found) + len(missed) <= 1
    return found


def test_words_stand_where_they_make_the_drawing_no_higher() -> None:
    # Free are above and below; liked better is above.
    sides = (Box(0.0, 18.0, 28.0, 22.0), Box(32.0, 18.0, 60.0, 22.0))
    (one,) = placed(Label(WORDS, PLACE, sides="nsew"), *sides)
    assert one.box.top > PLACE.bottom


def test_a_name_that_may_fall_away_makes_no_drawing_higher() -> None:
    below = Box(0.0, 18.0, 60.0, 60.0)
    assert placed(Label(WORDS, PLACE, needed=False), below) == []
    (one,) = placed(Label(WORDS, PLACE), below)
    assert one.box.bottom < PLACE.top


def test_brief_words_stand_near_before_whole_ones_far_off() -> None:
    # Between the place and what is in the way there is room for one short line.
    walls = (Box(0.0, 0.0, 60.0, 17.5), Box(0.0, 26.5, 60.0, 60.0), Box(0.0, 18.0, 20.0, 26.5))
    label = Label((*WORDS, *STATE), PLACE, brief=STATE)
    (one,) = placed(label, *walls, Box(44.0, 18.0, 60.0, 26.5))
    assert one.setting.lines == STATE and one.leader is None
    (whole,) = placed(label)
    assert whole.setting.lines == (*WORDS, *STATE)
