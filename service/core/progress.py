"""Progress of long work: one line that rewrites itself on a terminal, and silence in a pipe."""

import sys


def show_progress(told: str, *, last: bool = False) -> None:
    """Show how far the work is."""
    if sys.stderr.isatty():
        print(f"\r\x1b[K{told}", end="\n" if last else "", file=sys.stderr, flush=True)  # noqa: T201
