"""The words of `flipbook sums`: what may follow each sum, its page of help, and where its answer is made."""

from __future__ import annotations

from flipbook.cli.table import JSON, SHOP, Command, Option, Slot


def _of_any(jot: str) -> tuple[Option, ...]:
    """The options that every sum takes; `jot` says what is written."""
    return (
        Option("--piece PIECE", "the piece it is for: any part of its folder's name or title"),
        Option("--jot", jot),
        JSON,
        SHOP,
    )


_SUMS = (
    Command(
        name="sums mix",
        says="parts to volumes and back; a past mix made larger or smaller",
        words=(Slot("[MIX...]", key="words"),),
        options=(
            Option("--makes AMOUNT", "how much to make: fl oz, cup, pint, quart, gallon, ml, l"),
            Option("--have USE", "how much there is of one part, by its name"),
            Option("--area AREA", 'what it has to cover, as "20 sq ft", in --coats N coats'),
            Option("--coats N"),
            Option(
                "--covers COVERAGE",
                'how far it goes in one coat, as "75 sq ft per pint"; left out, as products.yaml or its kind has it',
            ),
            Option("--waste PERCENT", "on top of that; left out, 10%"),
            Option("--by-weight", "parts by weight, for what goes on a scale"),
            Option(
                "--like PAST",
                "the last mix of a piece, or its last whose step holds WORDS; with --piece and no parts, that piece's own",
            ),
            Option("--did WORDS", "what was done with it, for the log"),
            Option("--on DAY", "the day, for the log; left out, today"),
            *_of_any("writes it into that piece's file, as a step of today"),
        ),
        also=("--like PAST [WORDS...] [--makes AMOUNT] ...",),
        about="""\
How much of each part goes into a mix; or, from amounts, how many parts it was.
Each part is named, water too: which of `1:2` is the water is never guessed.
""",
        examples="""\
  flipbook sums mix black milk paint 3, water 1 --makes "8 fl oz"
  flipbook sums mix "1:2 grey paint to water" --have "5 fl oz grey paint"
  flipbook sums mix black milk paint, thinned 10% --makes "1 pint"
  flipbook sums mix black milk paint 6 fl oz, water 2 fl oz
  flipbook sums mix --like rocker second wash --makes "20 fl oz"
""",
    ),
    Command(
        name="sums coats",
        says="how large a piece is to the brush, and how much paint that takes",
        words=(Slot("[PARTS...]", key="words"),),
        options=(
            Option("--size SIZE", "width, depth, height; left out, the piece's own"),
            Option("--product WHAT", "what is put on, as the shelf has it"),
            Option("--coats N", "how many; left out, one. A coverage is of one coat."),
            Option(
                "--covers COVERAGE",
                'as "75 sq ft per pint"; left out, as products.yaml has it, else as is usual for its kind',
            ),
            Option("--waste PERCENT", "on top; left out, 10%"),
            Option("--spray-loss PERCENT", "what a gun loses; it divides, and no waste is added"),
            Option("--sold-in AMOUNT", 'the container that it is sold in, as "1 quart"'),
            *_of_any("writes it into that piece's file, a `planned:` step for each coat, with what it takes"),
        ),
        about="""\
How large a piece is to the brush, how much of a product its coats take, and
what to buy beside what is on the shelf. PARTS left out are top, sides, front.
""",
        examples="""\
  flipbook sums coats --piece rocker --product "black milk paint" --coats 2
  flipbook sums coats all, no underside --size "22 x 31 x 41 1/2 in"
  flipbook sums coats sides, drawers 4 at 28 x 14 x 5 in --piece dresser
  flipbook sums coats doors 2 at 15 x 24 in both faces, legs 4 at 2 x 2 x 9 in
""",
        after="""\
  top sides side front back underside    from the size of the piece
  drawers N at W x D x H                 their insides
  shelves, doors, boards N at A x B      one face; with `both faces`, two
  legs N at A x B x H, round legs N at D x H, round tops N at D
  panelled front                         a face with a fifth more
  no front                               leaves one out
""",
    ),
    Command(
        name="sums grits",
        says="a ladder of grits, by the size of their grains",
        words=(Slot("[GRITS...]", key="words"),),
        options=(
            Option(
                "--for JOB",
                'strip, paint, stain, "softwood stain", scuff, "raised grain", "between paint coats", "between clear coats", wax',
            ),
            Option("--series NAME", "P or CAMI, for numbers without a letter"),
            Option("--veneer", "it is veneered; a piece's `wood` says so too"),
            Option("--did WORDS", "what is to be done, for the plan"),
            *_of_any("writes it into that piece's file, as `planned:`"),
        ),
        about="""\
A ladder of grits, compared by the size of their grains: from one to another, a
list weighed, the usual one for a job, or the one in a piece's log.
""",
        examples="""\
  flipbook sums grits 80 to 220
  flipbook sums grits 80, 120, 220
  flipbook sums grits --for stain
  flipbook sums grits --piece rocker
""",
        after="""\
P320 and 320 are two papers: the P series is FEPA's, a number alone the US one
(CAMI). Past 220 say which.
""",
    ),
    Command(
        name="sums drying",
        says="a timetable of the steps that are left, and a calendar file",
        words=(Slot("[WHAT...]", key="words"),),
        options=(
            Option(
                "--begin DAY",
                'today, tomorrow, "in 3 d", 2026-03-20, "2026-03-20 9:00"; left out, now, or when the last coat is dry',
            ),
            Option("--hours HOURS", "when work is begun; left out, 8:00-20:00"),
            Option("--temperature T", 'of the shop, as "55 F" or "12 C"'),
            Option("--humidity PERCENT", "of the shop; both are noted, and shorten nothing"),
            Option("--calendar FILE", "the timetable as an .ics file"),
            *_of_any("writes it into that piece's file, the steps as `planned:`, with their drying times"),
        ),
        about="""\
A timetable: when each step may be begun, and when the piece may be sanded,
lightly used, and is hard. Without WHAT, of what the piece has planned; where
nothing is, of the coat that is on it.
""",
        examples="""\
  flipbook sums drying 2 coats black milk paint, 3 coats satin clear coat
  flipbook sums drying --piece bookcase --calendar bookcase.ics
""",
        after="""\
A step's `dries` counts first, then the label (products.yaml), then what is
usual for its kind, the longer end of it.
""",
    ),
    Command(
        name="sums trim",
        says="a cut list of mitred trim, and how it lies in sticks",
        words=(Slot("[FRONTS...]", key="words"),),
        options=(
            Option("--width LENGTH", "how wide the trim is, or its nominal size, as 1x4"),
            Option(
                "--measured WHERE",
                "outside (left out), inside, middle, or panel: which edge of the trim the sizes are of",
            ),
            Option("--kerf LENGTH", "what the saw takes; left out, 1/8 in"),
            Option("--set-in LENGTH", "how far inside the edge the frame lies"),
            Option("--lap LENGTH", "how far its rabbet laps a panel"),
            Option("--stick LENGTH", "the length that is bought"),
            Option("--offcut LENGTH...", "what is on the shelf; again for another"),
            Option("--sides N", "a frame of N sides, each --side long"),
            Option("--side LENGTH"),
            Option("--size SIZE"),
            *_of_any("writes it into that piece's file, as `planned:`"),
        ),
        also=("--sides N --side LENGTH --width LENGTH ...",),
        about="""\
The cut list of mitred trim round fronts, and how it lies in sticks.
""",
        examples="""\
  flipbook sums trim 4 at 12 x 6 in, 15 x 24 in --width "1 in" --stick "8 ft"
  flipbook sums trim --sides 6 --side "10 in" --width 1x2
""",
        after="""\
FRONTS are width by height; front, side, top, back are the piece's own.
""",
    ),
    Command(
        name="sums panels",
        says="how pieces lie on a roll or a sheet",
        words=(Slot("[PIECE-SIZE...]", key="words"),),
        options=(
            Option("--roll WIDTH", 'the width of a roll; or --sheet "24 x 48 in"'),
            Option("--sheet SIZE"),
            Option("--count N", "how many; or say it as `6 at 18 x 20 in`"),
            Option("--margin LENGTH", "on every side, for a seam or a trim"),
            Option("--one-way", "a pattern or a grain that keeps its direction"),
            Option("--repeat LENGTH", "how often a pattern comes again, down the roll"),
            Option("--repeat-across LENGTH", "the same across it"),
            Option("--sold-by LENGTH", 'the step in which a roll is sold, as "1 yd"'),
            Option("--svg FILE", "a drawing of how they lie"),
            Option("--size SIZE"),
            *_of_any("writes it into that piece's file, as `planned:`"),
        ),
        about="""\
How pieces of fabric, cane, paper or veneer lie on a roll or a sheet.
""",
        examples="""\
  flipbook sums panels 6 at 18 x 20 in --roll "54 in" --sold-by "1 yd"
  flipbook sums panels back --piece bookcase --roll "21 in" --svg back.svg
  flipbook sums panels 6 x 8 in --sheet "24 x 48 in" --count 20
""",
    ),
    Command(
        name="sums holes",
        says="where the holes of pulls go, and a drilling template",
        words=(Slot("[FRONTS...]", key="words"),),
        options=(
            Option("--pull LENGTH", 'from hole to hole, by its label: "96 mm", "3-3/4 in"'),
            Option("--knob", "one hole"),
            Option("--each N", "pulls on a front, 1 or 2"),
            Option("--spread WAY", "two of them: quarters (left out), sixths, thirds, or a length from each end"),
            Option("--from-top LENGTH", "how far below the top edge; left out, at mid height"),
            Option("--one-axis", "all fronts follow the widest, so that pulls line up"),
            Option("--overall LENGTH", "the pull from end to end, to see whether it fits"),
            Option("--hole LENGTH", "the hole; left out, 3/16 in"),
            Option("--as-measured", "the label is true: it was measured on the pull"),
            Option("--template FILE", "a drilling template at true size, an .svg to print"),
            Option("--paper NAME", "letter (left out), legal, tabloid, a4, a3"),
            Option("--size SIZE"),
            *_of_any("writes it into that piece's file, as `planned:`"),
        ),
        about="""\
Where the holes of pulls and knobs go: from the left and the top of each front.
""",
        examples="""\
  flipbook sums holes 3 at 30 x 8 in, 14 x 6 in --pull "3-3/4 in" --each 2
  flipbook sums holes 14 x 6 in --knob --template knob.svg
""",
        after="""\
FRONTS are width by height; front, side, top, back are the piece's own.
""",
    ),
    Command(
        name="sums movement",
        says="how much wood swells or shrinks",
        words=(Slot("[WOOD...]", key="words"),),
        options=(
            Option("--from MOISTURE", "a moisture of the wood, or the air it settles in"),
            Option("--to MOISTURE", "the one that it comes to"),
            Option("--width LENGTH", "across the grain"),
            Option("--quartersawn", "left out, it is flatsawn, which moves more"),
            Option("--size SIZE"),
            *_of_any("writes it into that piece's file, as `planned:`"),
        ),
        about="""\
How much solid wood swells or shrinks across its grain.
""",
        examples="""\
  flipbook sums movement red oak --width "18 in" --from 6% --to 11%
  flipbook sums movement --piece rocker --from "70 F 30%" --to "75 F 70%"
""",
        after="""\
WOOD is a wood of the Wood Handbook; left out, the piece's. A width left out is
the depth of the piece.
""",
    ),
    Command(
        name="sums fasteners",
        says="which nail holds; which drill a screw wants",
        words=(),
        options=(
            Option("--part LENGTH", "how thick the part is that is fixed"),
            Option("--behind LENGTH", "how thick that is which it is fixed to"),
            Option("--gauge N", "15, 16, 18 (left out) or 23"),
            Option("--screw N", "the number of a wood screw"),
            Option("--wood KIND", "hardwood (left out) or softwood"),
            *_of_any("writes it into that piece's file, as `planned:`"),
        ),
        also=("--screw N [--wood hardwood|softwood]",),
        about="""\
The nail that holds and does not come through; or the holes for a wood screw.
""",
        examples="""\
  flipbook sums fasteners --part "3/8 in" --behind "3/4 in" --gauge 18
  flipbook sums fasteners --screw 8 --wood softwood
""",
    ),
    Command(
        name="sums cautions",
        says="what a piece calls for caution about, and whose word that is",
        words=(),
        options=(*_of_any(""),),
        about="""\
What a piece's age, kind and steps call for caution about, what to do, and whose
word that is. Without a piece, all cautions that are known here.
""",
        examples="""\
  flipbook sums cautions --piece bookcase
""",
        after="""\
`flipbook check` and `compile` warn of each until the piece's file says that it
was seen to: `seen to: [lead paint, oily rags]`. None of it makes a thing safe.
""",
    ),
)
SUMS = {one.name.removeprefix("sums "): one for one in _SUMS}
"""Every sum, by its name."""

ANSWERED_BY = {
    "mix": ("flipbook.sums.asked_coatings", "mix"),
    "coats": ("flipbook.sums.asked_coatings", "coats"),
    "grits": ("flipbook.sums.grits", "answered"),
    "drying": ("flipbook.sums.asked_drying", "drying"),
    "trim": ("flipbook.sums.trim", "answered"),
    "panels": ("flipbook.sums.panels", "answered"),
    "holes": ("flipbook.sums.holes", "answered"),
    "movement": ("flipbook.sums.movement", "answered"),
    "fasteners": ("flipbook.sums.fasteners", "answered"),
    "cautions": ("flipbook.sums.asked_drying", "cautions"),
}
"""The module and the function that answer each sum."""
