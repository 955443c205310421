"""No caller may keep the service busy for all others: so many requests a minute for each key and address.

A key has its own share once it has proved good; until then, and without a key, its address is counted. So
invented keys bring nobody a share of their own, and a school's good key still works where somebody at the
same address tries wrong ones.

Reference
---------
Header fields: IETF draft-ietf-httpapi-ratelimit-headers-10 (September 2025); 429: RFC 6585, section 4.
"""

import time
from collections.abc import Callable, Collection
from dataclasses import dataclass
from ipaddress import IPv6Address, ip_address, ip_network

from starlette.datastructures import MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.core.door.counts import Counts
from service.core.door.key_first import bearer_token
from service.core.http_errors import problem
from service.core.rates import NO_LIMIT, Rates
from service.core.tokens import fingerprint, is_well_formed

OPEN_TO_ALL = frozenset({"/healthz", "/readyz"})
KEY_TRIED = "key_tried"  # where the app says in the request's state that a key was in its body
NETWORK_BITS = 64  # of an IPv6 address; the rest is free to whoever has the network


@dataclass(frozen=True, slots=True)
class Share:
    """What a caller may still send in this window of time; without a limit there is nothing to say."""

    policy: str
    limit: int
    came: int
    window_s: int
    left_s: int

    @property
    def is_used_up(self) -> bool:
        """Whether this request is one too many."""
        return 0 < self.limit < self.came

    @property
    def fields(self) -> dict[str, str]:
        """The header fields that say it."""
        if not self.limit:
            return {}
        left = max(self.limit - self.came, 0)
        return {
            "RateLimit-Policy": f'"{self.policy}";q={self.limit};w={self.window_s}',
            "RateLimit": f'"{self.policy}";r={left};t={self.left_s}',
        }


class RateLimit:
    """Answer 429 where a caller has had his share of this window of time [s].

    ``keys_in_body`` are the addresses to which a key is sent in the body: whose it is, is not known here, so
    the address is counted; that one was tried, the app says in the request's state.
    """

    def __init__(
        self,
        app: ASGIApp,
        rates: Rates,
        file: str,
        window_s: int = 60,
        now: Callable[[], float] = time.time,
        keys_in_body: Collection[str] = (),
    ) -> None:
        self.app = app
        self.rates = rates
        self.window_s = window_s
        self.now = now
        self.counts = Counts(file)
        self.keys_in_body = keys_in_body

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request."""
        if scope["type"] != "http" or scope["path"] in OPEN_TO_ALL or self.rates == NO_LIMIT:
            await self.app(scope, receive, send)
            return
        now = int(self.now())
        since = now - now % self.window_s
        token, address = bearer_token(scope), _network((scope.get("client") or ("",))[0])
        key = f"key {fingerprint(token)}" if token is not None and is_well_formed(token) else None
        wrong = f"wrong {address}"
        is_proved = key is not None and self.counts.knows(key)
        share = self._share(key if is_proved else None, address, since, since + self.window_s - now)
        tries_key = token is not None or (scope["method"] == "POST" and scope["path"] in self.keys_in_body)
        if not share.is_used_up and tries_key and not is_proved:
            tried = self._wrong_keys(wrong, since, share.left_s)
            share = tried if tried.is_used_up else share
        if share.is_used_up:
            await _refusal(share)(scope, receive, send)
            return

        async def counted(message: Message) -> None:
            if message["type"] == "http.response.start":
                if scope.get("state", {}).get("key_id") and key and not is_proved:
                    self.counts.remember(key)
                    self.counts.add(key, since)
                elif message["status"] == 401 and (token is not None or _was_tried(scope)):
                    self.counts.add(wrong, since)
                    self.counts.forget(key or "")
                MutableHeaders(scope=message).update(share.fields)
            await send(message)

        await self.app(scope, receive, counted)

    def _share(self, key: str | None, address: str, since: int, left_s: int) -> Share:
        policy, limit = ("key", self.rates.per_key) if key else ("address", self.rates.per_address)
        came = self.counts.add(key or f"address {address}", since) if limit else 0
        return Share(policy, limit, came, self.window_s, left_s)

    def _wrong_keys(self, wrong: str, since: int, left_s: int) -> Share:
        limit = self.rates.failed_keys
        came = self.counts.of(wrong, since) + 1 if limit else 0
        return Share("wrong-keys", limit, came, self.window_s, left_s)


def _was_tried(scope: Scope) -> bool:
    return bool(scope.get("state", {}).get(KEY_TRIED))


def _refusal(share: Share) -> ASGIApp:
    told = {
        "wrong-keys": "Too many wrong keys came from your network; check that yours was copied whole",
        "key": "Too many requests came with this key",
        "address": "Too many requests came from your network",
    }
    detail = f"{told[share.policy]}. Wait {share.left_s} seconds, then go on."
    return problem(429, detail, headers={"Retry-After": str(share.left_s)} | share.fields)


def _network(address: str) -> str:
    """Return whose address it is: of IPv6 the network, as one caller has all of its addresses."""
    try:
        read = ip_address(address)
    except ValueError:
        return address
    return str(ip_network((read, NETWORK_BITS), strict=False)) if isinstance(read, IPv6Address) else address
