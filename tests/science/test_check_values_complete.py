"""Every check value of the full list, by the function of the service that gives it.

The list is not part of this project; where it lies beside it, no row of it may be left out. Its values stand
in ``check_values/`` too, with their sources.
"""

import csv
import json
import math
from collections.abc import Callable
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest

from service.science import ammonia, discharge, oxygen_demand, oxygen_saturation
from service.science.bacteria import geometric_mean_at_limits, geometric_mean_model
from service.science.barometric_pressure import pressure_from_elevation, station_pressure_from_sea_level
from service.science.bathing_criteria import CRITERIA
from service.science.ccme_index import ccme_index
from service.science.conductance import specific_conductance
from service.science.gauging import Bottom, Vertical
from service.science.hardness import hardness
from service.science.mean_ph import mean_ph
from service.science.transparency_tube import depth_estimate, turbidity_estimate
from service.science.types import Censoring
from service.science.units import convert
from tests.science.ccme_series import example
from tests.science.check_table import numbers
from tests.science.qa.limits import CATALOGUE

LIST = Path(__file__).resolve().parents[3] / "shared" / "reference" / "water-chemistry-check-values.csv"
DEEPEST_CONVERTED_CM = 84.0
FOOT_M = 0.3048  # by definition
Inputs = dict[str, Any]


def listed() -> list[Any]:
    if not LIST.exists():
        return [pytest.param({}, marks=pytest.mark.skip(reason=f"the full list is not here: {LIST.name}"))]
    with LIST.open(encoding="utf-8", newline="") as file:
        return [pytest.param(row, id=row["id"]) for row in csv.DictReader(file)]


def atmospheres(inputs: Inputs) -> float:
    if "elev_m" in inputs:
        return pressure_from_elevation(inputs["elev_m"])
    for unit in ("atm", "mmhg", "hpa"):
        if f"pressure_{unit}" in inputs:
            return convert(inputs[f"pressure_{unit}"], {"mmhg": "mmHg", "hpa": "hPa"}.get(unit, unit), "atm")
    raise AssertionError(f"no pressure in {inputs}")


def at(inputs: Inputs) -> tuple[float, float]:
    return inputs["temp_c"], inputs["sc_uScm"]


def as_unit(name: str, start: str, end: str) -> Callable[[Inputs], float]:
    return lambda inputs: convert(inputs[name], start, end)


def tube(inputs: Inputs) -> float:
    # Beyond 84 cm only a full tube is converted, and then as "less than".
    full = Censoring.ABOVE if inputs["cm"] > DEEPEST_CONVERTED_CM else None
    return turbidity_estimate(inputs["cm"], full).value


def counts(inputs: Inputs) -> list[tuple[float, Censoring | None]]:
    written = [str(count) for count in inputs["counts"]]
    return [(float(text.lstrip("<>")), Censoring(text[0]) if text[0] in "<>" else None) for text in written]


def half_the_limit_is_refused(inputs: Inputs) -> float:
    """Return what half the limit would give, after seeing that nothing of ours gives it."""
    found = counts(inputs)
    half = [(value / 2 if side is Censoring.BELOW else value, side) for value, side in found]
    wrong = math.exp(math.fsum(math.log(value) for value, _ in half) / len(half))
    model = geometric_mean_model(found)
    assert model is not None
    for ours in (geometric_mean_at_limits(found).value, model.value):
        assert abs(ours - wrong) > 1
    return wrong


def modelled(inputs: Inputs) -> float:
    model = geometric_mean_model(counts(inputs))
    assert model is not None
    return model.value


def ninetieth_percentile(inputs: Inputs) -> float:
    """Return the percentile that stands, rounded, in our criterion as its threshold."""
    (criterion,) = [one for one in CRITERIA if one.geometric_mean == inputs["gm"]]
    found = criterion.geometric_mean * 10 ** (inputs["log10_sd"] * NormalDist().inv_cdf(inputs["p"]))
    assert round(found) == criterion.threshold
    return found


def floats(inputs: Inputs) -> float:
    (bottom,) = [one for one in Bottom if discharge.BOTTOM_FACTOR[one] == inputs["coef"]]
    area_m2, length_m = inputs["area_ft2"] * FOOT_M**2, inputs["length_ft"] * FOOT_M
    return discharge.float_discharge(area_m2, length_m, inputs["times_s"], bottom)


def mid_section(_: Inputs) -> float:
    return sum(discharge.mid_section_flows([Vertical(*row[:3]) for row in numbers("mid_section")]))


def ccme(inputs: Inputs) -> float:
    names = {"water_temp_c": "water_temperature", "nitrate_n_mgl": "nitrate"}
    objectives = {names[name]: limit for name, limit in inputs.get("override", {}).items()}
    value = ccme_index(example(**objectives), "a year", CATALOGUE.definitions["ccme"], 1).value
    assert value is not None
    return value


