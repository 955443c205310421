"""The peer of a dry run: an endpoint that reads the same body and ignores it."""

import sys

import uvicorn
from fastapi import FastAPI, Request, Response

app = FastAPI()


@app.get("/healthz")
async def alive() -> Response:
    return Response(b"{}", media_type="application/json")


@app.post("/ignored")
async def ignore(request: Request) -> Response:
    size = len(await request.body())
    return Response(b'{"bytes": %d}' % size, media_type="application/json")


if __name__ == "__main__":
    uvicorn.run(app, host=sys.argv[1], port=int(sys.argv[2]), server_header=False)
