"""Every form of our own pages carries a token of its session, which no other site's page can know."""

from __future__ import annotations

import re
from contextvars import ContextVar

from jinja2 import Environment
from jinja2.ext import Extension

FIELD = "form-token"
HEADER = "x-form-token"
_FORM = re.compile(r'<form\b[^>]*\bmethod="post"[^>]*>')
_INPUT = f'<input type="hidden" name="{FIELD}" value="{{{{ form_token() }}}}">'
# Of the request that is being answered: one value for each, as each runs in a context of its own.
TOKEN: ContextVar[str] = ContextVar("form_token", default="")


class FormTokens(Extension):
    """Puts the token into every form of every template that changes something, so that none can be forgotten."""

    def __init__(self, environment: Environment) -> None:
        super().__init__(environment)
        environment.globals["form_token"] = TOKEN.get

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """The template's text with the token as the first field of its forms."""
        del name, filename
        return _FORM.sub(lambda form: form[0] + _INPUT, source)
