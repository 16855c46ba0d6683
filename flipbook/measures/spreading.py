"""The one spreading function: a sum shared out to the cent, nothing lost and nothing made."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import lcm

from flipbook.measures.rounding import from_steps, to_steps


def spread(total: Decimal, weights: Sequence[Fraction | Decimal | int]) -> tuple[Decimal, ...]:
    """`total`, in cents, shared out in proportion to `weights`.

    Each share is rounded down, then the cents left over go one each to the largest remainders, a
    tie to the earlier. The shares always sum to `total`. When all weights are nothing the shares
    are equal. Raises ValueError for a negative total or weight, or when there are no weights.
    """
    if len(weights) == 1 and weights[0] >= 0 and total >= 0:
        return (from_steps(to_steps(total)),)
    ratios = [weight.as_integer_ratio() for weight in weights]
    if not ratios or any(top < 0 for top, _ in ratios) or total < 0:
        raise ValueError("only a sum that is not negative is spread, over weights that are not negative")
    scale = lcm(*(bottom for _, bottom in ratios))
    parts = [top * (scale // bottom) for top, bottom in ratios]
    whole = sum(parts)
    if whole == 0:
        parts, whole = [1] * len(parts), len(parts)
    cents = to_steps(total)
    shares = [cents * part // whole for part in parts]
    left_over = cents - sum(shares)
    by_remainder = sorted(range(len(parts)), key=lambda place: -(cents * parts[place] % whole))
    for place in by_remainder[:left_over]:
        shares[place] += 1
    return tuple(from_steps(share) for share in shares)
