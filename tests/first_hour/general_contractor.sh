#!/usr/bin/env bash
# A general contractor's first hour: bash tests/first_hour/general_contractor.sh, in an empty folder, wallwalk on the PATH.
# Bram Oyelaran runs the school job. Installers send him the surveys of their walks; he wants to know which room is next.
set -euo pipefail
here=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")" && pwd -P)
# shellcheck source=tests/first_hour/steps.sh
source "$here/steps.sh"

# A room as it was walked, from another one: its name, the quantity of dust on the tape, and when the primer was finished.
room() {
    sed -e "s/^  name: B12 Prep room/  name: $1/" -e "s/tape_quantity: 3/tape_quantity: $2/" \
        -e "s/finished: 2026-05-12 11:30/finished: $3/" "$here/b12-prep-room.yaml"
}
mkdir job
cp "$here/b12-prep-room.yaml" job/
room 'B13 Store' 4 '2026-05-11 16:00' >job/b13.yaml
room 'B14 Corridor' 1 '2026-05-11 16:00' >job/b14.yaml
room 'B15 Lab' 2 '2026-05-12 09:00' >job/b15.yaml
room 'B16 Cloakroom' 1 '2026-05-11 16:00' | sed 's/^walk:/walk/' >job/b16.yaml    # cut short on its way
printf 'name,level\nB12 Prep room,ground\nB13 Store,ground\nB14 Corridor,ground\nB15 Lab,ground\nB16 Cloakroom,ground\nB17 Boiler room,ground\n' >rooms.csv

# The wrong folder, and a list whose columns are called otherwise, are told what is asked for.
run 2 wallwalk board jobs
says 'jobs: is not there; give the folder that the surveys are in'
printf 'room,level\nB12 Prep room,ground\n' >wrong.csv
run 2 wallwalk board job --spaces wrong.csv
says 'wrong.csv:1: has no column name; begin with a line such as name,level,project,area'

# Every room in a line, and every record in a file; what cannot be read is a line there as well.
run 2 wallwalk check job -o records.jsonl
says 'HOLD | job/b12-prep-room.yaml | 2 hold, 0 not verified | not before Wed 13 May 2026 11:30'
says 'PASS | job/b14.yaml | 0 hold, 0 not verified' 'NOT CHECKED | job/b16.yaml'
says 'Surveys: 5. Pass: 1. Hold: 3. Not checked: 1. Files passed over: 0.'
[ "$(wc -l <records.jsonl)" -eq 5 ] || fail 'did not give each survey its line'

# The board: what is ready, what becomes ready when, and who unblocks most. In every form there is.
run 1 wallwalk board job --spaces rooms.csv --today 2026-05-12 \
    -o board.html -o board.pdf -o board.csv -o board.json -o board.ics
made board.html board.pdf board.csv board.json board.ics
says '1 of 6 spaces ready' '1 ready, 1 ready by waiting, 2 held, 1 could not be read, 1 never walked.'
says 'TO DO - Lead installer and crew' '1. Required: Wall is free of dust [no-dust] Open in 2 rooms. Makes 2 rooms ready.'
says 'Last thing in: B12 Prep room (North); B13 Store (North)'
says 'WAITING | B15 Lab' 'Waiting alone makes it ready Wed 13 May 2026 09:00.' 'NOT READ | B16 Cloakroom'
says '- B17 Boiler room'
grep -q '^BEGIN:VEVENT' board.ics || fail 'left the calendar empty'
grep -q 'B15 Lab: may start' board.ics || fail 'left the lab out of the calendar'
grep -q 'B13 Store.*Wall is free of dust' board.csv || fail 'left the store out of the table'
# The same names again would write over the board on the wall.
run 2 wallwalk board job --spaces rooms.csv --today 2026-05-12 -o board.csv
says 'board.csv: is there already; give another name, or add --overwrite'

# Next day, after a word with the crew: the store is wiped and walked again, the cloakroom's survey sent once more.
sed -e 's/^  at: 2026-05-12 14:00/  at: 2026-05-13 09:00/' -e 's/2026-05-12 13:\([0-9][0-9]\)/2026-05-13 08:\1/' \
    -e 's/^planned_start: .*/planned_start: 2026-05-13 13:00/' -e 's/tape_quantity: 4/tape_quantity: 1/' \
    job/b13.yaml >job/b13-second.yaml
room 'B16 Cloakroom' 1 '2026-05-11 16:00' >job/b16.yaml
run 1 wallwalk board job --spaces rooms.csv --today 2026-05-13 -o board.csv -o board.html --overwrite
says '3 of 6 spaces ready' 'READY | B13 Store'

# What became of the store, for the file: both walks filed, and set side by side.
run 1 wallwalk check job/b13.yaml -o b13-first.json
run 0 wallwalk check job/b13-second.yaml -o b13-second.json
run 0 wallwalk compare b13-first.json b13-second.json -o b13.html
says '1 cleared, 0 new, 0 held on both walks, 0 not verified.'
made b13.html
# In the wrong order it says so first.
run 1 wallwalk compare b13-second.json b13-first.json
says 'The records were given the wrong way round'
# The surveys themselves are no records.
run 2 wallwalk compare job/b13.yaml job/b13-second.yaml
says 'job/b13.yaml: is a survey by its name, and no filed record; file its record by wallwalk check with -o'

# For the crew's own board.
run 1 wallwalk board job --spaces rooms.csv --today 2026-05-13 --lang es
says 'LISTO'
printf '\nThe corridor, the store and the cloakroom may start.\n'
