"""Rows of the table: a machine that lacks parts, its limits, its clock, and two programs at once."""

from __future__ import annotations

from faulty import PASSES, Row

_CHECK = "wallwalk check room.yaml"
_FILED = f"{_CHECK} -o a.json && cmp a.json record.json"
_NO_ZONES = (
    "the table of the world's time zones is not on this machine, and no time is read without it; "
    "run: python -m pip install tzdata"
)
_HIDE_ZONES = "mkdir hide && echo 'raise ImportError' > hide/tzdata.py"
_WITHOUT_ZONES = "PYTHONTZPATH= PYTHONPATH=hide:$TREE wallwalk"
_HIDE_PANGO = (
    "mkdir -p hide/weasyprint && echo 'raise OSError(\"cannot load library libpango\")' > hide/weasyprint/__init__.py"
)
_HIDE_WEASYPRINT = "mkdir hide && echo 'raise ImportError(\"no such module\")' > hide/weasyprint.py"
_NO_PANGO = (
    "a PDF needs Pango and HarfBuzz, which this machine lacks; "
    "on Debian or Ubuntu run: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; "
    "on another system see https://doc.courtbouillon.org/weasyprint/stable/first_steps.html; "
    "the HTML report needs none of this and prints from a browser"
)
_NO_FONT = (
    "a PDF needs a font, and this machine has none; on Debian or Ubuntu run: "
    "apt-get install fonts-open-sans fonts-dejavu-core; the HTML report needs none and prints from a browser"
)
_HIDE_FONTS = "mkdir none && echo '<fontconfig><dir prefix=\"cwd\">none</dir></fontconfig>' > fonts.conf"
_HAN = (
    "no font on this machine has 漢 (U+6F22), so the PDF would show an empty box there; install one that has, such as "
    "fonts-noto of Debian or Ubuntu; the HTML report shows what the browser can"
)

LACKING = (
    *(
        Row("no time zones", f"{_WITHOUT_ZONES} {c}", 2, _NO_ZONES, before=_HIDE_ZONES)
        for c in ("check room.yaml", "board .", "verify record.json", "walk a.yaml")
    ),
    Row(
        "no time zones",
        f"{_WITHOUT_ZONES} check room.yaml kitchen.yaml --jobs 2",
        2,
        f"room.yaml: {_NO_ZONES}\nkitchen.yaml: {_NO_ZONES}",
        "NOT CHECKED | room.yaml",
        before=_HIDE_ZONES,
    ),
    Row("zones of the system missing, those of tzdata there", f"PYTHONTZPATH= {_CHECK}", 0, same=_CHECK),
    Row("no Pango", f"PYTHONPATH=hide:$TREE {_CHECK}", 0, same=_CHECK, before=_HIDE_PANGO),
    Row("no Pango", f"PYTHONPATH=hide:$TREE {_CHECK} -o a.html -o a.pdf", 2, _NO_PANGO, PASSES, before=_HIDE_PANGO),
    Row("no WeasyPrint", "PYTHONPATH=hide:$TREE wallwalk blank -o a.pdf", 2, _NO_PANGO, before=_HIDE_WEASYPRINT),
    Row(
        "no font",
        f"FONTCONFIG_FILE=$PWD/fonts.conf {_CHECK} -o a.html -o a.pdf",
        2,
        _NO_FONT,
        PASSES,
        before=_HIDE_FONTS,
    ),
    Row("no font", "FONTCONFIG_FILE=$PWD/fonts.conf wallwalk blank -o a.pdf", 2, _NO_FONT, before=_HIDE_FONTS),
    Row(
        "a letter in no font",
        "wallwalk plan room.yaml -o a.pdf",
        2,
        _HAN,
        "PLAN | 204 漢 room | Quillen Ferry Clinic, refit and link",
        before="sed -i 's/204 Treatment/204 漢/' room.yaml",
    ),
)
"""What a machine lacks is said once, and nothing else is taken for it: no other zone, no empty boxes."""

