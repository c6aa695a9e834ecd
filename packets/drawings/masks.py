"""Which parts of the sheet are taken: half a millimetre a bit, a whole number a row."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from packets.drawings.geometry import Box, Point

_FINE = 2  # bits a millimetre


class Mask:
    """A sheet of some size [mm] on which boxes are taken."""

    def __init__(self, width: float, height: float) -> None:
        """An empty sheet."""
        self.width, self.height = width, height
        self.rows = [0] * (ceil(height * _FINE) + 1)

    def copy(self, height: float | None = None) -> Mask:
        """The same sheet to go on with, perhaps a longer one."""
        new = Mask(self.width, self.height if height is None else height)
        new.rows[: len(self.rows)] = self.rows
        return new

    def take(self, box: Box) -> None:
        """Take every bit that the box touches."""
        bits, first, last = self._bits(box)
        rows = self.rows
        for row in range(max(0, first), min(len(rows), last)):
            rows[row] |= bits

    def free(self, box: Box) -> bool:
        """Whether the box lies on the sheet and touches nothing taken."""
        if box.left < 0 or box.top < 0 or box.right > self.width or box.bottom > self.height:
            return False
        bits, first, last = self._bits(box)
        for row in self.rows[first:last]:  # noqa: SIM110 - a generator takes twice the time here
            if row & bits:
                return False
        return True

    def lefts(self, top: float, size: Point, apart: float) -> Iterator[float]:
        """Where boxes of a size that begin at a height touch nothing taken, so far apart."""
        first, last = floor(top * _FINE), ceil((top + size[1]) * _FINE)
        if first < 0 or top + size[1] > self.height:
            return
        blocked = 0
        for row in self.rows[first:last]:
            blocked |= row
        # Taken too is what lies less than the width left of something taken.
        wide, done = ceil(size[0] * _FINE), 1
        while done < wide:
            step = min(done, wide - done)
            blocked |= blocked >> step
            done += step
        for left in range(0, int((self.width - size[0]) * _FINE) + 1, int(apart * _FINE)):
            if not blocked >> left & 1:
                yield left / _FINE

    def crossed(self, line: tuple[Point, Point], own: Box | None = None) -> bool:
        """Whether a line leaves the sheet or runs over something taken, a box of its own apart."""
        (x, y), (to_x, to_y) = line
        count = max(1, int(max(abs(to_x - x), abs(to_y - y)) * _FINE))
        across, down = (to_x - x) / count * _FINE, (to_y - y) / count * _FINE
        if min(x, to_x, y, to_y) < 0 or max(x, to_x) > self.width or max(y, to_y) > self.height:
            return True
        rows = self.rows
        left, top, right, bottom = (own or Box(0.0, 0.0, 0.0, 0.0)).times(_FINE)
        a, b = x * _FINE, y * _FINE
        for _ in range(count):
            if rows[int(b)] >> int(a) & 1 and not (left < a < right and top < b < bottom):
                return True
            a, b = a + across, b + down
        return False

    def _bits(self, box: Box) -> tuple[int, int, int]:
        left, top, right, bottom = box
        first, last = max(0, floor(left * _FINE)), ceil(right * _FINE)
        bits = ((1 << max(0, last - first)) - 1) << first
        return bits, floor(top * _FINE), ceil(bottom * _FINE)
