"""The words of `flipbook sums`: the page of help of each sum, and what may follow it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from dataclasses import dataclass

_END = """
  --piece PIECE    the piece it is for: any part of its folder's name or title
  --jot            writes it into that piece's file, {jot}
  --json           the answer for a program
"""

MIX = """\
flipbook sums mix PARTS... --makes AMOUNT | --have AMOUNT | --area AREA
                  [--coats N] [--covers COVERAGE] [--waste PERCENT]
                  [--by-weight] [--piece PIECE] [--did WORDS] [--on DAY]
                  [--jot] [--json]
flipbook sums mix --like PIECE [WORDS...] [--makes AMOUNT] ...

How much of each part goes into a mix; or, from amounts, how many parts it was.
Each part is named, water too: which of `1:2` is the water is never guessed.

  flipbook sums mix fog grey paint 1, water 2 --makes "12 fl oz"
  flipbook sums mix "1:2 grey paint to water" --have "5 fl oz grey paint"
  flipbook sums mix fog grey paint, thinned 10% --makes "1 pint"
  flipbook sums mix fog grey paint 4 fl oz, water 8 fl oz
  flipbook sums mix --like washstand second wash --makes "20 fl oz"

  --makes AMOUNT   how much to make: fl oz, cup, pint, quart, gallon, ml, l
  --have AMOUNT    how much there is of one part, by its name
  --area AREA      what it has to cover, as "20 sq ft", in --coats N coats
  --covers COVERAGE  how far it goes in one coat, as "75 sq ft per pint"; left
                   out, as products.yaml or its kind has it
  --waste PERCENT  on top of that; left out, 10%
  --by-weight      parts by weight, for what goes on a scale
  --like PIECE     the last mix of a piece, or its last whose step holds WORDS;
                   with --piece and no parts, that piece's own
  --did WORDS      what was done with it, for the log
  --on DAY         the day, for the log; left out, today
""" + _END.format(jot="as a step of today")

COATS = """\
flipbook sums coats [PARTS...] [--size SIZE] [--product NAME] [--coats N]
                    [--covers COVERAGE] [--waste PERCENT]
                    [--spray-loss PERCENT] [--sold-in AMOUNT]
                    [--piece PIECE] [--jot] [--json]

How large a piece is to the brush, how much of a product its coats take, and
what to buy beside what is on the shelf. PARTS left out are top, sides, front.

  flipbook sums coats --piece washstand --product "fog grey paint" --coats 2
  flipbook sums coats all, no underside --size "34 x 19 x 30 1/2 in"
  flipbook sums coats sides, drawers 4 at 28 x 14 x 5 in --piece washstand
  flipbook sums coats doors 2 at 15 x 24 in both faces, legs 4 at 2 x 2 x 9 in

  top sides side front back underside    from the size of the piece
  drawers N at W x D x H                 their insides
  shelves, doors, boards N at A x B      one face; with `both faces`, two
  legs N at A x B x H, round legs N at D x H, round tops N at D
  panelled front                         a face with a fifth more
  no front                               leaves one out

  --size SIZE      width, depth, height; left out, the piece's own
  --product NAME   what is put on, as the shelf has it
  --coats N        how many; left out, one. A coverage is of one coat.
  --covers COVERAGE  as "75 sq ft per pint"; left out, as products.yaml has it,
                   else as is usual for its kind
  --waste PERCENT  on top; left out, 10%
  --spray-loss PERCENT  what a gun loses; it divides, and no waste is added
  --sold-in AMOUNT the container that it is sold in, as "1 quart"
""" + _END.format(jot="a\n                   `planned:` step for each coat, with what it takes")

TRIM = """\
flipbook sums trim FRONTS... --width LENGTH [--measured WHERE] [--kerf LENGTH]
                   [--set-in LENGTH] [--lap LENGTH] [--stick LENGTH]
                   [--offcut LENGTH]... [--piece PIECE] [--size SIZE]
                   [--jot] [--json]
flipbook sums trim --sides N --side LENGTH --width LENGTH ...

