"""How often a property is tried: a few fixed examples at each run, many fresh ones with --long."""

import sys

from hypothesis import HealthCheck, settings

IS_LONG = "--long" in sys.argv


def often(few: int, many: int | None = None) -> settings:
    return settings(
        max_examples=(many or few * 20) if IS_LONG else few, derandomize=not IS_LONG, deadline=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )  # fmt: skip
