"""Serve behind a reverse proxy that shows the service under a path, whether it cuts the path off or not.

The other doors see a path without the prefix. The app sees it with the prefix, and the prefix as its root, as
the ASGI specification (version 3.0, HTTP connection scope: ``path``, ``root_path``) has it.
"""

from starlette.types import ASGIApp, Receive, Scope, Send


class WithoutPrefix:
    """Cut the public prefix off the path; stands before all other doors."""

    def __init__(self, app: ASGIApp, prefix: str) -> None:
        self.app = app
        self.prefix = prefix

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] == "http" and (scope["path"] + "/").startswith(self.prefix + "/"):
            scope["path"] = scope["path"].removeprefix(self.prefix) or "/"
        await self.app(scope, receive, send)


class WithPrefix:
    """Say the public prefix to the app; stands behind all other doors."""

    def __init__(self, app: ASGIApp, prefix: str) -> None:
        self.app = app
        self.prefix = prefix

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] == "http":
            scope["root_path"] = self.prefix
            scope["path"] = self.prefix + scope["path"]
        await self.app(scope, receive, send)
