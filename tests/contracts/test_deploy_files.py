"""What deploy/ repeats must agree with its source: locks with pyproject.toml, settings with the service."""

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from service.core.settings import PREFIX, Settings

PROJECT = Path(__file__).parents[2]
DEPLOY = PROJECT / "deploy"
LOCKS = ("requirements.txt", "requirements-test.txt")
# The only lines a lock may have: a comment, a pinned release, its hash. An address or a path is neither.
COMMENT, PIN, HASH = (
    r"\s*#.*",
    r"([a-z0-9-]+)==([\w.!+]+)( ; .+)? \\",
    r"    --hash=sha256:[0-9a-f]{64}( \\)?",
)


def lock_lines(name: str) -> list[str]:
    return (DEPLOY / name).read_text(encoding="utf-8").splitlines()


def pins(name: str) -> dict[str, str]:
    return {found[1]: found[2] for line in lock_lines(name) if (found := re.fullmatch(PIN, line))}


def wanted(name: str) -> list[Requirement]:
    project = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = project["project"]["dependencies"] + project["build-system"]["requires"]
    if name == "requirements-test.txt":
        wanted += project["project"]["optional-dependencies"]["test"]
    return [Requirement(line) for line in wanted]


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_holds_pins_and_hashes_and_no_address(name: str) -> None:
    assert [line for line in lock_lines(name) if not re.fullmatch(f"{COMMENT}|{PIN}|{HASH}", line)] == []


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_satisfies_pyproject(name: str) -> None:
    locked = pins(name)
    unmet = [
        str(need)
        for need in wanted(name)
        if locked.get(canonicalize_name(need.name), "0") not in need.specifier
    ]
    assert unmet == [], "run deploy/lock.sh"


def test_the_service_is_tested_with_the_releases_it_runs_on() -> None:
    assert pins("requirements.txt").items() <= pins("requirements-test.txt").items()


@pytest.mark.parametrize("name", ["example.env", "compose.yaml", "Dockerfile"])
def test_every_setting_written_down_exists(name: str) -> None:
    written = re.findall(rf"{PREFIX}([A-Z_]+)[=:]", (DEPLOY / name).read_text(encoding="utf-8"))
    assert written
    assert {setting.lower() for setting in written} <= set(Settings.model_fields)
