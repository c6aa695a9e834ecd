"""Which parts of the sheet are taken: half a millimetre a bit, a whole number a row."""

from __future__ import annotations

from math import ceil, floor

from packets.drawings.geometry import Box

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

    def _bits(self, box: Box) -> tuple[int, int, int]:
        left, top, right, bottom = box
        first, last = max(0, floor(left * _FINE)), ceil(right * _FINE)
        bits = ((1 << max(0, last - first)) - 1) << first
        return bits, floor(top * _FINE), ceil(bottom * _FINE)
