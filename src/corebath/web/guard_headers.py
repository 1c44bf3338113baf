"""What every answer carries: what its page may load, and who may keep or frame it."""

from __future__ import annotations

from starlette.datastructures import MutableHeaders

_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}
# A shared card leads nowhere and is found by nobody: its address is what keeps it.
_SHARED = {"Referrer-Policy": "no-referrer", "X-Robots-Tag": "noindex, nofollow", "Cache-Control": "private, no-store"}
# What happens in a kitchen changes by the minute: going back must not show an old page with an old clock.
_FRESH = ("/kitchen", "/log", "/gear", "/pair", "/api/cooks")


def head(headers: MutableHeaders, path: str) -> None:
    """Give an answer the headers it lacks."""
    if path.startswith("/s/"):
        headers.update(_SHARED)
    for name, value in _HEADERS.items():
        headers.setdefault(name, value)
    if path.startswith(_FRESH):
        headers.setdefault("Cache-Control", "no-store")
    elif not path.startswith("/static/"):
        headers.setdefault("Cache-Control", "private, no-cache")
