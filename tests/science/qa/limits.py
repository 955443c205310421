"""The real limits of the checks and the real kits, as the service loads them."""

from service.reference.load import load_catalogue

CATALOGUE = load_catalogue()
limits_for = CATALOGUE.limits_for
