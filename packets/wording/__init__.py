"""Whether procedures are written so that a technician in gloves reads them one way.

`packets lint` runs this after `library_check`, which asks whether the library hangs together. A
job's own check asks it of the shop's fragments that the job uses, and only warns: how a text is
written stops nobody's packet, and ours were asked before they were shipped.

Errors are what a program can be sure of. Warnings are what a person looks at again. Each rule has
an example that it passes and one that it finds, by name, in `tests/lint/`.
"""

from __future__ import annotations

from collections.abc import Iterable

from packets.catalog import OURS, Catalog
from packets.findings import Finding, Findings
from packets.wording import actions, cautions, gear, holds, leads, names, readings, texts
from packets.wording.pieces import CautionRule, Rule

RULES: tuple[Rule, ...] = (
    Rule("number-typed", "error", "numbers with a unit are named, never typed", texts.typed_number),
    Rule("unknown-number", "error", "a name is that of a number", names.unknown),
    Rule("number-kind", "error", "a number is of the kind its place asks for", names.wrong_kind),
    Rule("vague-word", "error", "no word that two people read as two things", texts.vague_word),
    Rule("check-bare", "error", "a check names what it is against", texts.bare_check),
    Rule("abbreviation", "error", "no abbreviation unexplained", texts.abbreviation),
    Rule("and-then", "error", "one action a step", actions.and_then),
    Rule("acts-many", "warning", "few acts a sentence, few sentences a step", actions.many_acts),
    Rule("verb-first", "warning", "an action begins with its verb", actions.verb_first),
    Rule("condition-last", "warning", "a condition stands before the act", actions.condition_last),
    Rule("action-long", "warning", "a sentence has about twenty words", actions.long_action),
    Rule("action-too-long", "error", "a sentence has 30 words at most", actions.too_long_action),
    Rule("reason-long", "warning", "a reason has three sentences at most", texts.long_reason),
    Rule("if-out-missing", "error", "a reading that can be out has its if_out", leads.missing),
    Rule("if-out-dead-end", "error", "an if_out leads on", leads.dead_end),
    Rule("if-out-loop", "error", "no loop without a count and an end", leads.endless),
    Rule("reading-unjudged", "warning", "a reading stands with its limit", readings.no_limit),
    Rule("reading-instrument", "warning", "a reading names its instrument", readings.no_instrument),
    Rule("tool-unlisted", "warning", "a step's instrument is loaded", readings.unlisted_tool),
    Rule("gear-unlisted", "warning", "what a step tells to use is loaded", gear.unlisted),
    Rule("label-long", "warning", "a label is a short noun phrase", readings.long_label),
    Rule("holds-many", "warning", "hold points are few", holds.many_holds),
    Rule("sign-who", "error", "a signature says who signs for what", holds.no_signer),
    Rule("cautions-many", "warning", "a caution is the step's own", cautions.many_at_a_step),
)  # fmt: skip

CAUTION_RULES: tuple[CautionRule, ...] = (
    CautionRule("caution-step", "error", "a caution holds no step", cautions.holds_a_step),
    CautionRule("caution-long", "error", "a caution has forty words at most", cautions.too_long),
    CautionRule("caution-words", "error", "a caution has no vague word", cautions.loose_words),
    CautionRule("caution-idle", "warning", "a caution stands at a step", cautions.at_no_step),
)


def warn(catalog: Catalog, fragments: Iterable[str], findings: Findings) -> None:
    """Say of a shop's own fragments among these what a program is sure of, as warnings: how a text
    is written stops no packet, but who prints one has to know."""
    for name in fragments:
        fragment = catalog.library.fragments[name]
        if fragment.origin == OURS:
            continue
        for rule in (rule for rule in RULES if rule.severity == "error"):
            for found in rule.check(fragment, catalog.library):
                place = catalog.place("fragment", name, *found.path)
                fix = "; ".join(part for part in (found.fix, "`packets lint` shows all") if part)
                findings.warn(f"lint-{rule.code}", place, found.message, fix)


def check(catalog: Catalog, findings: Findings) -> None:
    """Add a finding for every rule that a text of the library breaks."""
    library = catalog.library
    for name, fragment in library.fragments.items():
        for rule in RULES:
            for found in rule.check(fragment, library):
                place = catalog.place("fragment", name, *found.path)
                findings.add(Finding(rule.code, place, found.message, found.fix, rule.severity))
    for ours in CAUTION_RULES:
        for found in ours.check(library):
            place = catalog.place("cautions", "cautions", *found.path)
            findings.add(Finding(ours.code, place, found.message, found.fix, ours.severity))
    for kind, name, found in names.unknown_elsewhere(library):
        place = catalog.place(kind, name, *found.path)
        findings.error("unknown-number", place, found.message, found.fix)
