"""The crew's time: worked by hand beside each check."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from packets.schedule import Block, Watch, schedule
from tests import jobs

facts = frozenset


def block(
    name: str, hands_on: float, waiting: float = 0, fills: bool = False, **words: str
) -> Block:
    """A section with facts and acts given as words."""
    named = {key: facts(text.split()) for key, text in words.items()}
    return Block(name, hands_on, waiting, fills=fills, **named)


CLEAN = block(
    "clean", 32, needs="dead closed", makes="coil-clean", fills=True,
    not_beside="opens heats pressurizes",
)  # fmt: skip
JOB = (
    block("lock-out", 35, makes="dead"),
    CLEAN,
    block("recover", 60, 26, acts="removes-refrigerant"),
    block("braze", 115, ends="closed", makes="closed", acts="opens heats"),
    block("hold", 55, 735, acts="pressurizes"),
    block("evacuate", 57, 215, acts="evacuates"),
    block("verify", 45, 15, needs="coil-clean"),
)
START = facts({"closed"})


def test_a_job_worked_by_hand() -> None:
    # Hands on 35 + 32 + 60 + 115 + 55 + 57 + 45 = 399, waiting 26 + 735 + 215 + 15 = 991 min. The
    # coil takes 32 min: not beside the hold, 26 of it beside recovery, all of it beside the vacuum.
    # 399 + 991 - 32 = 1358 min.
    done = schedule(JOB, START)
    assert (done.hands_on, done.waiting, done.elapsed) == (399, 991, 1358)
    ((fill,)) = done.fills
    assert (fill.work, fill.during, fill.minutes) == ("clean", "evacuate", 32)


def test_a_short_wait_saves_what_it_lasts() -> None:
    # Without the vacuum only recovery's 26 min are left.
    short = [one for one in JOB if one.id != "evacuate"]
    done = schedule(short, START)
    assert [(f.during, f.minutes) for f in done.fills] == [("recover", 26)]


def test_water_is_not_brought_near_open_pipe_or_a_hold() -> None:
    only_hold = [one for one in JOB if one.id not in ("evacuate", "recover")]
    assert schedule(only_hold, START).fills == ()


def test_work_is_not_put_off_past_who_needs_it_nor_before_it_may_start() -> None:
    # Verify needs the clean coil, so its own wait cannot hold the cleaning; and nothing is cleaned
    # on a live machine.
    late = [*[o for o in JOB if o.id not in ("evacuate", "recover", "hold")], block("run", 5, 90)]
    assert schedule(late, START).fills == ()
    early = [block("drive", 5, 120), *JOB[:2]]
    assert schedule(early, START).fills == ()


def test_an_open_machine_is_not_washed() -> None:
    parts = block("wait-for-part", 5, 300, needs="dead", ends="closed", makes="closed")
    done = schedule([JOB[0], CLEAN, parts], START)
    assert done.fills == ()


def test_two_works_share_a_wait_no_further_than_it_lasts() -> None:
    # 40 min of wait, 32 + 25 min of work: 32, then the 8 that are left.
    cause = block("cause", 25, needs="dead", makes="cause-known", fills=True)
    done = schedule([JOB[0], CLEAN, cause, block("evacuate", 10, 40)], START)
    assert [fill.minutes for fill in done.fills] == [32, 8]
    assert done.elapsed == 35 + 32 + 25 + 10 + 40 - 40


def test_a_work_moved_later_takes_what_it_makes_with_it() -> None:
    # Cleaning moves to the long wait at the end; naming the cause needs the clean coil, so it may
    # not go into the earlier wait that now comes before the cleaning.
    cause = block("cause", 25, needs="coil-clean", makes="cause-known", fills=True)
    early, late = block("evacuate", 10, 30), block("settle", 10, 200)
    done = schedule([JOB[0], CLEAN, early, late, cause], START)
    assert [(f.work, f.during) for f in done.fills] == [("clean", "settle")]


def test_the_watch_costs_only_what_the_work_does_not_cover() -> None:
    # 60 min of watch: hold 10 + 15 and the watch's own 10 leave 25 min of standing by.
    blocks = [
        block("braze", 40, acts="heats"),
        block("hold", 10, 15, acts="pressurizes"),
        block("end-watch", 10, makes="fire-safe"),
    ]
    done = schedule(blocks, facts(), [Watch("braze", "end-watch", 60)])
    assert (done.watching, done.elapsed) == (25, 40 + 25 + 10 + 25)
    long = schedule(blocks, facts(), [Watch("braze", "end-watch", 30)])
    assert long.watching == 0


minutes = st.integers(0, 300)
blocks = st.lists(
    st.builds(
        block,
        st.uuids().map(str),
        minutes,
        minutes,
        makes=st.sampled_from(["", "a", "b"]),
        needs=st.sampled_from(["", "a", "b"]),
        acts=st.sampled_from(["", "heats", "opens"]),
        fills=st.booleans(),
        not_beside=st.sampled_from(["", "heats", "heats opens"]),
    ),
    max_size=8,
)


@given(blocks)
def test_no_wait_holds_more_than_it_lasts_and_hands_are_never_idle_money(held: list[Block]) -> None:
    done = schedule(held, facts({"a", "b"}))
    by_id = {one.id: one for one in held}
    for host in {fill.during for fill in done.fills}:
        used = sum(fill.minutes for fill in done.fills if fill.during == host)
        assert used <= by_id[host].waiting
    for fill in done.fills:
        work, host = by_id[fill.work], by_id[fill.during]
        assert work.fills
        assert not work.not_beside & host.acts
        assert 0 < fill.minutes <= work.hands_on
    assert max(done.hands_on, done.waiting) <= done.elapsed <= done.hands_on + done.waiting


def test_the_dispatch_sheet_prints_it(tmp_path: Path) -> None:
    done = jobs.prepared(tmp_path)
    assert done.packet is not None
    sheet = done.packet.dispatch
    # Naming the cause, 25 min, in the vacuum's wait; the coil is washed in its own place, for
    # every wait of this job has open pipe, test pressure, a pump or something live beside it.
    assert sheet.elapsed_minutes == sheet.hands_on_minutes + sheet.waiting_minutes - 25
    numbers = {section.fragment: section.number for section in done.packet.sections}
    assert sheet.in_waits == (f"{numbers['find-cause']} in the wait of {numbers['evacuate']}",)
