#!/usr/bin/env bash
# A lead installer's first hour: bash tests/first_hour/lead_installer.sh, in an empty folder, with wallwalk on the PATH.
# Tamsin Okoro has one wall to cover in the prep room of a school, tomorrow at eight.
set -euo pipefail
here=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")" && pwd -P)
# shellcheck source=tests/first_hour/steps.sh
source "$here/steps.sh"

# She asks what there is, and tries the obvious.
run 0 wallwalk help
says 'check' 'walk' 'blank'
run 2 wallwalk room.yaml
says 'to check it, write: wallwalk check room.yaml'
run 2 wallwalk check room.yaml
says 'room.yaml: is not there'

# Blank forms: for the phone, and for an editor that completes as she types.
run 0 wallwalk blank -o form.html -o blank.yaml -o survey.schema.json
made form.html blank.yaml survey.schema.json
# A blank is no pass.
run 1 wallwalk check blank.yaml
says 'HOLD | Space not stated' 'Do not start the work.'
run 2 wallwalk check form.html
says 'form.html: is a page, and no survey; export the survey from the form'

# In the room, at two in the afternoon, she lets herself be asked. The kettle calls before the walls are done.
cat >before-the-kettle.txt <<'ANSWERS'
America/New_York                            | Time zone of the site
Halden Row School, science wing             | Project name
HR-118                                      | Project number
7 Halden Row                                | Address
Castleby Construction                       | General contractor
Halden Row School District                  | Owner
B12 Prep room                               | Space
ground                                      | Level or floor
North wall, floor to ceiling                | Which part of the space this walk covers
                                            | Notes on the space
2026-05-12 14:00                            | When the space was walked
Tamsin Okoro                                | Who walked it
inst                                        | Role of the one who walked it
Okoro & Daughter                            | Company of the one who walked it
2026-05-13 8:00                             | When the covering is planned to start going up
y                                           | Instruments used on the walk:
TH                                          | What it is called in the readings
thermo-h                                    | Kind of instrument
                                            | Serial number
2026-12-01                                  | Calibration good until
1 °F                                        | Uncertainty of temperature
3 %RH                                       | Uncertainty of humidity
                                            | Uncertainty of moisture in %MC
                                            | Uncertainty of moisture in %WME
                                            | Uncertainty of moisture on the gypsum scale
                                            | Uncertainty of alkalinity
y                                           | Instruments used on the walk:
meter                                       | What it is called in the readings
moi                                         | Kind of instrument
                                            | Serial number
2026-12-01                                  | Calibration good until
                                            | Uncertainty of temperature
                                            | Uncertainty of humidity
                                            | Uncertainty of moisture in %MC
                                            | Uncertainty of moisture in %WME
0.2 gypsum                                  | Uncertainty of moisture on the gypsum scale
                                            | Uncertainty of alkalinity
y                                           | Instruments used on the walk:
IR                                          | What it is called in the readings
infra                                       | Kind of instrument
                                            | Serial number
2026-12-01                                  | Calibration good until
1 °F                                        | Uncertainty of temperature
                                            | Uncertainty of humidity
                                            | Uncertainty of moisture in %MC
                                            | Uncertainty of moisture in %WME
                                            | Uncertainty of moisture on the gypsum scale
                                            | Uncertainty of alkalinity
