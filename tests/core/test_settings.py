"""Settings come from the environment once; what is unknown or cannot be read is refused by its name."""

import re
from pathlib import Path

import pytest

from service.cli import main
from service.core.errors import SettingsError
from service.core.settings import PREFIX, SCRIPT_VARIABLES, Settings, read_settings

PROJECT = Path(__file__).parents[2]


def refusal(environment: dict[str, str]) -> str:
    with pytest.raises(SettingsError) as caught:
        read_settings(environment)
    return caught.value.message


def test_with_nothing_set_the_service_keeps_to_this_computer_and_holds_suspect_visits() -> None:
    settings = read_settings({})
    assert settings.database_url.startswith("sqlite:///")
    assert settings.host == "127.0.0.1"
    assert (settings.public_read, settings.release_suspect) == (True, False)


def test_what_is_set_is_read_with_its_type() -> None:
    settings = read_settings(
        {
            "WADEBOOK_PORT": "8080",
            "WADEBOOK_PUBLIC_READ": "false",
            "WADEBOOK_NETWORK_NAME": "Fern Valley",
            "WADEBOOK_WATERSHED_SCHEME": "pfafstetter",
        }
    )
    assert (settings.port, settings.public_read) == (8080, False)
    assert (settings.network_name, settings.watershed_scheme) == ("Fern Valley", "pfafstetter")


def test_an_unknown_variable_is_refused_by_name_and_the_known_ones_are_told() -> None:
    message = refusal({"WADEBOOK_DATABASE": "sqlite:///x.db"})
    assert message.startswith("WADEBOOK_DATABASE: ")
    assert {PREFIX + name.upper() for name in Settings.model_fields} <= set(
        re.findall(r"WADEBOOK_\w+", message)
    )


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("PORT", "eighty"),
        ("PORT", ""),
        ("PORT", "65536"),
        ("PUBLIC_READ", "perhaps"),
        ("RELEASE_SUSPECT", "2"),
        ("THREADS", "0"),
        ("MAX_BODY_BYTES", "10"),
        ("STATEMENT_TIMEOUT_S", "-1"),
        ("WATERSHED_SCHEME", "basin"),
        ("DATABASE_URL", "creek.db"),
        ("DATABASE_URL", "mysql://creek"),
    ],
)
def test_a_bad_value_is_refused_by_the_name_of_its_variable(name: str, value: str) -> None:
    assert refusal({PREFIX + name: value}).startswith(f"{PREFIX}{name}: ")


def test_all_faults_are_told_at_once_and_no_value_is_repeated() -> None:
    message = refusal(
        {"WADEBOOK_PORT": "hush-port", "WADEBOOK_COLOUR": "hush-blue", "WADEBOOK_THREADS": "hush"}
    )
    assert all(PREFIX + name in message for name in ("PORT", "COLOUR", "THREADS"))
    assert "hush" not in message


def test_variables_of_others_and_of_the_scripts_mean_nothing() -> None:
    others = {"HOME": "/root", "PORT": "1", "wadebook_port": "x"} | dict.fromkeys(SCRIPT_VARIABLES, "x")
    assert read_settings(others) == Settings()


def test_every_variable_of_the_scripts_and_of_the_tests_is_a_setting_or_a_script_variable() -> None:
    files = [*PROJECT.glob("deploy/*.sh"), *PROJECT.glob("tests/*.py")]
    used = {name for file in files for name in re.findall(r"WADEBOOK_[A-Z_]*[A-Z]", file.read_text("utf-8"))}
    assert used
    assert used - SCRIPT_VARIABLES - {PREFIX + name.upper() for name in Settings.model_fields} == set()


def test_a_command_with_a_wrong_setting_does_nothing_and_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WADEBOOK_DATABSE_URL", "sqlite:///typo.db")
    assert main(["migrate"]) == 1
    assert "WADEBOOK_DATABSE_URL" in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
