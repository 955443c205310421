"""The settings of one running service, read once from ``WADEBOOK_…`` environment variables."""

from collections.abc import Mapping
from typing import Annotated, Literal
from urllib.parse import urlsplit

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from service.core.errors import SettingsError
from service.core.rates import Rates

PREFIX = "WADEBOOK_"
IN_MEMORY = ":memory:"
NOBODY_SET = "ask your coordinator whom to call: this network has not set it"
# Variables of the shell scripts around the service; they may be set, and mean nothing to it.
SCRIPT_VARIABLES = frozenset(
    {"WADEBOOK_PYTHON", "WADEBOOK_TEST_POSTGRES_URL", "WADEBOOK_TEST_FSYNC", "WADEBOOK_DEMO_STOP"}
)


class Settings(BaseModel):
    """Everything a network may set. Each field is the environment variable ``WADEBOOK_<NAME>``."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    database_url: str = Field(
        "sqlite:///wadebook.db",
        pattern=r"^(sqlite:///|postgresql(\+psycopg)?://)",
        description="SQLAlchemy address of the database: SQLite or PostgreSQL.",
    )
    host: str = Field("127.0.0.1", description="Address that `wadebook serve` listens on.")
    port: Annotated[int, Field(ge=0, le=65535)] = Field(8000, description="Port that it listens on.")
    public_url: str = Field(
        "",
        pattern=r"^(https?://[^/?#\s]+(/[^?#\s]*)?)?$",
        description="How the world reaches the service, with the path of a proxy if it has one, such as "
        "https://example.org/streams, for links in answers; empty: as the request came.",
    )
    network_name: str = Field("Stream network", description="Name of the network, shown in the docs.")
    licence_url: str = Field(
        "https://creativecommons.org/licenses/by/4.0/",
        pattern=r"^https?://\S+$",
        description="Address of the licence under which the network publishes its data.",
    )
    attribution: str = Field(
        "", description="Whom those who use the data are to name; empty: the network by its name."
    )
    watershed_scheme: Literal["huc", "pfafstetter"] = Field(
        "huc", description="Scheme of a watershed code that is given without one: huc or pfafstetter."
    )
    public_read: bool = Field(True, description="Released data may be read without a key.")
    release_suspect: bool = Field(
        False, description="Visits with suspect readings are released at once, their scores provisional."
    )
    who_to_call: str = Field(
        "", description="Whom a school calls about an alert, with the number; said with every alert."
    )
    reference_visits_min: Annotated[int, Field(ge=4)] = Field(
        10, description="Fewest reference visits that an index of the network's own is made from."
    )
    reference_sites_min: Annotated[int, Field(ge=1)] = Field(
        3, description="Fewest sites that these visits come from."
    )
    notes_kept_days: Annotated[int, Field(ge=0, le=36_500)] = Field(
        0, description="Days after which `wadebook purge` removes the notes of visits; 0: never."
    )
    places_kept_days: Annotated[int, Field(ge=0, le=36_500)] = Field(
        0, description="Days after which it removes where a device stood; 0: never."
    )
    max_body_bytes: Annotated[int, Field(ge=1024)] = Field(
        1_048_576, description="Largest request body in bytes."
    )
    max_upload_bytes: Annotated[int, Field(ge=1024)] = Field(
        20 * 1_048_576, description="Largest file in bytes that is taken in at /v1/imports."
    )
    threads: Annotated[int, Field(ge=1, le=200)] = Field(
        20, description="Requests worked on at once; the database pool has as many connections."
    )
    workers: Annotated[int, Field(ge=1, le=64)] = Field(
        1, description="Processes of `wadebook serve`; more than one needs PostgreSQL."
    )
    receive_timeout_s: Annotated[float, Field(gt=0)] = Field(
        30, description="Longest time in seconds in which the body of a request must have come."
    )
    rate_per_key: Annotated[int, Field(ge=0)] = Field(
        6000, description="Requests a minute of one key; 0: no limit."
    )
    rate_per_address: Annotated[int, Field(ge=0)] = Field(
        1200, description="Requests a minute of one address without a key; 0: no limit."
    )
    failed_keys_per_address: Annotated[int, Field(ge=0)] = Field(
        20, description="Wrong keys a minute of one address, so that none can be guessed; 0: no limit."
    )
    rate_file: str = Field(
        IN_MEMORY,
        description="File in which workers share the counts of requests; `wadebook serve` makes one.",
    )
    metrics_public: bool = Field(
        False, description="`/metrics` may be read without a key, where only the operator reaches it."
    )
    proxy: str = Field(
        "", description="Address of the reverse proxy whose word on the caller's address is believed."
    )
    log_level: Literal["debug", "info", "warning", "error"] = Field(
        "info", description="Least weight of what is logged."
    )
    kept_answers_mib: Annotated[int, Field(ge=0, le=4096)] = Field(
        32, description="Room in MiB of each worker for answers that are asked for again; 0: none is kept."
    )
    statement_timeout_s: Annotated[int, Field(ge=1)] = Field(
        30, description="Longest time in seconds for one database statement or lock."
    )
    key: str = Field("", description="Key that `wadebook demo --url` sends; the service does not use it.")

    @property
    def rates(self) -> Rates:
        """How many requests a minute a caller may send."""
        return Rates(self.rate_per_key, self.rate_per_address, self.failed_keys_per_address)

    @property
    def public_prefix(self) -> str:
        """The path under which a reverse proxy shows the service; empty at the root."""
        return urlsplit(self.public_url).path.rstrip("/")

    @property
    def attributed_to(self) -> str:
        """Whom those who use the data are to name."""
        return self.attribution or self.network_name

    @property
    def whom_to_call(self) -> str:
        """Whom to call about an alert, or what to do where the network has not said it."""
        return self.who_to_call or NOBODY_SET


def read_settings(environment: Mapping[str, str]) -> Settings:
    """Read the settings from the environment.

    Raises
    ------
    SettingsError
        A ``WADEBOOK_`` variable is unknown or has a bad value; the message names each.
    """
    given = {
        name.removeprefix(PREFIX).lower(): value
        for name, value in environment.items()
        if name.startswith(PREFIX) and name not in SCRIPT_VARIABLES
    }
    try:
        return Settings.model_validate(given)
    except ValidationError as error:
        lines = []
        for problem in error.errors(include_input=False, include_url=False):
            name = PREFIX + str(problem["loc"][0]).upper()
            known = ", ".join(PREFIX + field.upper() for field in Settings.model_fields)
            told = (
                f"is not a setting; known are {known}"
                if problem["type"] == "extra_forbidden"
                else problem["msg"]
            )
            lines.append(f"{name}: {told}")
        raise SettingsError("; ".join(lines)) from None
