"""Rules for "if out": it is there when a reading can be out, it leads on, no loop is endless."""

from __future__ import annotations

import re
from collections.abc import Iterator

from packets.model.procedures import Fragment, Library, LimitSpec, Step
from packets.wording.actions import acts
from packets.wording.pieces import Path_, Problem, steps

_PERSON = re.compile(r"\b(phone|call|tell|manager|stop|stops|nobody|never|do not)\b", re.I)
_NO = re.compile(r"\bno (?!more\b)\w+", re.I)
_STEP = re.compile(r"\{step:([a-z0-9-]+)\}")
_AGAIN = re.compile(r"\b(again|once more|repeat|go back to)\b", re.I)
_COUNT = re.compile(r"\b(once|twice|thrice|second time|third time|two|three|still|again)\b", re.I)
_ANOTHER = re.compile(r"\b(other|another|renew|renewed)\b", re.I)


def can_be_out(limit: LimitSpec | None) -> bool:
    """Whether a reading under this limit can fail."""
    if limit is None:
        return False
    if limit.choice:
        return bool(limit.good) and set(limit.good) != set(limit.choice)
    return bool(limit.at_most or limit.at_least or limit.rows)


def _out(fragment: Fragment) -> Iterator[tuple[Step, Path_, str]]:
    for step, path, _ in steps(fragment):
        if step.if_out:
            yield step, (*path, "if_out"), step.if_out


def missing(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """A reading that can be out, and no word of what to do then."""
    for step, path, _ in steps(fragment):
        failing = [reading.id for reading in step.readings if can_be_out(reading.limit)]
        if failing and not step.if_out:
            yield Problem(
                path, f"{failing[0]} can be out and nothing says what then", "write if_out"
            )


def dead_end(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """It says what is wrong, but not what to do, where to go or whom to phone."""
    for _, path, text in _out(fragment):
        leads = "{step:" in text or _PERSON.search(text) or _NO.search(text)
        if not leads and not acts(text):
            yield Problem(path, "it leads nowhere", "say the act, the step as {step:id}, or: phone")


def endless(fragment: Fragment, library: Library) -> Iterator[Problem]:
    """It sends back to do a thing again, and does not say how often and what comes after."""
    done: set[str] = set()
    for step, path, _ in steps(fragment):
        done.add(step.id)
        if _AGAIN.search(step.if_out) or done & set(_STEP.findall(step.if_out)):
            counted = _COUNT.search(step.if_out) is not None or step.tries > 1
            if not counted or not _ends(step.if_out):
                yield Problem(
                    (*path, "if_out"),
                    "a loop without a count or without an end",
                    "e.g. once more; out again, phone",
                )


def _ends(text: str) -> bool:
    """Whether something comes after the last try: a person, a stop, another part or step."""
    if any(pattern.search(text) for pattern in (_PERSON, _NO, _ANOTHER)):
        return True
    _, _, later = text.partition(". ")
    return "{step:" in later
