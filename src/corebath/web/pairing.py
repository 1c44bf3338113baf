"""Who asks: this machine, a paired device, or nobody known. One household's signatures mean nothing to another."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from ipaddress import ip_address

from itsdangerous import BadSignature, Signer
from starlette.requests import Request

from corebath.log.moments import from_us, to_us
from corebath.log.place import key_path
from corebath.log.store import Store
from corebath.log.texts import check_text
from corebath.units import NotUnderstood

from .guard_pace import Buckets
from .guard_settings import pace, pairing
from .pairing_key import Device, KeyFile

HERE = frozenset({"localhost", "127.0.0.1", "::1"})
# Without letters and digits that are taken for each other.
_LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
# What a relay in between adds: then a loopback address is the relay's, not the client's.
_RELAYED = ("forwarded", "x-forwarded-for", "x-real-ip", "via")


@dataclass(frozen=True, slots=True)
class Serving:
    """How the site is reached. names : hosts it answers to beside this machine's own;  network : address for others"""

    names: frozenset[str] = frozenset()
    network: str = ""


class Kind(Enum):
    """Who asks."""

    HERE = "a program on this machine"
    PAIRED = "a paired device"
    UNKNOWN = "nobody known"


@dataclass(frozen=True, slots=True)
class Caller:
    """Who asks. session : signed by us, for a form's token;  cookie : to be set, empty when it has a valid one"""

    kind: Kind
    address: str
    session: str
    cookie: str = ""


@dataclass(frozen=True, slots=True)
class Code:
    """A pairing code that was not used yet. text : as read out, with its dash"""

    text: str
    until: datetime


class TooMany(Exception):  # noqa: N818 - it is the wrong codes that are too many
    """Too many wrong codes came. wait_s : until the next one is looked at [s]"""

    def __init__(self, wait_s: float) -> None:
        super().__init__("too many wrong codes came: wait a minute, then try again")
        self.wait_s = wait_s


