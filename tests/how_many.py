"""How many examples a property test tries: few by default, all with `pytest --hypothesis-profile=long`."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

QUICK, LONG = "quick", "long"
for _name, _of_a_hundred in ((QUICK, 25), (LONG, 100)):
    settings.register_profile(_name, max_examples=_of_a_hundred, deadline=None, suppress_health_check=list(HealthCheck))


def examples(many: int) -> int:
    """As many as the profile takes of `many`, which is what the long one tries; a handful at least."""
    return max(5, many * settings.default.max_examples // 100)
