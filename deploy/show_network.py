"""Print what the coordinator is told of a watershed.

WADEBOOK_KEY=... python show_network.py URL WATERSHED STREAM FROM TO
"""

# ruff: noqa: T201  printing is what this script is for

import os
import sys
import textwrap
from typing import Any

import httpx

INDEX = "family-biotic-extended"


def main(url: str, watershed: str, stream: str, first_day: str, last_day: str) -> None:
    """Ask for the summary and the scores of a watershed, and where its stream changes, and print them."""
    dates = {"from": first_day, "to": last_day}
    headers = {"Authorization": f"Bearer {os.environ['WADEBOOK_KEY']}"}
    with httpx.Client(base_url=url, headers=headers, timeout=60) as client:
        show_summary(ask(client, f"/v1/watersheds/{watershed}/summary", dates))
        whole = {"parameter": "dissolved_oxygen"}
        show_profile(ask(client, f"/v1/streams/{stream}/profile", whole))
        show_scores(ask(client, "/v1/scores", dates | {"watershed": watershed, "index": INDEX})["items"])


def ask(client: httpx.Client, address: str, parameters: dict[str, str]) -> dict[str, Any]:
    """Return the answer, and show the address that gave it."""
    answer = client.get(address, params=parameters)
    print(f"\nGET {answer.request.url}")
    return dict(answer.raise_for_status().json())


def show_summary(summary: dict[str, Any]) -> None:
    """Print visits, medians and bands of the watershed."""
    visits = ", ".join(f"{count} {state}" for state, count in summary["visits"].items())
    print(f"{summary['name']} ({summary['scheme']} {summary['code']}): visits {visits}")
    for row in summary["parameters"]:
        print(f"  {row['parameter']:30}median {row['median']['text']:20}{row['readings']} readings")
    for row in summary["scores"]:
        counts = row["bands"] or row["standings"]  # some indices have no bands
        print(f"  {row['index']:30}{', '.join(f'{count} {word}' for word, count in counts.items())}")


def show_profile(answer: dict[str, Any]) -> None:
    """Print where along the stream a parameter changes, in the service's own words."""
    for profile in answer["profiles"]:
        print(textwrap.fill(profile["text"], 110, initial_indent="  ", subsequent_indent="  "))


def show_scores(scores: list[dict[str, Any]]) -> None:
    """Print one index as a table, from the source to the mouth."""
    print(f"{INDEX}, from the source to the mouth (0 is the best)")
    print(f"  {'site':16}{'km':>6}  {'date':12}{'score':>6}  {'between':14}{'band':14}standing")
    for row in sorted(scores, key=lambda row: (-(row["stream_km"] or 0), row["observed_on"])):
        if row["value"] is not None:
            between = f"{row['low']:.2f}..{row['high']:.2f}"
            told = f"{row['value']:6.2f}  {between:14}{row['band'] or 'none':14}{row['standing']}"
            print(f"  {row['site']:16}{row['stream_km']:6.1f}  {row['observed_on']:12}{told}")


if __name__ == "__main__":
    main(*sys.argv[1:])
