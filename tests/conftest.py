"""For every test: how hypothesis searches. No deadline (machines are busy); in CI the same examples each time."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

settings.register_profile("shop", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", parent=settings.get_profile("shop"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "shop")
