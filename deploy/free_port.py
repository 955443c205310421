"""Print a port that a server may take:  python free_port.py WANTED_PORT (empty: 8000, or else any)."""

# ruff: noqa: T201  printing is what this script is for

import socket
import sys


def main(wanted: str) -> None:
    """Print the wanted port; without a wish, the usual one or any free one."""
    refused = ""
    for port in [int(wanted)] if wanted else [8000, 0]:
        with socket.socket() as probe:
            # As the server itself will ask: a port that only waits for old connections to end is free.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind(("127.0.0.1", port))
            except (OSError, OverflowError) as error:
                refused = str(error)
            else:
                print(probe.getsockname()[1])
                return
    sys.exit(f"Port {wanted} cannot be used: {refused}")


if __name__ == "__main__":
    main(*sys.argv[1:])
