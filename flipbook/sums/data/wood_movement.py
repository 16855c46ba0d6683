"""How much woods move across the grain.

Dimensional change coefficients for moisture contents from 6% to 14%: the change of a width, as a share of it, for
each percent of moisture; radial for quartersawn width, tangential for flatsawn.

Source: USDA Forest Products Laboratory, Wood Handbook, Table 13-5 (FPL-GTR-190, seen in a stored copy; FPL-GTR-282
keeps it), but for the rows that say otherwise. Rows `by shrinkage` are worked from the green-to-ovendry shrinkage S of
Table 4-3 (seen) as 1 / (3000/S - 20), which gives the rows of Table 13-5 to within one in the last place (but for green
ash, which has white ash's there). Rows `from memory` are from memory of Table 13-5 and want looking up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

TABLE: Final = "Wood Handbook, Table 13-5"
BY_SHRINKAGE: Final = "worked from the shrinkage of Wood Handbook, Table 4-3"
FROM_MEMORY: Final = "from memory of Wood Handbook, Table 13-5"


@dataclass(frozen=True, slots=True)
class Coefficients:
    """The share of a width that one percent of moisture changes it by, and where the figures are from."""

    radial: Fraction
    tangential: Fraction
    source: str


def _rows(table: str, source: str) -> dict[str, Coefficients]:
    rows = (line.rsplit(maxsplit=2) for line in table.strip().splitlines())
    return {
        name.strip(): Coefficients(Fraction(radial), Fraction(tangential), source) for name, radial, tangential in rows
    }


COEFFICIENTS: Final[dict[str, Coefficients]] = {
    **_rows(
        """
        red alder              0.00151 0.00256
        apple                  0.00205 0.00376
        black ash              0.00172 0.00274
        Oregon ash             0.00141 0.00285
        white ash              0.00169 0.00274
        green ash              0.00169 0.00274
        quaking aspen          0.00119 0.00234
        American basswood      0.00230 0.00330
        American beech         0.00190 0.00431
        paper birch            0.00219 0.00304
        river birch            0.00162 0.00327
        sweet birch            0.00256 0.00338
        yellow birch           0.00256 0.00338
        yellow buckeye         0.00123 0.00285
        butternut              0.00116 0.00223
        northern catalpa       0.00085 0.00169
        black cherry           0.00126 0.00248
        American chestnut      0.00116 0.00234
        black cottonwood       0.00123 0.00304
        eastern cottonwood     0.00133 0.00327
        American elm           0.00144 0.00338
        rock elm               0.00165 0.00285
        slippery elm           0.00169 0.00315
        hackberry              0.00165 0.00315
        pecan hickory          0.00169 0.00315
        honeylocust            0.00144 0.00230
        black locust           0.00158 0.00252
        southern magnolia      0.00187 0.00230
        bigleaf maple          0.00126 0.00248
        black maple            0.00165 0.00353
        red maple              0.00137 0.00289
        silver maple           0.00102 0.00252
        sugar maple            0.00165 0.00353
        black oak              0.00123 0.00230
        red oak                0.00158 0.00369
        white oak              0.00180 0.00365
        live oak               0.00230 0.00338
        common persimmon       0.00278 0.00403
        sassafras              0.00137 0.00216
        sweetgum               0.00183 0.00365
        American sycamore      0.00172 0.00296
        tanoak                 0.00169 0.00423
        black tupelo           0.00176 0.00308
        water tupelo           0.00144 0.00267
        black walnut           0.00190 0.00274
        """,
        TABLE,
    ),
    **_rows(
        """
        yellow-poplar          0.00158 0.00289
        yellow cedar           0.00095 0.00208
        eastern redcedar       0.00106 0.00162
        incense cedar          0.00112 0.00180
        Port-Orford-cedar      0.00158 0.00241
        coast Douglas-fir      0.00165 0.00267
        white fir              0.00112 0.00245
        balsam fir             0.00099 0.00241
        noble fir              0.00148 0.00293
        """,
        BY_SHRINKAGE,
    ),
    **_rows(
        """
        eastern white pine     0.00071 0.00212
        ponderosa pine         0.00133 0.00216
        longleaf pine          0.00176 0.00263
        loblolly pine          0.00165 0.00259
        old-growth redwood     0.00120 0.00205
        Sitka spruce           0.00148 0.00263
        mahogany               0.00172 0.00238
        teak                   0.00101 0.00186
        """,
        FROM_MEMORY,
    ),
}
