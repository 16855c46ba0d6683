"""Every command: the words and options that it takes, and its page of help. None of what carries one out is loaded."""

from __future__ import annotations

from flipbook.cli.ending import DONE, MISUSED
from flipbook.cli.table import JSON, OUT, PIECE, PRIVATE, SHOP, SHOP_FOLDER, Command, Option, Slot, on_day
from flipbook.shop.records.expenses import EXPENSE_KINDS
from flipbook.sums.words import SUMS

FOUND_SHOWN = 20
"""Entries that `find` shows of many."""
MOST_PLANNED = 100
"""Steps that `again` plans at once."""
SUMS_LIST = "\n".join(f"  {name:12}{one.says}" for name, one in SUMS.items())

_EVERY = (
    Command(
        name="compile",
        says="make everything: books for you, pages for buyers",
        words=(SHOP_FOLDER,),
        options=(OUT,),
        about="""\
Reads every file of the shop and makes two folders in SHOP/out (or in DIR):

  books/       for you: the ledger, what each piece cost and earned, the shelf, and each
               tax year, as pages to read and as CSV files
  portfolio/   for buyers: a page for each piece with its pictures, and nothing private

When a file has a problem, all problems are shown and the last good output stays as it is.
When nothing has changed since the last compile, it says so and writes nothing; and a page,
table or picture that would be the same as before is left alone.
""",
    ),
    Command(
        name="check",
        says="read and reckon, write nothing",
        words=(SHOP_FOLDER,),
        options=(JSON,),
        about="""\
Reads every file, does all the sums and writes nothing. Shows every problem with its file,
line and column, and what to write instead. With --json, the same for a program.
""",
    ),
    Command(
        name="watch",
        says="make everything again whenever a file is saved",
        words=(SHOP_FOLDER,),
        options=(
            OUT,
            Option(
                "--show PORT",
                "show the pages at http://127.0.0.1:PORT/ too, and your books at /books/ there, on this machine alone; "
                "a page that is open loads itself again when it has changed; 0 takes any free port",
            ),
        ),
        about="""\
Makes everything as `flipbook compile` does, and again whenever a file of the
shop is saved, until you press Ctrl-C. What was saved, what was made again and
what is to be mended stand on one screen. While a file has a problem, the last
good pages stay as they are.
""",
    ),
    Command(
        name="bench",
        says="what is drying, what comes next, what is for sale",
        words=(SHOP_FOLDER,),
        options=(JSON,),
        about="""\
Shows the day at the bench on one screen, from the log alone:

- each piece on the bench or waiting: what was done last, what may come next,
  days since it was found, and the money in it so far. The first step of
  `planned:` comes next; without one, what usually follows the last step, where
  its words tell which stage it was. While it dries, until when: by the step's
  `dries:`, else by the longest `recoat:` that products.yaml has for what the
  step used. A step without a time of day is known to the day alone; log it as
  `2026-02-17 15:30 second coat` to be told the hour.
- each piece for sale: its price and for how many days, days since it was found,
  offers that have no answer, and when the price may come down, and to what, by
  `price steps:` of shop.yaml: never under the floor (of the outlet that takes
  least), and not while a deposit or a taken offer holds the piece.
- what is short on the shelf: less is left than the plans need, or than the last
  three uses took on average, when it was used within 180 days.

With --json, the same for a program: `good`, which is false when the files have
problems, and then `problems`; else `warnings` (how many), `now`, `currency`,
and three lists. Days are ISO 8601, money is text with two decimals, and what is
not known or is not so is null.

  open      the pieces on the bench and waiting, and
  for_sale  those for sale, each with: piece, title, found_on, days, cost,
            planned, hard_on (the day it is fully cured, when that is to come);
            held: a list of on, amount, from; offers without an answer: a list
            of on, price, from; promised: the offer that was taken
  open      also: state; last: on, at, did, stage; drying: is (drying, perhaps
            or dry), earliest, latest, minutes, product (whose recoat it is);
            usually: what usually comes next
  for_sale  also: price, asked_on, days_at_price; next_price: on, price, written
            (in piece.yaml with a day to come); floor, at_floor
  short     product, unit, left, need, planned_for: a list of pieces
""",
    ),
    Command(
        name="begin",
        says="start a new piece: a folder, ready to write in",
        words=(Slot("TITLE...", asked=True),),
        options=(
            Option("--cost MONEY", "what the piece itself cost; 0 for a free find"),
            Option("--from WHO", "who it came from; wants --cost beside it"),
            Option("--on DAY", "the day it came; left out, today. Or yesterday, -2d, 2026-02-14"),
            Option("--scan FILE", "copies a picture or PDF of its receipt into its receipts/"),
            Option("--kind WORDS", "what it is, as buyers call it: rocker"),
            Option("--size SIZE", 'width, depth and height: "22 x 31 x 41 1/2 in"'),
            SHOP,
        ),
        about="""\
Starts a piece: a folder under pieces/ with a piece.yaml that explains each key,
and a photos/ folder. Say what the piece cost now, or fill it in later.
""",
        examples="""\
  flipbook begin Ladder-back maple rocker --cost 41 --from "Mill Road sale"
  flipbook begin Kerbside chair --cost 0 --on yesterday
""",
        after="""\
Everything in the file may be changed by hand; what stands after a # is there to
explain, and counts for nothing. `flipbook jot` and `spend` write into it too.
Pictures go into photos/. The first word of a picture's name says what it shows:
before-front.jpg, during-wash.jpg, after-front.jpg, detail-pull.jpg.
""",
    ),
    Command(
        name="jot",
        says="what was done, into the piece's log",
        words=(PIECE, Slot("WORDS...", "what was done; the words need no quotes", asked=True)),
        options=(
            Option("--took TIME", 'how long it took: "40 min", "1 h 15 min", 1:15'),
            Option(
                "--on DAY",
                "the day; left out, today. Or yesterday, -2d, 2026-02-14, and with a time where that helps: 15:30, "
                '"yesterday 15:30"',
            ),
            Option("--used USE...", "what it took off the shelf, an amount and a product; again for another product"),
            Option("--mix MIX", "what was stirred together, in parts, and how much that makes"),
            Option("--grit GRITS", "the grits gone through: 80,120,180"),
            Option("--dries TIME", "how long before the next step"),
            Option("--photo FILE...", "copies a picture into the piece's photos/; again for another"),
            Option(
                "--shows WORD",
                "what it shows: before, during (left out), after, detail",
                choices=("before", "during", "after", "detail"),
                usual="during",
            ),
            Option("--hide", "keeps the step off the buyers' page"),
            PRIVATE,
            Option(
                "--planned [N]",
                "does the first step, or step N, of the piece's `planned:`; what else is said takes the place of what was "
                "planned",
                alone="1",
            ),
            SHOP,
        ),
        about="Writes what was done into the log of a piece.",
        examples="""\
  flipbook jot rocker washed with dish soap, rinsed --took "40 min"
  flipbook jot rocker clear coat --used "1/4 can satin clear coat"
  flipbook jot stool coat --mix "black milk paint 3, water 1, makes 8 fl oz"
""",
        after="""\
Words that start with a dash go after `--`: flipbook jot stool -- -and dried
The whole shop is checked as it would be. If the step brings a problem, that is
shown, and nothing is written.
""",
    ),
    Command(
        name="spend",
        says="a receipt, for a piece, the shelf or the shop",
        words=(Slot("WHAT...", asked=True),),
        options=(
            Option("--cost MONEY", "what it cost", asked=True),
            Option("--from WHO", "who was paid", asked=True),
            Option(
                "--for PURPOSE",
                f"a piece (any part of its name), shelf, or a kind of expense: {' '.join(EXPENSE_KINDS)}",
                asked=True,
            ),
            Option(
                "--size AMOUNT",
                "how much one of them holds; a word behind it, or --container, is what it comes in, so that a step can use "
                '"1/4 can" of it',
            ),
            Option("--container WORD"),
            Option("--count N", "how many of them, with --each"),
            Option("--each MONEY", "what one of them cost"),
            Option("--tax MONEY"),
            Option("--shipping MONEY"),
            Option("--discount MONEY"),
            Option("--total MONEY", "what was paid in all; worked out from the lines when left out"),
            Option(
                "--line LINE...",
                "what it was; then, in any order, its size, what the line cost (21.80, or 2 x 3.70), and `for ...` where "
                "that is not --for",
                key="lines",
            ),
            Option("--scan FILE", "copies a picture or PDF of the receipt in, beside its file"),
            Option("--paid-with WORDS"),
            PRIVATE,
            on_day("2026-02-20"),
            SHOP,
        ),
        also=('--line "WHAT; SIZE; COST; for ..." --line "..." --from WHO [...]',),
        about="""\
Writes a receipt: for a piece into its piece.yaml; for the shelf or a kind of
expense into the file of its year in receipts/.
""",
        examples="""\
  flipbook spend flat fibre rush --count 3 --each 11.25 --for rocker \\
      --from "Harbour Hardware"
  flipbook spend black milk paint --size "1 pint can" --cost 21.80 --tax 1.31 \\
      --from "Harbour Hardware" --for shelf --scan slip.jpg
  flipbook spend --from "Harbour Hardware" --tax 1.91 \\
      --line "black milk paint; 1 pint can; 21.80; for shelf" \\
      --line "mask filters; 2 x 3.70; for supplies"
""",
    ),
    Command(
        name="ask",
        says="the price that is asked from today on",
        words=(PIECE, Slot("PRICE", asked=True)),
        options=(on_day("2026-03-20"), SHOP),
        about="Writes what is asked for a piece from a day on, among the prices asked before.",
        examples="""\
  flipbook ask rocker 427
  flipbook ask rocker 396 --on yesterday
""",
    ),
    Command(
        name="offer",
        says="what somebody offered, and the answer",
        words=(PIECE, Slot("PRICE", asked=True)),
        options=(
            Option("--from WHO", "who offered"),
            Option("--answer ANSWER", 'no, yes, or "counter 352"'),
            PRIVATE,
            on_day("2026-03-24"),
            SHOP,
        ),
        about="Writes an offer for a piece and how it was answered. Offers are never published.",
        examples="""\
  flipbook offer rocker 302 --from "R., by phone" --answer no
  flipbook offer rocker 367 --from M. --answer "counter 382"
""",
        after="An offer that was taken becomes a sale with `flipbook sell`.",
    ),
    Command(
        name="sell",
        says="the sale, and what it leaves",
        words=(PIECE, Slot("PRICE", asked=True)),
        options=(
            Option("--at OUTLET", "where: an outlet of shop.yaml; its fees are worked out"),
            Option("--delivery MONEY", "charged to the buyer on top of the price"),
            Option("--sales-tax MONEY", "collected from the buyer, and not yours"),
            Option("--fees MONEY", "what was really taken, where the outlet took another sum"),
            Option("--buyer WHO", "never published"),
            Option(
                "--paid PAYMENT...", 'a payment as "DAY MONEY", where not all was paid on the day; again for another'
            ),
            PRIVATE,
            on_day("2026-04-11"),
            SHOP,
        ),
        about="Writes the sale of a piece, and shows what it leaves.",
        examples="""\
  flipbook sell rocker 381 --at "porch sale" --delivery 25
  flipbook sell rocker 381 --paid "-3d 100" --paid "today 281"
""",
        after="""\
Deposits that stand in the file count: what is left to pay is written as paid on
the day, unless --paid says otherwise.
""",
    ),
    Command(
        name="price",
        says="floor, break-even, what an offer would leave",
        words=(PIECE, Slot("[OFFER]")),
        options=(
            Option("--at OUTLET", "where it is sold; left out, the outlet that stands first in shop.yaml"),
            Option("--delivery MONEY", "what the buyer pays for delivery besides the offer"),
            Option("--asking PRICE", "a price to try in place of the one that is asked"),
            Option("--found MONEY", "before buying: what it would cost"),
            Option("--kind KIND", "before buying: what it is"),
            JSON,
            SHOP,
        ),
        also=("--found MONEY --kind KIND [--json]",),
        about="""\
Of a piece: what it cost so far, its hours, the least price at which nothing is lost
(break-even) and at which each hour earns what `time is worth` says (floor) through each
outlet of shop.yaml, what recent pieces of its kind sold for, and how its price may come
down by `price steps`, with what a sale at each price leaves.

With an OFFER, one sentence: what it leaves after fees and driving, and an hour.

With --found, before buying: the most that a find of that kind may cost, by what past
pieces of the kind took and cost, each hour earning what it is worth.
""",
        examples="""\
  flipbook price rocker
  flipbook price rocker 302 --at "web marketplace" --delivery 25
  flipbook price --found 61 --kind chest
""",
    ),
    Command(
        name="year",
        says="the totals of a tax year",
        words=(Slot("YEAR"),),
        options=(
            Option("--wages MONEY", "what other work paid that bore social security tax already"),
            Option("--pack FILE", "writes the year for the preparer into a new zip file"),
            Option("--seal", "keeps the figures of a year that has been filed"),
            Option("--unseal", "opens the year again"),
            Option("--because WHY", "why it is opened"),
            JSON,
            SHOP,
        ),
        about="""\
Shows the totals of one tax year: income, cost of goods sold, expenses by kind and profit.
A tax year is named after the calendar year in which it starts. It is a record for the
person who files and whoever prepares the return; it is not tax advice.

Under `rules: us` an estimate of self-employment tax follows, and the days on which estimated
tax falls due; --wages counts in it.

With --pack FILE.zip, writes the year's tables, their pages and every scan behind them into
one file for whoever prepares the return. A file that is there already is left as it is.

With --seal, keeps the figures of a year that has been filed in years/YEAR.yaml. From then on
`check` and `compile` refuse any change to them and show the line that made it. With --unseal,
opens the year again; the reason is kept, and asked for when it is not given.
""",
    ),
    Command(
        name="find",
        says="words found again in all that was written down",
        words=(Slot("WORDS..."),),
        options=(Option("--all", f"show every entry, and not the first {FOUND_SHOWN} alone"), SHOP, JSON),
        about="""\
Looks for words in everything that was written down: steps, mixes, products
used, what is planned, receipts, stories, flaws, captions and private notes,
of every piece and of the shop. Every word must be there, in any order, as a
word or the start of one; capitals, accents and hyphens do not matter. Words in
quotes stand together: "clear coat".

A word may also name the piece, by its title, kind, wood, age or folder:
""",
        examples="""\
  flipbook find oak wash

finds the washes on anything of oak. When all the words name a piece, and none
is found in its entries, what was done on it is shown, in order. A mix is
written out so that it can be mixed again.
""",
        after="""\
The best come first: entries that hold a word themselves, work before receipts
and receipts before stories, whole words before starts of words, then the
newest.

A file with a mistake in it is searched as well, line by line if need be. To
find nothing is an answer too, told with the nearest words that do stand there;
the status is 0.
""",
        statuses=(DONE, MISUSED),
    ),
    Command(
        name="history",
        says="a piece's job through its git history",
        words=(PIECE._replace(asked=False),),
        options=(SHOP, JSON),
        about="""\
Shows when each step, receipt, price, offer and sale of a piece came into its
log, by the git history of the shop's folder, and what a later commit changed:
a cost, a time taken, a date, a price, the words of a step, each with what it
was and what it is now.

The oldest comes first. Renames of the folder are followed, and receipts in
receipts/ are told where they are for the piece. A version that does not read is
said to be so and passed over; what is not yet committed stands at the end.
Dates are those of the commits.

The installed git is asked for old versions and for nothing else, and nothing is
written. Without git, outside a repository and before the first commit there is
no history: that is said, and the status is 2.
""",
        statuses=(DONE, MISUSED),
    ),
    Command(
        name="again",
        says="a past mix or schedule planned for another piece",
        words=(Slot("PAST"), Slot("NEW"), Slot("[WORDS...]")),
        options=(Option("--look", "show the steps, and write nothing"), SHOP),
        about="""\
Plans for one piece what was done on another: the steps of PAST come into the
`planned:` of NEW, in their order, with what was done, the grits, the time
taken, the mix, the products used and the drying time, in the words they were
written in, and `like:` says the piece and the day they come from. With WORDS,
only the steps that hold every word in what was done, mixed or used. No day,
photo or private note comes along, and nothing is taken off the shelf.
""",
        examples="""\
  flipbook again rocker bookcase           the whole schedule
  flipbook again rocker bookcase wash      the wash coats and their mixes
  flipbook again rocker bookcase --look    show them, and write nothing
""",
        after=f"""\
PAST and NEW are any part of a folder's name or a title that fits no other
piece. PAST may be sold; NEW may not have left the shop. A step that is planned
already, like the same day of the same piece, is not planned twice; {MOST_PLANNED} are
planned at most. The whole shop is checked as it would be: when the plan brings
a problem, it is shown and nothing is written.
""",
    ),
    Command(
        name="sums",
        says="the workshop's sums: mixes, coats, grits, trim, holes",
        also=("[SUM] [WORDS...] [--piece PIECE] [--jot] [--json] [--shop DIR]",),
        about=f"""\
The workshop's sums, each with its working; without a SUM, this list of them:

{SUMS_LIST}
""",
        examples="""\
  flipbook sums mix black milk paint 3, water 1 --makes "8 fl oz"
  flipbook sums coats --piece rocker --product "black milk paint" --coats 2
""",
        after="""\
With --piece a sum reads the piece's size, its log and the shelf; --jot writes
the answer into its log, as each sum's page says. `flipbook sums SUM --help`
says more of one. Amounts are US ones: `oz` is a weight, `fl oz` a volume.
""",
        inner=tuple(SUMS.values()),
    ),
    Command(
        name="complete",
        says="the tab key completes words, once this is set up",
        words=(Slot("[SHELL]", choices=("bash", "zsh", "fish")),),
        about="""\
Shows the lines that let your shell complete flipbook's commands, options,
pieces, products, outlets and kinds of expense at a press of the tab key. SHELL
is bash, zsh or fish; left out, the one you log in with. To have it in every
terminal, add the line for yours to the file beside it:
""",
        examples="""\
  eval "$(flipbook complete bash)"    ~/.bashrc
  eval "$(flipbook complete zsh)"     ~/.zshrc, below its `compinit`
  flipbook complete fish | source     ~/.config/fish/config.fish
""",
        statuses=(DONE, MISUSED),
    ),
    Command(
        name="help",
        says="what a key of the files says, and how it is written",
        words=(Slot("KEY...", "a key, or the keys above it too, divided by dots"),),
        options=(JSON,),
        about="""\
Shows a key of the shop's files: what it says, how it is written, what holds when
it is left out, whether buyers see it, and an example. A key that stands in
several places is shown for each of them.
""",
        examples="""\
  flipbook help took
  flipbook help sales tax
  flipbook help sold.at
""",
        after="""\
`flipbook COMMAND --help` tells of a command. All keys stand in FORMAT.md.
""",
        statuses=(DONE, MISUSED),
    ),
)
COMMANDS = {one.name: one for one in _EVERY}
"""Every command by its name, which is that of its module too, in the order in which help lists them."""


def whole_page() -> str:
    """The page of `flipbook --help`: every command on a line, and how a command ends."""
    lead = max(len(command.short) for command in COMMANDS.values())
    return _WHOLE.format(
        commands="\n".join(f"  {command.short:{lead}}   {command.says}" for command in COMMANDS.values())
    )


_WHOLE = """\
flipbook keeps the books of a furniture refinisher from plain text files: a folder for
each piece, a YAML log in it, and one command that makes a ledger, the totals of each tax
year and a page for buyers.

{commands}

SHOP is the folder that holds shop.yaml. Left out, it is the folder you are in or the
nearest one above it. Commands that take other words take it as --shop DIR.

Say `flipbook COMMAND --help` for more about one of them. A command ends with 0 when it
is done, 1 when the files have problems (all of them are shown, and nothing is written),
2 when it was not understood, and 3 when flipbook itself is at fault.
"""
