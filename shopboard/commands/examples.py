"""What `shopboard --help` tells behind the commands: examples, environment, exit codes."""

from __future__ import annotations

EXAMPLES = """\
examples:
  shopboard                                  open the board on your shop file
  shopboard help states                      the help by topic; `?` on the board
  shopboard describe                         answer questions about your shop: they make its file
  shopboard --shop my_shop.toml              open it on another one
  shopboard demo                             a shop with two years of made-up records
  shopboard status                           how every machine stands, one a line
  shopboard status --json --exit-code        the same for scripts; exit 1 when not all is true
  shopboard status --on 2026-05-01           how everything stood on a past day
  shopboard changes 2026-05-01               what changed since, and what happened
  shopboard check saw.blade                  run one check as plain lines
  shopboard check saw.blade --answers answers.toml --json
  shopboard hand saw.blade                   ten readings: how well your own repeat
  shopboard tag saw "guard is off"           not to be used, until it is cleared
  shopboard walk                             the daily safety walk: shop, then machines
  shopboard cutters saw                      its blades: how sharp, what it costs, what to do
  shopboard cutter saw.rip-24 back --cost 18.50
  shopboard happened saw "hours run" 2.5h    count its use; `happened saw knocked` makes checks due
  shopboard done saw.wax-table               mark a task as done
  shopboard project chart-cabinet            how true each point must be for it, what costs it most
  shopboard glueup chart-cabinet doors       go, or hold and why; exit 1 for hold
  shopboard prep chart-cabinet               the shortest prep day for it; --sheet: on one page
  shopboard work-out square goes=0.012in refused=0.015in lever=6in light=top tolerance=0.1deg
  shopboard work-out angle 5thou/ft          one angle in every unit
  shopboard history saw.blade --plot         a point through the years, drawn
  shopboard sheet saw --to saw.html          a sheet to print and sign
  shopboard sheet saw.blade --blank --text   a check to fill in by pencil
  shopboard export all --csv --to all.csv    every result, for a spreadsheet
  shopboard edit saw.blade tolerance "0.15 deg"
  shopboard explain machine.point            what the settings of the shop file are for
  shopboard proofread my_shop.toml           every problem of a shop file, with its place
  shopboard backup /media/stick              a verified copy of the journal, onto a stick

json:
  every --json has a schema; `shopboard fields` describes what its fields mean

environment:
  SHOPBOARD_SHOP, SHOPBOARD_JOURNAL          used where --shop, --journal are not given
  SHOPBOARD_WHO                              the name of this bench, where --who is not given
  NO_COLOR                                   no colours on the board; plain output has none

times:
  kept as universal time, shown in this computer's local time, wherever they were recorded;
  what came first is told by the order of recording, never by a clock

exit codes:
  0 all right   1 something is not true or tagged (status --exit-code), or hold (glueup)
  2 usage   3 shop file bad   4 journal not there, damaged or newer   5 locked   6 cannot write
  70 an error of its own (the report is kept)   128 and its number: a signal (130 Ctrl+C)
"""
