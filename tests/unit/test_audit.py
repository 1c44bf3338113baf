"""The audit of what is installed: what it makes of the answers of pip-audit, and of none."""

from __future__ import annotations

import importlib.util
import json
import subprocess
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import ModuleType

import pytest

FILE = Path(__file__).parents[2] / ".ci" / "audit"
CLEAN = {"name": "one", "version": "1", "vulns": []}
BAD = {
    "name": "two",
    "version": "2",
    "vulns": [{"id": "CVE-0000-1", "fix_versions": ["3"]}, {"id": "X", "fix_versions": []}],
}
UNKNOWN = {"name": "three", "skip_reason": "not found"}


@pytest.fixture
def audit(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    loader = SourceFileLoader("audit", str(FILE))
    spec = importlib.util.spec_from_loader("audit", loader)
    assert spec is not None
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    module = importlib.util.module_from_spec(spec)
    loader.exec_module(module)
    return module


@pytest.mark.parametrize(
    ("packages", "code", "said"),
    [
        ([CLEAN], 0, "audit: 1 packages, 0 with known vulnerabilities\n"),
        ([CLEAN, UNKNOWN], 0, "nothing is known of 1 others"),
        ([CLEAN, BAD], 1, "two 2: CVE-0000-1, mended in 3\naudit: two 2: X, mended in no version yet"),
        ([UNKNOWN], 0, "NOTHING WAS AUDITED (nothing is known of any of 1 packages)"),
        ([], 0, "NOTHING WAS AUDITED"),
    ],
)
def test_what_is_found_is_told(
    audit: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    packages: list[dict[str, object]], code: int, said: str,
) -> None:  # fmt: skip
    answer = subprocess.CompletedProcess([], 0, json.dumps({"dependencies": packages, "fixes": []}), "")
    monkeypatch.setattr("subprocess.run", lambda *_, **__: answer)
    assert audit.main() == code
    told = capsys.readouterr()
    assert said in told.err + told.out


@pytest.mark.parametrize(
    ("error", "code", "said"),
    [
        ("ERROR: Max retries exceeded\nConnection refused", 0, "NOTHING WAS AUDITED (Connection refused)"),
        ("Traceback ...\nKeyError: 'x'", 1, "it broke: KeyError: 'x'"),
        ("", 1, "it broke: no reason was given"),
    ],
)  # fmt: skip
def test_no_network_is_no_failure_and_a_broken_audit_is(
    audit: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    error: str, code: int, said: str,
) -> None:  # fmt: skip
    monkeypatch.setattr("subprocess.run", lambda *_, **__: subprocess.CompletedProcess([], 1, "", error))
    assert audit.main() == code
    told = capsys.readouterr()
    assert said in told.err + told.out


def test_an_answer_that_never_comes_is_no_failure(audit: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    def late(*_: object, **__: object) -> None:
        raise subprocess.TimeoutExpired("pip-audit", 1)

    monkeypatch.setattr("subprocess.run", late)
    assert audit.main() == 0