class Household:
    """Sessions, codes and devices of one store, as it is served here.

    clock : the moment of asking

    Raises StoreError when its key cannot be kept.
    """

    def __init__(self, store: Store, serving: Serving, clock: Callable[[], datetime]) -> None:
        self.serving, self._clock = serving, clock
        self._file = KeyFile(key_path(store.file, store.place))
        self._codes: dict[str, Code] = {}
        self._wrong, self._wrong_all = Buckets(pace("wrong_code")), Buckets(pace("wrong_codes_of_all"))

    @property
    def cookie_name(self) -> str:
        """A name of this household's own: a browser keeps the cookies of all ports of a host together."""
        return f"corebath-{hashlib.sha256(self._key.encode()).hexdigest()[:12]}"

    @property
    def cookie_age_s(self) -> int:
        """How long a browser keeps a session [s]."""
        return pairing().device_days * 86_400

    def answers_to(self, host: str) -> bool:
        """Whether a host, as in an address without its port, is one of ours."""
        return host in HERE or host in self.serving.names

    def caller(self, request: Request) -> Caller:
        """Who sends a request."""
        address = request.client.host if request.client else ""
        here = _is_loopback(address) and host_of(request) in HERE
        here = here and not any(name in request.headers for name in _RELAYED)
        session = self._session(request.cookies.get(self.cookie_name, ""))
        cookie = "" if session else self._signed(f"visit.{secrets.token_urlsafe(18)}")
        kind = Kind.HERE if here else Kind.PAIRED if session.startswith("device.") else Kind.UNKNOWN
        return Caller(kind, address, session or cookie.rpartition(".")[0], cookie)

    def form_token(self, session: str) -> str:
        """The token of a session's forms."""
        return self._signer("form").get_signature(session).decode()

    def form_token_fits(self, session: str, token: str) -> bool:
        """Whether a token is that of a session."""
        return hmac.compare_digest(self.form_token(session).encode(), token.encode())

    @property
    def logger_token(self) -> str:
        """What a logger on the network shows to post readings, and for nothing else."""
        return self._signer("logger").get_signature("readings").decode()

    def is_logger(self, authorization: str) -> bool:
        """Whether the header of a request is that of a logger we know."""
        scheme, _, token = authorization.partition(" ")
        return scheme.lower() == "bearer" and hmac.compare_digest(self.logger_token.encode(), token.strip().encode())

    def new_code(self) -> Code:
        """A code for one device; the oldest is void when there are too many."""
        now = self._drop_old_codes()
        while len(self._codes) >= pairing().codes_at_once:
            self._codes.pop(next(iter(self._codes)))
        plain = "".join(secrets.choice(_LETTERS) for _ in range(pairing().code_letters))
        half = len(plain) // 2
        code = Code(f"{plain[:half]}-{plain[half:]}", now + timedelta(seconds=pairing().code_s))
        self._codes[plain] = code
        return code

    def link(self, code: Code) -> str:
        """The address that another device opens to pair; empty when no other device can reach us."""
        return f"{self.serving.network}/pair?code={code.text}" if self.serving.network else ""

    def pair(self, typed: str, name: str, address: str) -> str:
        """Pair a device by its code; returns its session, signed. The code is used up.

        Raises NotUnderstood for a wrong or old code, ValueError for a name, TooMany, and StoreError.
        """
        wait_s = max(self._wrong.wait_s(address), self._wrong_all.wait_s(""))
        if wait_s:
            raise TooMany(wait_s)
        name = name.strip() or "phone"
        check_text(name, pairing().device_name_characters, "the name of a device", shortest=1)
        now = self._drop_old_codes()
        plain = "".join(c for c in typed.upper() if c.isalnum())[:64]
        found = [code for code in self._codes if hmac.compare_digest(code.encode(), plain.encode())]
        if not found:
            self._wrong.take(address)
            self._wrong_all.take("")
            raise NotUnderstood("this code is not one that holds: ask for a new one on Gear, or start the server anew")
        device = Device(secrets.token_urlsafe(18), name, to_us(now))
        self._drop_old_devices(now)
        self._file.add(device, pairing().devices)
        self._codes.pop(found[0], None)
        return self._signed(f"device.{device.id}")

    def devices(self) -> tuple[Device, ...]:
        """Devices that are paired, the first one first."""
        return tuple(d for d in self._file.read().devices if not _is_old(d, self._clock()))

    def unpair_all(self) -> None:
        """Another key: all devices, codes, loggers and open forms are void."""
        self._codes.clear()
        self._file.rotate()

    @property
    def _key(self) -> str:
        return self._file.read().key

    def _signer(self, purpose: str) -> Signer:
        return Signer(self._key, salt=f"corebath.{purpose}", digest_method=hashlib.sha256)

    def _signed(self, session: str) -> str:
        return self._signer("session").sign(session).decode()

    def _session(self, cookie: str) -> str:
        """The session a cookie stands for; empty for one that we did not sign, or whose device is not paired now."""
        try:
            session = self._signer("session").unsign(cookie.encode("utf-8", "replace")).decode()
        except BadSignature:
            return ""
        kind, _, number = session.partition(".")
        if kind == "device" and number not in {d.id for d in self.devices()}:
            return ""
        return session

    def _drop_old_codes(self) -> datetime:
        now = self._clock()
        self._codes = {plain: code for plain, code in self._codes.items() if code.until > now}
        return now

    def _drop_old_devices(self, now: datetime) -> None:
        self._file.keep(lambda device: not _is_old(device, now))


def host_of(request: Request) -> str:
    """The host a request names, in small letters and without its port and brackets; empty for none."""
    host = request.headers.get("host", "").strip().lower()
    if host.startswith("["):
        return host[1:].partition("]")[0]
    return host.rpartition(":")[0] if host.count(":") == 1 else host


def _is_loopback(address: str) -> bool:
    try:
        return ip_address(address).is_loopback
    except ValueError:
        return False


def _is_old(device: Device, now: datetime) -> bool:
    return now - from_us(device.paired_us) > timedelta(days=pairing().device_days)
