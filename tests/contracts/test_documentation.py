"""What can be set, run, checked or scored stands in README.md or DEVELOPERS.md."""

import contextlib
import io
import re
from collections.abc import Collection
from pathlib import Path

import pytest

from service.cli import main
from service.core.settings import PREFIX, SCRIPT_VARIABLES, Settings
from service.reference.load import load_catalogue

PROJECT = Path(__file__).parents[2]
PAGES = "\n".join((PROJECT / name).read_text("utf-8") for name in ("README.md", "DEVELOPERS.md"))
CATALOGUE = load_catalogue()


def told(words: str) -> bool:
    """Whether the words stand there whole, not as a part of longer ones."""
    return re.search(rf"(?<![\w-]){re.escape(words)}(?![\w-])", PAGES) is not None


def test_a_part_of_a_word_is_not_the_word() -> None:
    assert told("wadebook serve")
    assert not told("wadebook ser")


@pytest.mark.parametrize(
    "names",
    [
        CATALOGUE.checks,
        sorted({definition.index for definition in CATALOGUE.all_definitions.values()}),
        [PREFIX + name.upper() for name in Settings.model_fields],
    ],
    ids=["check", "index", "setting"],
)
def test_each_is_told(names: Collection[str]) -> None:
    assert names
    assert [name for name in names if not told(name)] == []


def test_every_setting_that_is_told_exists() -> None:
    known = {PREFIX + name.upper() for name in Settings.model_fields} | SCRIPT_VARIABLES
    assert set(re.findall(r"WADEBOOK_[A-Z_]*[A-Z]", PAGES)) <= known


def commands(*before: str) -> list[str]:
    """Return every whole command that begins with these words, as the help lists them."""
    said = io.StringIO()
    with contextlib.redirect_stdout(said), pytest.raises(SystemExit):
        main([*before, "--help"])
    below = re.findall(r"^    ([a-z][a-z-]*)(?: |$)", said.getvalue(), re.MULTILINE)
    if not below:
        return [" ".join(("wadebook", *before))]
    return [command for word in below for command in commands(*before, word)]


def test_every_command_is_told() -> None:
    found = commands()
    assert {"wadebook serve", "wadebook key create"} <= set(found)
    assert [command for command in found if not told(command)] == []


def test_every_command_that_is_told_exists() -> None:
    found = commands()
    written = re.findall(r"wadebook ([a-z]+(?: [a-z]+)?)", PAGES)
    assert [words for words in written if not any(f"wadebook {words}".startswith(one) for one in found)] == []