The cut list of mitred trim round fronts, and how it lies in sticks.

  flipbook sums trim 4 at 12 x 6 in, 15 x 24 in --width "1 in" --stick "8 ft"
  flipbook sums trim --sides 6 --side "10 in" --width 1x2

FRONTS are width by height; front, side, top, back are the piece's own.

  --width LENGTH   how wide the trim is, or its nominal size, as 1x4
  --measured WHERE outside (left out), inside, middle, or panel: which edge of
                   the trim the sizes are of
  --kerf LENGTH    what the saw takes; left out, 1/8 in
  --set-in LENGTH  how far inside the edge the frame lies
  --lap LENGTH     how far its rabbet laps a panel
  --stick LENGTH   the length that is bought
  --offcut LENGTH  what is on the shelf; again for another
  --sides N        a frame of N sides, each --side long
""" + _END.format(jot="as `planned:`")

PANELS = """\
flipbook sums panels PIECE-SIZE --roll WIDTH | --sheet SIZE [--count N]
                     [--margin LENGTH] [--one-way] [--repeat LENGTH]
                     [--repeat-across LENGTH] [--sold-by LENGTH] [--svg FILE]
                     [--piece PIECE] [--size SIZE] [--jot] [--json]

How pieces of fabric, cane, paper or veneer lie on a roll or a sheet.

  flipbook sums panels 6 at 18 x 20 in --roll "54 in" --sold-by "1 yd"
  flipbook sums panels back --piece bookcase --roll "21 in" --svg back.svg
  flipbook sums panels 6 x 8 in --sheet "24 x 48 in" --count 20

  --roll WIDTH     the width of a roll; or --sheet "24 x 48 in"
  --count N        how many; or say it as `6 at 18 x 20 in`
  --margin LENGTH  on every side, for a seam or a trim
  --one-way        a pattern or a grain that keeps its direction
  --repeat LENGTH  how often a pattern comes again, down the roll
  --repeat-across LENGTH  the same across it
  --sold-by LENGTH the step in which a roll is sold, as "1 yd"
  --svg FILE       a drawing of how they lie
""" + _END.format(jot="as `planned:`")

HOLES = """\
flipbook sums holes FRONTS... --pull LENGTH | --knob [--each N] [--spread WAY]
                    [--from-top LENGTH] [--one-axis] [--overall LENGTH]
                    [--hole LENGTH] [--as-measured] [--template FILE]
                    [--paper NAME] [--piece PIECE] [--size SIZE]
                    [--jot] [--json]

Where the holes of pulls and knobs go: from the left and the top of each front.

  flipbook sums holes 3 at 30 x 8 in, 14 x 6 in --pull "3-3/4 in" --each 2
  flipbook sums holes 14 x 6 in --knob --template knob.svg

FRONTS are width by height; front, side, top, back are the piece's own.

  --pull LENGTH    from hole to hole, by its label: "96 mm", "3-3/4 in"
  --as-measured    the label is true: it was measured on the pull
  --knob           one hole
  --each N         pulls on a front, 1 or 2
  --spread WAY     two of them: quarters (left out), sixths, thirds, or a length
                   from each end
  --one-axis       all fronts follow the widest, so that pulls line up
  --from-top LENGTH  how far below the top edge; left out, at mid height
  --overall LENGTH the pull from end to end, to see whether it fits
  --hole LENGTH    the hole; left out, 3/16 in
  --template FILE  a drilling template at true size, an .svg to print
  --paper NAME     letter (left out), legal, tabloid, a4, a3
""" + _END.format(jot="as `planned:`")

GRITS = """\
flipbook sums grits [GRITS...] [--for PURPOSE] [--series NAME] [--veneer]
                    [--piece PIECE] [--did WORDS] [--jot] [--json]

A ladder of grits, compared by the size of their grains: from one to another, a
list weighed, the usual one for a purpose, or the one in a piece's log.

  flipbook sums grits 80 to 220
  flipbook sums grits 80, 120, 220
  flipbook sums grits --for stain
  flipbook sums grits --piece washstand

