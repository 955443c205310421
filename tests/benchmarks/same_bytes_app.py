"""The least that a server of answers can do: send the bytes of a file, whoever asks for what."""

import sys
from pathlib import Path
from typing import Any

import uvicorn

SENT = b""


async def app(scope: Any, receive: Any, send: Any) -> None:
    """Answer every request alike; `/healthz` is answered as well."""
    if scope["type"] != "http":
        return
    headers = [(b"content-type", b"application/json"), (b"content-length", str(len(SENT)).encode())]
    await send({"type": "http.response.start", "status": 200, "headers": headers})
    await send({"type": "http.response.body", "body": SENT})


if __name__ == "__main__":
    SENT = Path(sys.argv[3]).read_bytes()
    uvicorn.run(app, host=sys.argv[1], port=int(sys.argv[2]), log_level="warning", lifespan="off")
