"""Pages of our own: made from a template, with no script, no picture and nothing from elsewhere.

Reference
---------
W3C Content Security Policy Level 3, sections 6.1 (fetch directives) and 8.2 (hashes of inline styles).
"""

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import Any

from fastapi import Response
from jinja2 import Environment, FunctionLoader, StrictUndefined

from service.science.qa.wording import number_words, parameter_words, sentence, unit_words


def _text(name: str) -> str:
    return (files("service.intake") / name).read_text("utf-8")


_PAGES = Environment(
    loader=FunctionLoader(_text),
    autoescape=True,
    undefined=StrictUndefined,
    auto_reload=False,
    trim_blocks=True,
    lstrip_blocks=True,
)
_PAGES.filters |= {
    "number": number_words,
    "unit": unit_words,
    "parameter": parameter_words,
    "sentence": sentence,
}


@cache
def _style(name: str) -> tuple[str, str]:
    """Return a style, and its hash by which a browser lets it in."""
    text = " ".join(_text(name).split())
    return text, b64encode(sha256(text.encode()).digest()).decode()


def page(name: str, style: str, status: int = 200, **content: Any) -> Response:
    """Return a page made of a template and a style; whatever goes into it is escaped."""
    css, digest = _style(style)
    policy = (
        f"default-src 'none'; style-src 'sha256-{digest}'; form-action 'self'; frame-ancestors 'none'; "
        "base-uri 'none'"
    )
    headers = {
        "Content-Security-Policy": policy,
        "Referrer-Policy": "no-referrer",
        "X-Content-Type-Options": "nosniff",
    }
    text = _PAGES.get_template(name).render(style=css, **content)
    return Response(text, status, headers, media_type="text/html; charset=utf-8")