_NEW = ("mine/about.yaml", "mine/rule-files.schema.json", "mine/wall.yaml")
LIMITS = (
    Row("16 open files", f"ulimit -n 16; {_FILED}", 0, "", PASSES, left=("a.json",)),
    Row(
        "16 open files",
        "ulimit -n 16; wallwalk check room.yaml kitchen.yaml --jobs 8 -o a.jsonl",
        2,
        "stopped: [Errno 24] Too many open files; ask for fewer --jobs, or let more files be open (ulimit -n)",
    ),
    *(
        Row(f"hash seed {seed}", f"PYTHONHASHSEED={seed} {_FILED}", 0, "", PASSES, left=("a.json",))
        for seed in (4294967295,)
    ),
    *(
        Row(
            f"umask {mask}",
            f"umask {mask}; {_CHECK} -o a.json >/dev/null; stat -c %a a.json",
            0,
            "",
            mode,
            left=("a.json",),
        )
        for mask, mode in (("077", "600"), ("000", "666"))
    ),
    *(
        Row(
            f"umask {mask}",
            f"umask {mask}; wallwalk rules new mine >/dev/null; stat -c %a mine",
            0,
            "",
            mode,
            left=_NEW,
        )
        for mask, mode in (("077", "700"), ("000", "777"))
    ),
    Row(
        "output on another file system",
        f"f=/dev/shm/wallwalk-faults-$$.json; {_CHECK} -o $f >/dev/null; x=$?; "
        "cmp $f record.json || x=9; rm $f; exit $x",
        0,
    ),
    Row(
        "two write one output",
        f"{_CHECK} -o a.json >/dev/null 2>&1 & {_CHECK} -o a.json >/dev/null 2>&1; x=$?; "
        "wait $! ; echo $((x + $?)); cmp a.json record.json",
        0,
        "",
        "2",
        left=("a.json",),
    ),
    Row(
        "two write over one output",
        f"{_CHECK} -o a.json --overwrite >/dev/null & "
        f"{_CHECK} -o a.json --overwrite >/dev/null; x=$?; wait $! ; echo $((x + $?)); cmp a.json record.json",
        0,
        "",
        "0",
        left=("a.json (changed)",),
        before="touch a.json",
    ),
)
"""Small machines, other masks, two at once: of two that write one new file, one is refused."""

_LOST = (
    "mkdir site && printf 'import time, datetime as d\\nclass D(d.datetime):\\n  @classmethod\\n"
    "  def now(cls, tz=None): return cls(1971, 1, 1, tzinfo=d.timezone.utc)\\nclass E(d.date):\\n  @classmethod\\n"
    "  def today(cls): return cls(1971, 1, 1)\\nd.datetime, d.date = D, E\\n"
    "time.time = lambda: 31536000.0\\n' > site/sitecustomize.py"
)
CLOCK = (
    Row("clock in 1971", f"PYTHONPATH=site:$TREE {_FILED}", 0, "", PASSES, left=("a.json",), before=_LOST),
    Row(
        "clock in 1971",
        "PYTHONPATH=site:$TREE wallwalk rules new mine >/dev/null; grep -m1 revision: mine/about.yaml",
        0,
        "",
        'revision: "1971-01-01"',
        left=_NEW,
        before=_LOST,
    ),
    *(
        Row(f"files from {year}", _FILED, 0, "", PASSES, left=("a.json",), before=f"touch -d {year}-01-01 *")
        for year in (2099,)
    ),
    Row(
        "scraps from 2099, the clock since set back",
        f"{_FILED} && ls .wallwalk-*",
        0,
        "",
        PASSES,
        left=("a.json",),
        before="touch -d 2099-01-01 .wallwalk-abcd1234.part",
    ),
    Row(
        "scraps from 1975, the clock since set forward",
        _FILED,
        0,
        "",
        PASSES,
        left=(".wallwalk-abcd1234.part (gone)", "a.json"),
        before="touch -d 1975-01-01 .wallwalk-abcd1234.part",
    ),
)
"""Nothing is judged by the clock, so it may be anything; what a killed program left goes by the file system's own."""