P320 and 320 are two papers: the P series is FEPA's, a number alone the US one
(CAMI). Past 220 say which.

  --for PURPOSE    strip, paint, stain, "softwood stain", scuff, "raised grain",
                   "between paint coats", "between clear coats", wax
  --series NAME    P or CAMI, for numbers without a letter
  --veneer         it is veneered; a piece's `wood` says so too
  --did WORDS      what is to be done, for the plan
""" + _END.format(jot="as `planned:`")

DRYING = """\
flipbook sums drying [STEPS...] [--begin DAY] [--hours HOURS]
                     [--temperature T] [--humidity PERCENT] [--calendar FILE]
                     [--piece PIECE] [--jot] [--json]

A timetable: when each step may be begun, and when the piece may be sanded,
lightly used, and is hard. Without STEPS, of what the piece has planned; where
nothing is, of the coat that is on it.

  flipbook sums drying 2 coats fog grey paint, 3 coats satin clear coat
  flipbook sums drying --piece bookcase --calendar bookcase.ics

A step's `dries` counts first, then the label (products.yaml), then what is
usual for its kind, the longer end of it.

  --begin DAY      today, tomorrow, "in 3 d", 2026-03-20, "2026-03-20 9:00";
                   left out, now, or when the last coat is dry
  --hours HOURS    when work is begun; left out, 8:00-20:00
  --temperature T  of the shop, as "55 F" or "12 C"
  --humidity PERCENT  of the shop; both are noted, and shorten nothing
  --calendar FILE  the timetable as an .ics file
""" + _END.format(jot="the\n                   STEPS as `planned:`, with their drying times")

MOVEMENT = """\
flipbook sums movement [WOOD...] --from MOISTURE --to MOISTURE
                       [--width LENGTH] [--quartersawn]
                       [--piece PIECE] [--size SIZE] [--jot] [--json]

How much solid wood swells or shrinks across its grain.

  flipbook sums movement red oak --width "18 in" --from 6% --to 11%
  flipbook sums movement --piece washstand --from "70 F 30%" --to "75 F 70%"

WOOD is a wood of the Wood Handbook; left out, the piece's. A width left out is
the depth of the piece.

  --from, --to     a moisture of the wood, or the air it settles in
  --width LENGTH   across the grain
  --quartersawn    left out, it is flatsawn, which moves more
""" + _END.format(jot="as `planned:`")

FASTENERS = """\
flipbook sums fasteners --part LENGTH --behind LENGTH [--gauge N]
flipbook sums fasteners --screw N [--wood hardwood|softwood]

The nail that holds and does not come through; or the holes for a wood screw.

  flipbook sums fasteners --part "3/8 in" --behind "3/4 in" --gauge 18
  flipbook sums fasteners --screw 8 --wood softwood

  --part LENGTH    how thick the part is that is fixed
  --behind LENGTH  how thick that is which it is fixed to
  --gauge N        15, 16, 18 (left out) or 23
  --screw N        the number of a wood screw
  --wood KIND      hardwood (left out) or softwood
""" + _END.format(jot="as `planned:`")

CAUTIONS = """\
flipbook sums cautions [--piece PIECE] [--json]

What a piece's age, kind and steps call for caution about, what to do, and whose
word that is. Without a piece, all cautions that are known here.

  flipbook sums cautions --piece bookcase

`flipbook check` and `compile` warn of each until the piece's file says that it
was seen to: `seen to: [lead paint, oily rags]`. None of it makes a thing safe.

  --piece PIECE    the piece: any part of its folder's name or title
  --json           the answer for a program
