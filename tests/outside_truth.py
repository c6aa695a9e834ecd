"""What the tests of outside numbers share: the reference mixture, a handbook's figure, a value."""

from __future__ import annotations

from CoolProp import AbstractState

from packets.model.numbers import Register
from tests.handbook_rows import printed, rows

# R-448A by mass: ASHRAE Fundamentals 2021 ch. 29.
R448A = {"R32": 26, "R125": 26, "R1234yf": 20, "R134a": 21, "R1234ze(E)": 7}


def mixture() -> AbstractState:
    """R-448A by CoolProp's mixture model."""
    state = AbstractState("HEOS", "&".join(R448A))
    state.set_mass_fractions([share / 100 for share in R448A.values()])
    return state


def expected(book: str, id: str) -> float:
    """The figure that a handbook row prints."""
    (row,) = [row for row in rows(book) if row["id"] == id]
    return printed(row["expected"])[0]


def value(register: Register, name: str) -> float:
    """A number of a register, in SI."""
    found = register.number(name)
    assert found is not None, name
    return found.value
