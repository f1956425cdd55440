# How the three stories of a first hour are told: a step, what it must say, and what it must leave behind.
# shellcheck shell=bash

# run CODE COMMAND...: does the command; it has to end with that exit code. What it said is in $said.
run() {
    local wanted=$1 ended=0
    shift
    printf '\n$ %s\n' "$*"
    said=$("$@" 2>&1) || ended=$?
    printf '%s\n' "$said"
    [ "$ended" -eq "$wanted" ] || fail "ended with exit code $ended, and the story says $wanted"
}

# says TEXT...: each text stands in what the last command said, whatever the lines it is broken into.
says() {
    local text flat
    flat=$(tr -s ' \n' ' ' <<<"$said")
    for text in "$@"; do
        [[ $flat == *"$text"* ]] || fail "did not say: $text"
    done
}

# made FILE...: each file is there, and there is something in it.
made() {
    local file
    for file in "$@"; do
        [ -s "$file" ] || fail "did not make $file"
    done
}

# answers: what is typed at each question of a walk, from lines of the form ANSWER | QUESTION.
answers() {
    sed 's/ *|.*//'
}

fail() {
    printf 'the last step %s\n' "$1" >&2
    exit 1
}
