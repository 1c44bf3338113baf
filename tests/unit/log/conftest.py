"""Stores of both kinds: an embedded file, and a database on a real PostgreSQL server."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest
from tests.unit.log.servers import postgres_server

from corebath.log.store import Store

_NUMBERS = count(1)


@pytest.fixture(scope="session")
def postgres() -> Iterator[str]:
    """The address of a running server, without the database's name."""
    with postgres_server() as address:
        yield address


@pytest.fixture
def new_postgres(postgres: str) -> Iterator[Callable[[], str]]:
    """Makes the address of an empty database."""
    import psycopg

    names: list[str] = []

    def make() -> str:
        names.append(f"kitchen_{next(_NUMBERS)}")
        with psycopg.connect(f"{postgres}/postgres", autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {names[-1]}".encode())
        return f"{postgres}/{names[-1]}"

    yield make
    with psycopg.connect(f"{postgres}/postgres", autocommit=True) as connection:
        for name in names:
            connection.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


@pytest.fixture(params=["sqlite", "postgres"])
def new_address(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[[], str]:
    """Makes the address of an empty store; every test that asks for it runs on both kinds."""
    if request.param == "sqlite":
        return lambda: str(tmp_path / f"kitchen{next(_NUMBERS)}.db")
    make: Callable[[], str] = request.getfixturevalue("new_postgres")
    return make


@pytest.fixture
def address(new_address: Callable[[], str]) -> str:
    """The address of an empty store."""
    return new_address()


@pytest.fixture
def store(address: str) -> Iterator[Store]:
    """An empty store."""
    opened = Store(address)
    yield opened
    opened.close()
