"""Wadebook: the visit register of a network of schools that watch streams."""
