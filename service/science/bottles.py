"""Two closed bottles of one sample: what is measured to learn how much oxygen the life in it uses up."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Bottles:
    """Oxygen of the bottle opened at once and of that opened last [mg/L], hours between, degrees kept [degC].

    ``sample_share`` is the share of the bottle that was sample and not dilution water, above 0 up to 1.
    """

    first_mg_per_l: float
    last_mg_per_l: float
    hours: float
    temperature_c: float
    sample_share: float = 1.0
