"""Slips of the conductivity meter, which changes from µS/cm to mS/cm by itself."""

from service.science.qa.slips.wrong_unit import wrong_unit

MILLISIEMENS = wrong_unit(
    "millisiemens-as-microsiemens",
    "specific_conductance",
    written="uS/cm",
    meant="mS/cm",
    least=0.01,
    most=5,
    question="Did the meter show mS/cm? Then it would be {would_be}.",
)
MICROSIEMENS = wrong_unit(
    "microsiemens-as-millisiemens",
    "specific_conductance",
    written="mS/cm",
    meant="uS/cm",
    least=20,
    most=20_000,
    question="Did the meter show µS/cm? Then it would be {would_be}.",
)