n                                           | Instruments used on the walk:
n                                           | Will concrete, masonry or joint compound be sanded or ground?
n                                           | Is a fuel-burning heater used indoors?
y                                           | Are the safety data sheets for adhesive, primer and cleaner on site?
y                                           | Will anyone work from a ladder or platform?
y                                           | Will the covering be cut with knives, shears or rotary cutters?
n                                           | Are there electrical boxes to cut around?
n                                           | Was mould, sewage or an unknown stain seen?
2011                                        | Year the building was built
y                                           | Is the space closed in and weathertight?
n                                           | Is there any leak, water stain, white salt bloom or mould?
y                                           | Is all wet work finished here and next door?
1                                           | What heats or cools the space
y                                           | Will the building be kept in its temperature band from now on, nights and shutdowns included?
The district, by letter of 4 May            | Who promised to keep the temperature
y                                           | Are rough-ins, blocking and inspections behind the walls finished, and all boxes set flush?
y                                           | Are door frames, window frames, ceiling and base in, as agreed?
y                                           | Is the space clear, its floor protected, with no dust-making work alongside?
y                                           | Is the light good enough to see and work by on every wall?
n                                           | Was the light on the walls measured?
n                                           | Does supply air, sun or a heater strike any wall directly?
n                                           | Does the project ask for submittals?
n                                           | Does the project ask for a mock-up?
none                                        | Fire class that the project asks for
none                                        | Flatness by a table that the project asks for
n                                           | Was the room on temporary heat then?
y                                           | Air readings:
n                                           | Are you reading now
2026-05-12 13:40                            | When it was read
middle of the room                          | Where it was read
71                                          | Air temperature
71f                                         | Air temperature
45 %                                        | Relative humidity
TH                                          | Instrument
n                                           | Air readings:
n                                           | Climate logs:
2026-05-08 9:00                             | When the sheets came into this room
2026-04-20 8:00                             | Since when the room has been held at room temperature without a break
y                                           | Are they stored flat, out of the sun, opened and off a cold floor?
y                                           | Are they the right colour, texture and lot, and undamaged?
n                                           | Is the sheet thin or glossy?
4 ft                                        | Width of a sheet as it came
10 ft                                       | Length of a sheet as it came
y                                           | Are the direction arrows noted, so that every sheet keeps the same top?
2026-12-31                                  | Adhesive good until
n                                           | Was the adhesive ever frozen?
2026-05-08 9:00                             | When the adhesive came into this room
50 ft2/gal                                  | Area it covers by the label
1/8 in                                      | V-notch of the trowel on site
1/8 in                                      | Width of the V-notch at its mouth
1/4 in                                      | From the middle of one notch to the middle of the next
45 min                                      | Open time of the adhesive in this air
y                                           | Sheets here, by lot:
A-1                                         | Lot number
4                                           | Whole sheets of this lot
n                                           | Sheets here, by lot:
n                                           | Are the joints between sheets covered by trim strips?
n                                           | Do corners get corner pieces?
y                                           | Adhesive here, by lot:
P-9                                         | Lot number
4 gal                                       | How much of this lot is here
n                                           | Adhesive here, by lot:
60 ft2/h                                    | Area the crew spreads and hangs in an hour
32 ft2                                      | Largest area to be spread before it is hung
8 ft                                        | Longest side of any sheet as it will hang
y                                           | Does the crew know that adhesive goes over the whole wall face, and none on the sheet?
y                                           | Is a level line struck over every run?
y                                           | Is a plumb line struck for the first piece of every run?
done                                        | Walls:
ANSWERS
run 1 wallwalk walk room.yaml < <(answers <before-the-kettle.txt)
says '"71" will not do: write the number with its unit, such as 72 °F or 22 °C'
says 'Every answer is in room.yaml. The report: wallwalk check room.yaml'
made room.yaml

# She goes on where she was. What was left open is asked once more; Enter leaves it so.
cat >after-the-kettle.txt <<'ANSWERS'
                                            | Notes on the space
y                                           | Walls:
North                                       | Wall
12 ft                                       | Length of wall
8 ft                                        | Height to be covered
                                            | Notes on the wall
gypsum                                      | What the wall is made of
n                                           | Is any concrete, mortar or plaster in the wall less than a year old, patches included?
4                                           | Gypsum finish level
y                                           | Is it sanded smooth, with no ridges or tool marks?
2026-05-04 15:00                            | When the last coat of joint compound was finished
y                                           | Is the joint compound dry right through?
drying                                      | How the joints were told to be dry
y                                           | Is the board tight, with no proud or popped fasteners and corners true?
1/16 in                                     | Largest gap under a 10 ft straightedge
1/8 in                                      | How far the wall leans in 10 ft of height
n                                           | Has the wall been patched or repaired?
n                                           | Would the covering bridge a control or expansion joint?
n                                           | Is this an outside wall or a wall below grade?
y                                           | Was moisture read at the base of this wall too?
n                                           | Is there paint on it, of any age?
n                                           | Is there oil, grease, wax, silicone, form release or curing compound on it?
n                                           | Was a film of water tried on it?
n                                           | Is there old wallcovering, paste or glue left on it?
n                                           | Do stains show that would bleed through (marker, smoke, wood, soot)?
n                                           | Is there a PVA primer or sealer anywhere in the build-up?
n                                           | Was a PVA-based joint compound used?
n                                           | Does a dark cloth wiped over the wall stay clean?
y                                           | Was a dust tape pressed on the wall?
3                                           | Dust tape quantity
water                                       | Kind of primer
y                                           | Does the adhesive maker name this primer for this adhesive?
y                                           | Is the whole face primed, with no misses?
2026-05-12 11:30                            | When the last coat of primer was finished
y                                           | Is it dry to the touch?
y                                           | Has nothing soiled it since?
2026-11-30                                  | Primer good until
n                                           | Was the primer ever frozen?
70 °F                                       | Air temperature while it went on
45 %                                        | Relative humidity while it went on
68 °F                                       | Temperature of the wall while it went on
50 °F                                       | Lowest temperature of air and wall by its label
90 °F                                       | Highest temperature of air and wall by its label
n                                           | Has it stood for long, so that dust could settle on it?
1                                           | Number of coats
0.3 gal                                     | Primer used on this wall
300 ft2/gal                                 | Least area a gallon covers by the label
400 ft2/gal                                 | Most area a gallon covers by the label
y                                           | Surface temperatures:
n                                           | Are you reading now
2026-05-12 13:45                            | When it was read
foot of the wall                            | Where on the wall
68f                                         | Temperature of the face
IR                                          | Instrument
n                                           | Surface temperatures:
n                                           | Are there door or window frames in this wall?
n                                           | Does the sheet run up to the ceiling?
1/8 in                                      | Gap at the floor or base
y                                           | Does trim, a corner piece or a cap cover an edge of the sheet?
1/8 in                                      | Gap behind trim and corners
y                                           | Will any joint between sheets be sealed with caulk?
1/16 in                                     | Gap between sheets at sealed joints
n                                           | Walls:
n                                           | Photos:
2026-04-20 8:00                             | Since when the room had been at 50 °F or more before the joints were begun
2026-05-01 8:00                             | When the joints were begun
64 °F                                       | Lowest air temperature from then until the compound was dry
y                                           | Are trim, corners and sealant for this room on hand?
y                                           | Moisture readings:
2026-05-12 13:50                            | When it was read
foot of the wall                            | Where on the wall
0.4 gypsum                                  | Reading with its scale
meter                                       | Instrument
n                                           | Moisture readings:
                                            | Nothing else is left to ask
