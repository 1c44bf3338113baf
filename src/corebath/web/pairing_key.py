"""The key that signs sessions, and the devices it was given to: a file of its own beside the store, for its owner only.

It stays out of the store, so that neither a backup nor an export lets anybody in.
"""

from __future__ import annotations

import json
import os
import secrets
import threading
from collections.abc import Callable
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from corebath.log.errors import StoreError, told

_FOR_ITS_OWNER = 0o600
_KEY_BYTES = 32


@dataclass(frozen=True, slots=True)
class Device:
    """A device that was paired. paired_us : when, in microseconds since 1970 UTC"""

    id: str
    name: str
    paired_us: int


@dataclass(frozen=True, slots=True)
class Held:
    """What the file holds."""

    key: str
    devices: tuple[Device, ...] = ()


class KeyFile:
    """The file. It is made when it is missing, and read again when another program changed it.

    Raises StoreError when it cannot be made, read or understood.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._changing = threading.Lock()
        self._seen: tuple[int, int, int] | None = None
        self._held = Held("")
        with told("the key of this kitchen cannot be made"):
            if not path.exists():
                path.parent.mkdir(parents=True, exist_ok=True)
                self._make()
            os.chmod(path, _FOR_ITS_OWNER)
        self.read()

    def read(self) -> Held:
        """What the file holds now."""
        with told("the key of this kitchen cannot be read"):
            about = self._path.stat()
            seen = (about.st_mtime_ns, about.st_ino, about.st_size)
            if seen != self._seen:
                self._held, self._seen = self._understood(self._path.read_text(encoding="utf-8")), seen
        return self._held

    def add(self, device: Device, most: int) -> None:
        """Remember a device; raises StoreError when there are as many as there may be."""
        with self._changing:
            held = self.read()
            if len(held.devices) >= most:
                raise StoreError(f"{most} devices are paired, as many as there may be: unpair them on Gear first")
            self._write(replace(held, devices=(*held.devices, device)))

    def keep(self, wanted: Callable[[Device], bool]) -> None:
        """Forget the devices that are not wanted."""
        with self._changing:
            held = self.read()
            kept = tuple(device for device in held.devices if wanted(device))
            if kept != held.devices:
                self._write(replace(held, devices=kept))

    def rotate(self) -> None:
        """Another key, and no devices: whatever was signed before is void."""
        with self._changing:
            self._write(Held(secrets.token_hex(_KEY_BYTES)))

    def _make(self) -> None:
        part = self._part(Held(secrets.token_hex(_KEY_BYTES)))
        try:
            os.link(part, self._path)
        except FileExistsError:
            pass  # another program was faster: its key holds
        except OSError:  # a file system without links
            if not self._path.exists():
                os.replace(part, self._path)
        finally:
            part.unlink(missing_ok=True)

    def _write(self, held: Held) -> None:
        with told("the key of this kitchen cannot be written"):
            part = self._part(held)
            os.replace(part, self._path)

    def _part(self, held: Held) -> Path:
        """A file of the new content beside the old one, on disk and for its owner only."""
        part = self._path.with_name(f".{self._path.name}.{secrets.token_hex(4)}.part")
        number = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, _FOR_ITS_OWNER)
        with os.fdopen(number, "w", encoding="utf-8") as file:
            json.dump(asdict(held), file)
            file.flush()
            os.fsync(file.fileno())
        return part

    def _understood(self, text: str) -> Held:
        try:
            held = json.loads(text)
            devices = tuple(Device(str(d["id"]), str(d["name"]), int(d["paired_us"])) for d in held["devices"])
            if len(bytes.fromhex(held["key"])) != _KEY_BYTES:
                raise ValueError
            return Held(held["key"], devices)
        except (ValueError, KeyError, TypeError) as error:
            raise StoreError(
                f"the key of this kitchen is damaged: remove {self._path}, and pair all devices anew"
            ) from error