FUNCTIONS: dict[str, Callable[[Inputs], float]] = {
    "do_saturation": lambda i: oxygen_saturation.oxygen_at_saturation(
        i["temp_c"], atmospheres(i), i["sc_uScm"]
    ),
    "do_salinity_factor": lambda i: oxygen_saturation.salinity_factor(*at(i)),
    "salinity_from_sc": lambda i: oxygen_saturation.salinity_from_conductance(i["sc_uScm"]),
    "vapour_pressure_term": lambda i: oxygen_saturation.vapour_pressure(i["temp_c"]),
    "theta": lambda i: oxygen_saturation.second_virial_term(i["temp_c"]),
    "do_pressure_factor": lambda i: oxygen_saturation.pressure_factor(i["temp_c"], atmospheres(i)),
    "do_percent": lambda i: oxygen_saturation.percent_saturation(
        i["do_mgl"], i["temp_c"], atmospheres(i), i["sc_uScm"]
    ),
    "pressure_from_elevation": lambda i: convert(pressure_from_elevation(i["elev_m"]), "atm", "kPa"),
    "station_pressure_from_sea_level": lambda i: station_pressure_from_sea_level(i["slp_hpa"], i["elev_m"]),
    "f_to_c": as_unit("f", "degF", "degC"),
    "ph_mean_hydrogen": lambda i: mean_ph(i["ph"]),
    "tube_cm_to_ntu_estimate": tube,
    "ntu_to_tube_cm": lambda i: depth_estimate(i["ntu"]).value,
    "n_to_no3": as_unit("mgl_as_n", "mg/L as N", "mg/L as NO3"),
    "n_to_no2": as_unit("mgl_as_n", "mg/L as N", "mg/L as NO2"),
    "n_to_nh3": as_unit("mgl_as_n", "mg/L as N", "mg/L as NH3"),
    "n_to_nh4": as_unit("mgl_as_n", "mg/L as N", "mg/L as NH4"),
    "p_to_po4": as_unit("mgl_as_p", "mg/L as P", "mg/L as PO4"),
    "no3_to_n": as_unit("mgl_as_no3", "mg/L as NO3", "mg/L as N"),
    "unionised_fraction": lambda i: ammonia.unionised_fraction(i["ph"], i["temp_c"]),
    "ammonia_ccc_2013": lambda i: ammonia.chronic_criterion(i["ph"], i["temp_c"]),
    "ammonia_cmc_2013_salmonid": lambda i: ammonia.acute_criterion(i["ph"], i["temp_c"], salmonids=True),
    "ammonia_cmc_2013_no_salmonid": lambda i: ammonia.acute_criterion(i["ph"], i["temp_c"], salmonids=False),
    "specific_conductance_25": lambda i: specific_conductance(i["uScm"], i["temp_c"], i["alpha"]),
    "caco3_to_meq": as_unit("mgl", "mg/L as CaCO3", "meq/L"),
    "caco3_to_grains_us_gal": as_unit("mgl", "mg/L as CaCO3", "gpg"),
    "caco3_to_german_degree": as_unit("mgl", "mg/L as CaCO3", "dKH"),
    "hardness_from_ca_mg": lambda i: hardness(i["ca_mgl"], i["mg_mgl"]),
    "lognormal_quantile": ninetieth_percentile,
    "geometric_mean": lambda i: geometric_mean_at_limits(counts(i)).value,
    "geometric_mean_at_limits": lambda i: geometric_mean_at_limits(counts(i)).value,
    "geometric_mean_half_lod": half_the_limit_is_refused,
    "geometric_mean_censored_mle": modelled,
    "bod5_diluted": lambda i: oxygen_demand.oxygen_demand(i["d1"], i["d2"], i["fraction"]),
    "bod5_undiluted": lambda i: oxygen_demand.oxygen_demand(i["d1"], i["d2"]),
    "float_discharge": lambda i: convert(floats(i), "m3/s", "ft3/s"),
    "float_discharge_si": floats,
    "midsection_discharge": mid_section,
    "ccme_wqi": ccme,
}


@pytest.mark.parametrize("row", listed())
def test_a_function_of_the_service_gives_the_value(row: dict[str, str]) -> None:
    found = FUNCTIONS[row["quantity"]](json.loads(row["inputs_json"]))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["abs_tolerance"]), rel=0)


@pytest.mark.skipif(not LIST.exists(), reason="the full list is not here")
def test_the_list_has_all_its_rows() -> None:
    rows = [parameter.values[0] for parameter in listed()]
    assert len(rows) == 102
    assert {row["quantity"] for row in rows} == set(FUNCTIONS)