ANSWERS
run 1 wallwalk walk room.yaml < <(answers <after-the-kettle.txt)
says '! Required: Wall is free of dust (North)' '! Required: Primer has dried long enough (North)'
says 'HOLD | put right 2 | not verified 0 | to ask 0' 'Not before Wed 13 May 2026 11:30.'
cmp room.yaml "$here/b12-prep-room.yaml"

# The check: two things hold, and the earliest honest start is half past eleven.
run 1 wallwalk check room.yaml -o first.html -o first.json
made first.html first.json
says 'HOLD | B12 Prep room, ground' 'Not before Wed 13 May 2026 11:30, and not before everything below is put right.'
says 'HOLDS THE WORK - Lead installer and crew' '1. Required: Wall is free of dust [no-dust]'
says 'HOLDS THE WORK - Painter' '2. Required: Primer has dried long enough [primer-has-dwelled]'
says 'Primer will have dried 20 h 30 min at the planned start; it needs 24 h.' 'Waiting clears it Wed 13 May 2026 11:30.'
# The same names again would write over what is filed.
run 2 wallwalk check room.yaml -o first.json
says 'first.json: is there already; give another name, or add --overwrite'

# Why? And what would have had to be done by when?
run 0 wallwalk explain no-dust room.yaml
says 'Why: Dust keeps the adhesive from touching the wall.' 'North: hold' 'walls[0].dust.wipe_clean is "no"'
run 2 wallwalk explain no-dsut
says 'rigid-sheet: has no rule "no-dsut"; write no-dust'
run 1 wallwalk plan room.yaml -o plan.html -o plan.ics
made plan.html plan.ics
says '1 step is already missed.' 'by Tue 12 May 2026 08:00: When the last coat of primer was finished (North) MISSED'
run 0 wallwalk plan room.yaml --start '2026-05-13 13:00'
says 'For a start on Wed 13 May 2026 13:00.'

# Wednesday, half past twelve: the wall is wiped, the primer is dry. She copies the survey for the second walk,
# and at first forgets that old readings do not count.
sed -e 's/^  at: 2026-05-12 14:00/  at: 2026-05-13 12:30/' \
    -e 's/^planned_start: .*/planned_start: 2026-05-13 13:00/' \
    -e 's/wipe_clean: no/wipe_clean: yes/' -e 's/tape_quantity: 3/tape_quantity: 1/' room.yaml >second.yaml
run 1 wallwalk check second.yaml
says 'Required: Air was read close to the time of the walk' 'Required: Moisture was read close to the time of the walk'
# She reads again.
sed -i 's/2026-05-12 13:\([0-9][0-9]\)/2026-05-13 12:\1/' second.yaml
run 0 wallwalk check second.yaml -o second.html -o second.json
says 'PASS | B12 Prep room, ground' 'The work may start, as long as the space stays as it was on the walk.'
says 'PASSED 71 of 71 checks that can hold the work'
made second.html second.json

# The two walks side by side, for whoever asks what changed.
run 0 wallwalk compare first.json second.json -o compared.html
says 'HOLD on the earlier walk, PASS on the later one.' '2 cleared, 0 new, 0 held on both walks, 0 not verified.'
made compared.html

# The crew reads Spanish.
run 0 wallwalk check second.yaml --lang es
says 'CONFORME | B12 Prep room, ground' 'PRECAUCIONES'
printf '\nThe first sheet may go up.\n'
