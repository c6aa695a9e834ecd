"""Cautions in one frame: which stand together, and what the frame defers to."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from packets import catalog, library_check
from packets.cautions import frames
from packets.findings import Findings
from packets.model.packet import Caution
from tests import filling

COMMON = "local codes and licensed practice govern."


def caution(id: str, signal: str = "warning", governs: str = "") -> Caution:
    governs = governs or f"{id} rules"
    defer = f"{governs}, {COMMON}"
    return Caution(id, signal, "It burns.", "It hurts.", "Keep off.", defer, governs)  # type: ignore[arg-type]


def test_neighbours_of_one_signal_word_share_a_frame_and_defer_once() -> None:
    held = [caution("fire", governs="Hot-work permit"), caution("fume", governs="Safety sheet")]
    (frame,) = frames(held)
    assert frame.cautions == tuple(held)
    assert frame.defer == f"Hot-work permit, safety sheet, {COMMON}"


def test_an_abbreviation_keeps_its_capitals_inside_the_sentence() -> None:
    (frame,) = frames([caution("a", governs="Permit"), caution("b", governs="NFPA rules")])
    assert frame.defer.startswith("Permit, NFPA rules, ")


def test_another_signal_word_stands_in_a_frame_of_its_own() -> None:
    held = [caution("a", "danger"), caution("b"), caution("c", "danger")]
    assert [frame.signal for frame in frames(held)] == ["danger", "warning", "danger"]


def test_a_caution_alone_defers_in_its_own_words() -> None:
    one = caution("a")
    assert [frame.defer for frame in frames([one])] == [one.defer]


def test_cautions_that_do_not_tell_what_governs_stay_apart() -> None:
    held = [replace(caution(id), governs="") for id in ("a", "b")]
    assert [frame.cautions for frame in frames(held)] == [(held[0],), (held[1],)]


def test_a_caution_prints_only_where_its_hazard_is() -> None:
    for name, burns in (("library-heat-pump", True), ("creamery-cooler", False)):
        steps = [step for one in filling.example(name).sections for step in one.steps]
        (joined,) = [step for step in steps if step.id.startswith("recover/hook-up@")]
        assert ("flammable-gas" in [one.id for one in joined.cautions]) == burns
        assert "liquid-burn" in [one.id for one in joined.cautions]


def test_a_caution_that_asks_what_nobody_knows_is_told() -> None:
    findings = Findings()
    shipped = catalog.load(findings)
    assert shipped is not None
    shared = shipped.library.cautions
    wrong = replace(shared.cautions["fall"], when="at_hight")
    cautions = replace(shared, cautions={**shared.cautions, "fall": wrong})
    library_check.check(
        replace(shipped, library=replace(shipped.library, cautions=cautions)), findings
    )
    (found,) = findings.errors()
    assert "at_hight" in found.message and "at_height" in found.fix


def test_cautions_of_live_parts_say_what_comes_off_the_wrists() -> None:
    """Bare skin is no protection from an arc: metal comes off, gloves and shield go on."""
    loaded = catalog.load(Findings())
    assert loaded is not None
    live = loaded.library.cautions.cautions["live-parts"].avoidance
    for word in ("Rated gloves", "arc face shield", "watch", "ring", "bracelet"):
        assert word.lower() in live.lower(), word
    texts = (c.hazard + c.avoidance for c in loaded.library.cautions.cautions.values())
    assert not any("bare" in text.lower() for text in texts)


@given(st.lists(st.tuples(st.sampled_from("ab"), st.sampled_from(("danger", "warning")))))
def test_no_caution_is_lost_and_their_order_stays(told: list[tuple[str, str]]) -> None:
    held = [caution(id, signal) for id, signal in told]
    assert [one for frame in frames(held) for one in frame.cautions] == held
    for frame in frames(held):
        assert all(one.governs.lower() in frame.defer.lower() for one in frame.cautions)