"""


@dataclass(frozen=True, kw_only=True, slots=True)
class Sum:
    """A sum: its page, the module and the function that answer it, and its own words."""

    page: str
    module: str
    function: str
    take_words: Callable[[argparse.ArgumentParser], None]


def _valued(*names: str) -> Callable[[argparse.ArgumentParser], None]:
    """What takes options with a value each; WORDS is all that stands without one, and `--name?` is a mere yes."""

    def take(parser: argparse.ArgumentParser) -> None:
        for name in names:
            option, _, metavar = name.partition(" ")
            if option == "WORDS":
                parser.add_argument("words", nargs="*", metavar=metavar or "WORDS")
            elif option.endswith("?"):
                parser.add_argument(option.rstrip("?"), action="store_true")
            elif option.endswith("+"):
                parser.add_argument(option.rstrip("+"), action="append", default=[], metavar=metavar)
            else:
                _add(parser, option, metavar)

    return take


_NAMED = {"--for": "purpose", "--from": "now", "--to": "then"}


def _add(parser: argparse.ArgumentParser, option: str, metavar: str) -> None:
    if option in _NAMED:
        parser.add_argument(option, dest=_NAMED[option], metavar=metavar)
    else:
        parser.add_argument(option, metavar=metavar)


SUMS = {
    "mix": Sum(
        page=MIX,
        module="flipbook.sums.asked_coatings",
        function="mix",
        take_words=_valued(
            "WORDS MIX", "--makes AMOUNT", "--have USE", "--area AREA", "--coats N", "--covers COVERAGE",
            "--waste PERCENT", "--by-weight?", "--like PAST", "--did WORDS", "--on DAY",
        ),
    ),
    "coats": Sum(
        page=COATS,
        module="flipbook.sums.asked_coatings",
        function="coats",
        take_words=_valued(
            "WORDS PARTS", "--size SIZE", "--product WHAT", "--coats N", "--covers COVERAGE", "--waste PERCENT",
            "--spray-loss PERCENT", "--sold-in AMOUNT",
        ),
    ),
    "grits": Sum(
        page=GRITS,
        module="flipbook.sums.asked_grits",
        function="grits",
        take_words=_valued("WORDS GRITS", "--for PURPOSE", "--series NAME", "--veneer?", "--did WORDS"),
    ),
    "drying": Sum(
        page=DRYING,
        module="flipbook.sums.asked_drying",
        function="drying",
        take_words=_valued(
            "WORDS WHAT", "--begin DAY", "--hours HOURS", "--temperature T", "--humidity PERCENT", "--calendar FILE"
        ),
    ),
    "trim": Sum(
        page=TRIM,
        module="flipbook.sums.asked_lengths",
        function="trim",
        take_words=_valued(
            "WORDS FRONTS", "--width LENGTH", "--measured WHERE", "--kerf LENGTH", "--set-in LENGTH", "--lap LENGTH",
            "--stick LENGTH", "--offcut+ LENGTH", "--sides N", "--side LENGTH", "--size SIZE",
        ),
    ),
    "panels": Sum(
        page=PANELS,
        module="flipbook.sums.asked_lengths",
        function="panels",
        take_words=_valued(
            "WORDS PIECE-SIZE", "--roll WIDTH", "--sheet SIZE", "--count N", "--margin LENGTH", "--one-way?",
            "--repeat LENGTH", "--repeat-across LENGTH", "--sold-by LENGTH", "--svg FILE", "--size SIZE",
        ),
    ),
    "holes": Sum(
        page=HOLES,
        module="flipbook.sums.asked_lengths",
        function="holes",
        take_words=_valued(
            "WORDS FRONTS", "--pull LENGTH", "--knob?", "--each N", "--spread WAY", "--from-top LENGTH", "--one-axis?",
            "--overall LENGTH", "--hole LENGTH", "--as-measured?", "--template FILE", "--paper NAME", "--size SIZE",
        ),
    ),
    "movement": Sum(
        page=MOVEMENT,
        module="flipbook.sums.asked_wood",
        function="wood_movement",
        take_words=_valued(
            "WORDS WOOD", "--from MOISTURE", "--to MOISTURE", "--width LENGTH", "--quartersawn?", "--size SIZE"
        ),
    ),
    "fasteners": Sum(
        page=FASTENERS,
        module="flipbook.sums.asked_wood",
        function="fasteners",
        take_words=_valued("--part LENGTH", "--behind LENGTH", "--gauge N", "--screw N", "--wood KIND"),
    ),
    "cautions": Sum(page=CAUTIONS, module="flipbook.sums.asked_drying", function="cautions", take_words=_valued()),
}  # fmt: skip
"""Every sum, by its name."""
