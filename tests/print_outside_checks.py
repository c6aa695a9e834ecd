"""Prints every number with its outside check. Usage: python tests/print_outside_checks.py

Columns: id, what the packet prints, what the outside source gives, the source and how it was
worked; then those without a check, and why.
"""

from __future__ import annotations

import sys
from pathlib import Path

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent.parent))

from tests.outside import CREAMERY, REASONS, entries, lines


def main() -> None:
    """Print the table."""
    found = list(lines())
    checked = [line for line in found if "none" not in line.check]
    print(f"{'number':34}{'printed':40}{'expected':40}source; how worked")
    for line in checked:
        job = "" if line.job == CREAMERY else f" ({line.job})"
        agrees = "" if line.printed == line.check["expected"] else "  DIFFERS"
        print(
            f"{line.id + job:33} {line.printed:40}{line.check['expected']:40}"
            f"{line.check['source']}; {line.check['worked']}{agrees}"
        )
    print("\nwithout an outside check:")
    for line in found:
        if "none" in line.check:
            reason = REASONS[line.check["none"]]
            print(f"{line.id:33} {line.printed[:38]:40}{reason}: {line.check['why']}")
    missing = sorted(set(entries()) - {line.id for line in found})
    print(f"\n{len(checked)} checked, {len(found) - len(checked)} not, {len(missing)} missing")
    for name in missing:
        print(f"missing: {name}")


if __name__ == "__main__":
    main()
