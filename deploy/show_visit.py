"""Hand in a visit and print what its teacher reads:  WADEBOOK_KEY=... python show_visit.py URL FILE."""

# ruff: noqa: T201  printing is what this script is for

import os
import sys
from pathlib import Path
from typing import Any

import httpx

FLAG_WORDS = {1: "pass", 2: "not evaluated", 3: "suspect", 4: "fail", 9: "missing"}
PASS = 1
SMALLEST = 0.005  # a smaller chance would be printed as 0 %


def main(url: str, file: str) -> None:
    """Send the visit in ``file`` and print the answer."""
    body = Path(file).read_bytes()
    headers = {"Authorization": f"Bearer {os.environ['WADEBOOK_KEY']}", "Content-Type": "application/json"}
    answer = httpx.post(f"{url}/v1/visits", content=body, headers=headers, timeout=60)
    if not answer.is_success:
        sys.exit(f"{file} was refused: {answer.status_code} {answer.text}")
    visit = answer.json()
    heading = f"{file}: {visit['site']} on {visit['observed_on']} is {visit['state']}"
    print(f"\n{heading}\n{'=' * len(heading)}")
    show_readings(visit)
    show_derived(visit)
    show_scores(visit)
    for alert in visit["alerts"]:
        print(f"  ALERT {alert['alert']}: {alert['message']}")
        for caution in alert["cautions"]:
            print(f"      {caution}")


def show_readings(visit: dict[str, Any]) -> None:
    """Print each reading with its flag, and below it what was found and what to do."""
    print(f"  {'reading':30}{'value':20}{'true value':18}flag")
    for reading in visit["readings"]:
        value = f"{reading['censored'] or ''}{number(reading['value'])} {reading['unit']}"
        print(f"  {reading['parameter']:30}{value:20}{between(reading):18}{FLAG_WORDS[reading['flag']]}")
        show_checks(reading["checks"], reading["unit"])
    show_checks(visit["visit_checks"], "")


def show_checks(checks: list[dict[str, Any]], unit: str) -> None:
    """Print what the checks have to say; those that passed say nothing."""
    for check in checks:
        if check["flag"] == PASS:
            continue
        print(f"      {check['check']}: {FLAG_WORDS[check['flag']]}. {check['message']}")
        if check["advice"]:
            print(f"      -> {check['advice']}")
        if slip := check["likely_slip"]:
            would_be = slip["would_be"]
            told = "" if would_be is None else f"; it would be {number(would_be)} {unit}"
            print(f"      -> likely slip: {slip['kind']}{told}")


def show_derived(visit: dict[str, Any]) -> None:
    """Print the values computed from the readings."""
    if visit["derived"]:
        print("  -- computed")
    for derived in visit["derived"]:
        value = f"{number(derived['value'])} {derived['unit']}"
        assumed = f"assumed: {', '.join(derived['assumed'])}" if derived["assumed"] else ""
        print(f"  {derived['parameter']:30}{value:20}{between(derived):18}{assumed}")


def show_scores(visit: dict[str, Any]) -> None:
    """Print each score with its band, interval and standing, and the reasons for doubt."""
    if visit["scores"]:
        print("  -- scores")
    for score in visit["scores"]:
        told = f"{score['standing']:12}{score['band'] or ''}"
        print(f"  {score['index']:30}{number(score['value']):20}{between(score):18}{told}")
        chances = [f"{chance:.0%} {band}" for band, chance in score["bands"].items() if chance >= SMALLEST]
        if len(chances) > 1:
            print(f"      chance of each band: {', '.join(chances)}")
        for reason in score["reasons"]:
            print(f"      {reason}")


def between(row: dict[str, Any]) -> str:
    """Return the interval of a row in words."""
    low, high = number(row["low"]), number(row["high"])
    if low and high:
        return f"{low}..{high}"
    return f"at least {low}" if low else f"at most {high}" if high else ""


def number(value: float | None) -> str:
    """Return a number for reading, and nothing for none."""
    return "" if value is None else f"{value:.4g}"


if __name__ == "__main__":
    main(*sys.argv[1:])
