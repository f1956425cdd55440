#!/usr/bin/env bash
# An inspector's first hour: bash tests/first_hour/inspector.sh, in an empty folder, with wallwalk on the PATH.
# Ada Fenwright files what was walked, and has to be able to say later that nothing in it was changed.
set -euo pipefail
here=$(CDPATH='' cd -- "$(dirname -- "${BASH_SOURCE[0]}")" && pwd -P)
# shellcheck source=tests/first_hour/steps.sh
source "$here/steps.sh"
cp "$here/b12-prep-room.yaml" .

# By what is it judged? The rule sets, and the manual of one.
run 0 wallwalk rules list
says 'rigid-sheet: Rigid sheet wall covering'
run 0 wallwalk rules show -o manual.html
made manual.html
grep -q 'primer-has-dwelled' manual.html || fail 'left a rule out of the manual'
run 2 wallwalk rules show rigid-shete
says 'rigid-shete: is no rule set; write one of: pasted-wallcovering, rigid-sheet'

# She checks and files the room: the record, and the PDF that carries it.
run 1 wallwalk check b12-prep-room.yaml -o b12.json -o b12.pdf
made b12.json b12.pdf
says 'HOLD | B12 Prep room, ground'
run 0 wallwalk verify b12.json
says 'ok survey "b12-prep-room.yaml": the bytes that were checked' 'MATCHES: it is what was checked.'
run 0 wallwalk verify b12.pdf
says 'ok the pages: drawn from the record inside' 'MATCHES: it is what was checked.'
# The survey itself is no record, and a record no survey.
run 2 wallwalk verify b12-prep-room.yaml
says 'is a survey by its name, and no filed record; file its record by wallwalk check with -o'
run 2 wallwalk check b12.json
says 'b12.json: is a filed record, and no survey; give the survey that it was made from'

# Checked again from the same survey, its record is the same, byte for byte.
run 1 wallwalk check b12-prep-room.yaml -o again.json
cmp b12.json again.json

# The painter's hold is released, by who may do so, with a reason. The verdict stays.
sign() { wallwalk sign b12.json --at '2026-05-13 07:30' --name 'Ada Fenwright' --decision released "$@"; }
run 2 sign --role inspector --hold primer-has-dwelled -o signed.json
says '--remark: is empty; write the reason for going on over a hold'
run 2 sign --role painter --hold primer-has-dwelled --remark 'Dry.' -o signed.json
says '--role: is "painter", who may release nothing by the rule set rigid-sheet'
run 2 sign --role inspector --hold primer-has-dweled --remark 'Dry.' -o signed.json
says '--hold: is "primer-has-dweled", and the record has no such rule; write primer-has-dwelled'
run 0 sign --role inspector --hold primer-has-dwelled --remark 'Dry by the meter in five places.' -o signed.json
says 'HOLD | B12 Prep room, ground' 'SIGNED - the verdict stays what it was'
says 'released over hold by Ada Fenwright (inspector), Wed 13 May 2026 07:30: Dry by the meter in five places.'
made signed.json
run 0 wallwalk verify signed.json
says 'ok entry 1 (released by Ada Fenwright, inspector)' 'MATCHES: it is what was checked.'
run 2 sign --role inspector --hold primer-has-dwelled --remark 'Dry.' -o signed.json
says 'signed.json: is there already; give another name, or add --overwrite'

# Somebody makes the primer four hours older in the record; somebody else takes back a word of hers.
sed 's/2026-05-12 11:30/2026-05-12 07:30/' signed.json >older.json
run 1 wallwalk verify older.json
says 'NOT the record: changed since entry 1 was signed' 'DOES NOT MATCH' '2026-05-12 07:30'
sed 's/in five places/in two places/' signed.json >fewer.json
run 1 wallwalk verify fewer.json
says 'NOT entry 1 (released by Ada Fenwright, inspector): changed since the file was written' 'DOES NOT MATCH: 1 thing'
run 2 wallwalk sign fewer.json --role inspector --name 'Ada Fenwright' --decision noted --at '2026-05-13 08:00' -o x.json
says 'sign the record as it was filed; wallwalk verify says more'
[ ! -e x.json ] || fail 'signed what was changed'

# The project asks for more than the rule set: its specification is laid over it, and has to say what that changes.
cat >specification.yaml <<'YAML'
overlay: Halden Row School, specification of wall sheet
for: rigid-sheet
revision: "2026-04-02"
limits:
  primer_dwell_min:
    value: 36 h
    because: The label of the adhesive asks for a day and a half.
    basis: "published: Halden Row School specification, clause 9.3"
YAML
run 2 wallwalk rules test --overlay specification.yaml
says 'primer-has-dwelled' 'exactly at the limit: hold'
cat >>specification.yaml <<'YAML'
    flips:
      primer-has-dwelled:
        exactly at the limit: hold
YAML
run 0 wallwalk rules test --overlay specification.yaml
says 'every flip is as listed' '1 value changed, 1 example comes out otherwise'
run 1 wallwalk check b12-prep-room.yaml --overlay specification.yaml -o ours.json
says 'Not before Wed 13 May 2026 23:30' 'it needs 36 h' 'Halden Row School, specification of wall sheet'
run 0 wallwalk verify ours.json
says 'overlay "specification.yaml": the bytes that were checked'
run 0 wallwalk rules show --overlay specification.yaml -o ours.html
grep -q 'Halden Row School, specification of wall sheet' ours.html || fail 'left the specification out of the manual'
printf '\nFiled.\n'
