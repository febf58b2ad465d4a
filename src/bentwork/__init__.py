"""Bentwork: from a few measurements to a bent frame that fits. This file holds the version and costs nothing."""

__version__ = "0.1.0"
