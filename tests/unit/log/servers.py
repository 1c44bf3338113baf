"""Real servers for tests, started here from the system's packages and ended with the tests."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

_NOBODY = 65534
_WAIT_S = 30.0


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port = listener.getsockname()[1]
        assert isinstance(port, int)
        return port


def program(name: str, *folders: str) -> str | None:
    """A program on the path or in one of some folders, the last version first."""
    found = [path for pattern in folders for path in sorted(Path("/").glob(f"{pattern}/{name}"), reverse=True)]
    return shutil.which(name) or next(map(str, found), None)


@contextmanager
def postgres_server() -> Iterator[str]:
    """The address of a fresh PostgreSQL server, without the database's name; skips where none is installed."""
    initdb = program("initdb", "usr/lib/postgresql/*/bin")
    server = program("postgres", "usr/lib/postgresql/*/bin")
    if initdb is None or server is None:
        pytest.skip("no PostgreSQL on this machine: install the system's package 'postgresql'")
    psycopg = pytest.importorskip("psycopg", reason="no driver for PostgreSQL: pip install 'corebath[postgres]'")
    folder = Path(tempfile.mkdtemp(prefix="corebath-postgres-"))
    # PostgreSQL does not run as root: there it gets the user who owns nothing else.
    user = _NOBODY if os.geteuid() == 0 else None
    if user is not None:
        os.chown(folder, user, user)
    groups: list[int] | None = [] if user is not None else None
    # Nothing here cuts the power, so the server need not wait for the disk.
    settings = ("-c", "listen_addresses=127.0.0.1", "-c", "fsync=off")
    port = free_port()
    try:
        subprocess.run(
            [initdb, "-D", folder / "data", "-U", "cook", "--auth=trust", "--encoding=UTF8", "--no-sync"],
            user=user, group=user, extra_groups=groups, cwd=folder, check=True, capture_output=True,
        )  # fmt: skip
        with (folder / "said").open("wb") as said:
            running = subprocess.Popen(
                [server, "-D", folder / "data", "-p", str(port), "-k", folder, *settings],
                user=user, group=user, extra_groups=groups, cwd=folder, stdout=said, stderr=said,
            )  # fmt: skip
        address = f"postgresql://cook@127.0.0.1:{port}"

        def answers() -> bool:
            try:
                psycopg.connect(f"{address}/postgres").close()
            except psycopg.OperationalError:
                return False
            return True

        try:
            _wait_for(answers, running, folder / "said")
            yield address
        finally:
            _end(running, signal.SIGINT)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def broker(folder: Path, port: int, *settings: str) -> Iterator[None]:
    """A mosquitto broker at a port; skips where none is installed."""
    server = program("mosquitto", "usr/sbin", "usr/local/sbin")
    if server is None:
        pytest.skip("no MQTT broker on this machine: install the system's package 'mosquitto'")
    written = folder / f"broker-{time.monotonic_ns()}.conf"
    lines = (f"listener {port} 127.0.0.1", "persistence false", "user root", *(settings or ("allow_anonymous true",)))
    written.write_text("\n".join(lines) + "\n", encoding="utf-8")
    said_file = written.with_suffix(".said")
    with said_file.open("wb") as said:
        running = subprocess.Popen([server, "-c", written], stdout=said, stderr=said)

    def answers() -> bool:
        try:
            socket.create_connection(("127.0.0.1", port), 1).close()
        except OSError:
            return False
        return True

    try:
        _wait_for(answers, running, said_file)
        yield
    finally:
        _end(running, signal.SIGTERM)


def _wait_for(answers: Callable[[], bool], running: subprocess.Popen[bytes], said: Path) -> None:
    until = time.monotonic() + _WAIT_S
    while not answers():
        if running.poll() is not None or time.monotonic() > until:
            pytest.fail(f"a server did not start: {said.read_text(errors='replace')}")
        time.sleep(0.02)


def _end(running: subprocess.Popen[bytes], how: signal.Signals) -> None:
    running.send_signal(how)
    try:
        running.wait(_WAIT_S)
    except subprocess.TimeoutExpired:
        running.kill()
        running.wait()
