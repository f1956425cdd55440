"""Reports in Spanish: every fixed word is translated, values and dates are said as Spanish says them."""

from __future__ import annotations

import ast
import io
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import cast

import pytest
from babel.messages.catalog import Message
from babel.messages.extract import extract_from_dir
from babel.messages.frontend import parse_keywords, parse_mapping_cfg
from babel.messages.pofile import read_po
from pypdf import PdfReader

from surveys import EXAMPLES
from wallwalk import survey_reader
from wallwalk.attaching import attach
from wallwalk.checking import check
from wallwalk.cli.starting import read_inputs
from wallwalk.comparisons import COMPARISONS
from wallwalk.errors import InputError
from wallwalk.filed_json import read_filed_json
from wallwalk.finding_record import UNLISTED
from wallwalk.languages import LANGUAGES
from wallwalk.limits import Limit
from wallwalk.moments import find_zone, parse_moment, show_moment, show_moments
from wallwalk.overlay_reader import read_overlay
from wallwalk.overlaying import lay_over
from wallwalk.questions import survey_questions
from wallwalk.report.chart_shapes import WIDTH
from wallwalk.report.html import pictures, render_html
from wallwalk.report.pdf import render_pdf
from wallwalk.report.view import lay_out
from wallwalk.rule_reader import read_rule_set
from wallwalk.rules import Check
from wallwalk.values import NO_HIGH, NO_LOW, Interval, OneOf
from wallwalk.wording import (
    show_amount,
    show_basis,
    show_choice,
    show_requirement,
    show_value,
    told_limit,
    told_value,
)
from wallwalk.words import IN_ENGLISH, Words, read_translations, words_in

ROOT = Path(__file__).parent.parent
CATALOG = ROOT / "templates" / "locale" / "es" / "LC_MESSAGES" / "wallwalk.po"
KEYWORDS = parse_keywords(
    ["_", "gettext", "fixed", "say", "say_many:1,2", "sayMany:1,2", "say_as:1c,2", "pgettext:1c,2"]
)
RULES = ROOT / "tests" / "bilingual"
SPANISH = words_in("es")
CHICAGO = find_zone("America/Chicago")
F = Fraction

SURVEY = """\
project: {name: Quillen Ferry Clinic}
space: {name: 031 Staff kitchen}
walk: {at: 2026-03-10 16:00, by: Íñigo Valdecañas}
time_zone: America/Chicago
planned_start: 2026-03-11 08:00
walls_in_scope: 3
walls:
  - name: North
    substrate: other
    moisture_taken: 1
    primer: {finished: 2026-03-10 12:30, dry_to_touch: yes}
  - name: South
    substrate: concrete
    primer: {dry_to_touch: no}
"""

REPORT = """\
RETENIDO | 031 Staff kitchen | Quillen Ferry Clinic
       No empiece el trabajo.
       Recorrido: mar 10 mar 2026 16:00, por Íñigo Valdecañas.
       Comprobado para un inicio: mié 11 mar 2026 08:00.
       No antes del mié 11 mar 2026 12:30, y no antes de que se corrija todo lo
       de abajo.

RETIENE EL TRABAJO - Instalador principal y cuadrilla
-----------------------------------------------------
 1. Se requiere: La pared es de un tipo que estas reglas conocen
    [substrate-is-known]
"""

LINES = (
    """\
    North: El imprimador, terminado mar 10 mar 2026 12:30, habrá secado 19 h 30
      min; necesita 24 h.
    Qué hacer: Espere. No lo fuerce con calor.
    Se resuelve con esperar: mié 11 mar 2026 12:30.
""",
    """\
!   3 en el alcance, 2 paredes anotadas: 1 sin anotar (walls).
!   Por cada pared sin anotar, 4 reglas quedan sin verificar.
""",
    "!   North: La humedad se leyó en 0 a 1 lugares; léala en 3.\n",
    """\
CONFORMES 2 de 9 comprobaciones que pueden retener el trabajo
-------------------------------------------------------------
Reglas: Una pared en dos idiomas (bilingual), revisión 2026-11-25.
""",
)

EXPLAINED = """\
moisture-read-often-enough | La humedad se leyó en suficientes lugares
Grado: precaución. Se aplica a: pared. Tema: Pared.
Pide: Lecturas de humedad: como mínimo 3.
Por qué: Un lugar seco no dice nada del siguiente.
Qué hacer: Léala otra vez.
A cargo de: Instalador principal y cuadrilla
Fundamento: práctica común
Límite: Número mínimo de lecturas de humedad [moisture_count_min]: 3 (publicado:
     ASTM D4263)

Cómo salió 031 Staff kitchen
----------------------------
North: retenido
    Lecturas de humedad: 0 a 1; se pide: como mínimo 3, margen -3 (retenido)
South: sin verificar
    Lecturas de humedad: 0 o más; se pide: como mínimo 3, margen -3 (sin
      verificar)
"""

PLANNED = """\
PLAN | 031 Staff kitchen | Quillen Ferry Clinic
       Para un inicio: mié 11 mar 2026 08:00. 1 paso ya está fuera de plazo. Los
       plazos permiten empezar a partir del mié 11 mar 2026 12:30.

Contado hacia atrás desde el inicio
-----------------------------------
a más tardar el mar 10 mar 2026 08:00: """

CHANGED_LIMIT = """\
overlay: The label
for: bilingual
revision: "2026-03-01"
limits:
  primer_dwell_min:
    value: 24 h
    because: The label says so too.
    basis: "published: the label"
    es: {basis: "published: la etiqueta"}
"""

RULE_SET = """\
  2. El imprimador ha secado lo suficiente [primer-has-dwelled]
     RETIENE; cada pared; Pintor
     Se requiere: Secado del imprimador: como mínimo 24 h
     Qué hacer: Espere. No lo fuerce con calor.
     Por qué: El agua atrapada bajo una lámina cerrada no tiene salida.
     Fundamento: según se cita en publicaciones del oficio: rango de manual
     Límite: Tiempo mínimo de secado del imprimador [primer_dwell_min]: 24 h
         (práctica común)

  3. El imprimador está seco al tacto [primer-dry-to-touch]
     RETIENE; cada pared; Pintor
     Se requiere: Imprimador seco al tacto: sí
"""


def messages() -> Iterator[Message]:
    """Every fixed word in Spanish."""
    with CATALOG.open("rb") as file:
        yield from (message for message in read_po(file) if message.id)


def extracted() -> set[tuple[str | None, str | tuple[str, ...]]]:
    """Every fixed word that code and templates say, with its context."""
    with (ROOT / "templates" / "locale" / "extract.cfg").open() as file:
        methods, options = parse_mapping_cfg(file)  # type: ignore[no-untyped-call]
    found = extract_from_dir(ROOT, methods, options, KEYWORDS)
    return {(context, text) for _, _, text, _, context in found}


def told_of(message: Message) -> tuple[tuple[str, str], ...]:
    """Each text of a fixed word, with what it is in Spanish."""
    english, spanish = (
        tuple(map(str, text)) if isinstance(text, tuple) else (str(text or ""),)
        for text in (message.id, message.string)
    )
    return tuple(zip(english, spanish, strict=True))


def test_every_fixed_word_is_in_the_catalog_and_nothing_else() -> None:
    """What code and templates say is what the catalog holds."""
    found = extracted()
    assert len(found) > 300
    assert {(m.context, m.id) for m in messages()} == found


def test_every_fixed_word_is_translated_with_the_same_places() -> None:
    """No translation is empty, left for later, lacks a place for a part, or brings markup of its own."""
    for message in messages():
        assert not message.fuzzy, message.id
        for english, spanish in told_of(message):
            assert spanish.strip(), english
            places = [sorted(re.findall(r"\{\w*\}|%\(\w+\)s|<[^>]*>", text)) for text in (english, spanish)]
            assert places[0] == places[1], english
            assert ("%" in spanish) <= ("%(" in english), english
            assert not set('"&<') & (set(spanish) - set(english)), english
            spaces = [(text[:1] == " ", text[-1:] == " ") for text in (english, spanish)]
            assert spaces[0] == spaces[1], english


def test_what_is_said_is_written_where_it_is_said() -> None:
    """`say` and its like stand before a text, or no extraction would find it; what is told is marked as fixed."""
    calls = [
        (path.name, node.lineno, node.func.attr, node.args[0])
        for path in sorted((ROOT / "inspect").rglob("*.py"))
        for node in ast.walk(ast.parse(path.read_text()))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.args
        if node.func.attr in {"say", "say_many", "say_as", "tell"} and path.name != "words.py"
    ]
    said = [call for call in calls if call[2] != "tell"]
    assert len(said) > 150
    assert [call[:3] for call in said if not isinstance(call[3], ast.Constant)] == []
    assert [call[:3] for call in calls if call[2] == "tell" and isinstance(call[3], ast.Constant)] == []


def test_tables_say_only_fixed_words() -> None:
    """The phrases of the comparisons, and the name of the walls nobody wrote down, are in the catalog."""
    known = {m.id for m in messages()}
    assert {c.phrase for c in COMPARISONS.values()} - known == {"{words}"}
    assert set(UNLISTED) <= known


def test_no_wall_may_bear_a_name_that_reports_use() -> None:
    """What reports call the space and the walls nobody wrote down is reserved in every language."""
    for language in LANGUAGES:
        words = words_in(language)
        assert {words.say("The space"), *map(words.tell, UNLISTED)} <= survey_reader.RESERVED_NAMES


NUMBERS = [
    (Interval("number", F(3), NO_HIGH), "3 o más"),
    (Interval("number", NO_LOW, F(3)), "3 o menos"),
    (Interval("number", F(1), F(3)), "1 a 3"),
    (Interval("number", NO_LOW, NO_HIGH), "no se sabe"),
    (Interval("temperature", F(20), F("22.5"), "°C"), "20 °C a 22.5 °C"),
    (Interval("duration", F(3600 * 3 + 60 * 20), NO_HIGH, "h"), "3 h 20 min o más"),
    (Interval("number", F(3), F(3), "", "as written"), "as written"),
    (OneOf(frozenset({"yes", "no"})), "no o yes"),
    (OneOf(None), "no se sabe"),
    (parse_moment("2026-03-10 08:00", CHICAGO), "mar 10 mar 2026 08:00"),
    (parse_moment("2026-09-12", CHICAGO), "sáb 12 sept 2026 00:00 a dom 13 sept 2026 00:00"),
    (Interval("moment", F(0), NO_HIGH), "mié 31 dic 1969 18:00 o después"),
    (Interval("moment", NO_LOW, F(1)), "mié 31 dic 1969 18:00:01 o antes"),
]


@pytest.mark.parametrize(("value", "shown"), NUMBERS)
def test_values_in_spanish(value: Interval | OneOf, shown: str) -> None:
    """Spans, dates and what is not known."""
    assert show_value(value, (), CHICAGO, SPANISH) == shown


def test_a_number_keeps_its_own_side_of_a_limit_in_spanish() -> None:
    """Where no digits tell, it is told from the limit."""
    limit = Limit("limit", "duration", F(86400), F(1), "h", "24 h", "common practice")
    little = F(1, 10**60)
    assert show_amount(limit.amount - little, "duration", "h", [limit], SPANISH) == "apenas menos de 24 h"
    assert show_amount(limit.amount + little, "duration", "h", [limit], SPANISH) == "apenas más de 24 h"


def test_requirements_in_spanish() -> None:
    """What a comparison asks for, in the fact's unit too."""
    low, high = (
        Limit(n, "temperature", F(a), F(1), "°C", f"{a} °C", "common practice") for n, a in (("low", 20), ("high", 25))
    )
    value = Interval("temperature", F(22), F(22), "°F", "71.6 °F")
    shown = show_requirement(Check("between", "air", ("low", "high")), [low, high], value, SPANISH)
    assert shown == "20 °C a 25 °C (68 °F a 77 °F)"
    assert show_requirement(Check("at_most", "air", ("high",)), [high], value, SPANISH) == "como máximo 25 °C (77 °F)"
    words = Check("is_one_of", "wall", words=("concreto", "otro"))
    assert show_requirement(words, [], OneOf(None), SPANISH) == "uno de: concreto, otro"


def test_a_limit_has_a_title_in_each_language() -> None:
    """As the rule set writes it; where it writes none in English, the name in words."""
    called = {
        lang: {n: limit.title for n, limit in read_rule_set(str(RULES), lang).limits.items()} for lang in LANGUAGES
    }
    assert called == {
        "en": {
            "known_substrates": "Known substrates",
            "primer_dwell_min": "Least time the primer dries",
            "moisture_count_min": "Fewest moisture readings",
        },
        "es": {
            "known_substrates": "Sustratos conocidos",
            "primer_dwell_min": "Tiempo mínimo de secado del imprimador",
            "moisture_count_min": "Número mínimo de lecturas de humedad",
        },
    }


@pytest.mark.parametrize(
    ("without", "where"),
    [
        (", es: {title: Sustratos conocidos}", "wall.yaml:5: limits.known_substrates"),
        (",\n    es: {title: Tiempo mínimo de secado del imprimador}", "wall.yaml:6: limits.primer_dwell_min"),
        (", es: {title: Sustrato}", "wall.yaml:12: facts.substrate"),
    ],
)
def test_a_limit_or_fact_without_its_spanish_title_is_refused(without: str, where: str, tmp_path: Path) -> None:
    """Where the rule set says that it is written in Spanish; whatever language is asked for."""
    folder = tmp_path / "bilingual"
    shutil.copytree(RULES, folder)
    text = (folder / "wall.yaml").read_text()
    assert text.count(without) == 1
    (folder / "wall.yaml").write_text(text.replace(without, ""))
    for language in LANGUAGES:
        with pytest.raises(InputError) as refused:
            read_rule_set(str(folder), language)
        says = str(refused.value).splitlines()[0]
        assert says == f"bilingual/{where} has no title in es; write es: and title: below it"


def test_every_text_of_a_rule_that_lacks_its_spanish_is_named_at_once(tmp_path: Path) -> None:
    """One line for the rule, with all that is to be written, and not one text after the other."""
    folder = tmp_path / "bilingual"
    shutil.copytree(RULES, folder)
    text = (folder / "wall.yaml").read_text()
    without = text.replace("      put_right: Pregunte al fabricante del adhesivo.\n", "")
    without = without.replace("      why: En un tipo que nadie ha consultado, la adherencia es una suposición.\n", "")
    assert len(text) - len(without) > 100
    (folder / "wall.yaml").write_text(without)
    with pytest.raises(InputError) as refused:
        read_rule_set(str(folder))
    assert str(refused.value) == (
        "bilingual/wall.yaml:19: rules.substrate-is-known has no put_right, why in es; "
        "write es: and put_right:, why: below it"
    )


def test_a_changed_limit_keeps_its_spanish_title_and_takes_its_spanish_basis(tmp_path: Path) -> None:
    """What an overlay says of a limit in Spanish is taken where the report is Spanish."""
    overlay = tmp_path / "overlay.yaml"
    overlay.write_text(CHANGED_LIMIT)
    told = {}
    for language in LANGUAGES:
        rule_set = read_rule_set(str(RULES), language)
        laid = lay_over(rule_set, read_overlay(overlay, rule_set))
        assert [o.title for o in laid.overrides] == [laid.limits["primer_dwell_min"].title]
        told[language] = (laid.limits["primer_dwell_min"].title, laid.overrides[0].basis)
    assert told == {
        "en": ("Least time the primer dries", "published: the label"),
        "es": ("Tiempo mínimo de secado del imprimador", "published: la etiqueta"),
    }


def test_choices_are_called_as_the_questions_call_them() -> None:
    """Choices, yes and no are translated; what is free text is not."""
    rule_set = read_rule_set(str(RULES), "es")
    called = replace(rule_set.questions, words={"concrete": "concreto", "gypsum board": "panel de yeso"})
    rule_set = replace(rule_set, questions=called)
    choice, text = rule_set.facts["substrate"].kinded, replace(rule_set.facts["substrate"].kinded, kind="text")
    wall = OneOf(frozenset({"concrete", "other"}))
    assert show_value(told_value(wall, choice, rule_set, SPANISH), (), None, SPANISH) == "concreto o other"
    assert told_value(wall, text, rule_set, SPANISH) == wall
    assert [show_choice(word, rule_set, SPANISH) for word in ("yes", "no", "concrete")] == ["sí", "no", "concreto"]
    limit = told_limit(rule_set.limits["known_substrates"], rule_set, SPANISH)
    assert limit.written == "panel de yeso, concreto"


def test_a_basis_keeps_what_its_author_cites() -> None:
    """Only the kind of source is translated."""
    assert [
        show_basis(basis, SPANISH)
        for basis in (
            "common practice",
            "from memory",
            "published: ASTM D4263",
            "as quoted in trade literature: MPI limits",
        )
    ] == [
        "práctica común",
        "de memoria",
        "publicado: ASTM D4263",
        "según se cita en publicaciones del oficio: MPI limits",
    ]


def test_dates_and_numbers_follow_the_locale() -> None:
    """US Spanish keeps the point; the locale decides, not we."""
    assert SPANISH.locale == "es_US"
    assert (SPANISH.show_numeral("22.5"), SPANISH.show_count(12345)) == ("22.5", "12,345")
    spain = Words("es", "es_ES", read_translations("es"))
    assert (spain.show_numeral("22.5"), spain.show_count(12345)) == ("22,5", "12.345")
    assert show_amount(F("22.5"), "temperature", "°C", (), spain) == "22,5 °C"
    assert (IN_ENGLISH.show_numeral("22.5"), IN_ENGLISH.show_count(12345)) == ("22.5", "12,345")
    assert show_moment(F(0), None, SPANISH) == "jue 1 ene 1970 00:00 UTC"
    assert show_moments(F(0), F(0), None, SPANISH) == "jue 1 ene 1970 00:00 UTC"
    assert len({show_moment(F(86400 * 28 * n), None, SPANISH).split()[2] for n in range(14)}) == 12


def run(tmp_path: Path, *arguments: str, seed: str = "0") -> subprocess.CompletedProcess[str]:
    """`wallwalk` over the survey, in Spanish, by the rule set in two languages."""
    (tmp_path / "survey.yaml").write_text(SURVEY)
    call = [sys.executable, "-c", "from wallwalk.cli import main; main()", *arguments, "--lang", "es"]
    env = {"PYTHONPATH": str(ROOT / "inspect"), "PYTHONHASHSEED": seed, "PATH": "", "TZ": "Asia/Kathmandu"}
    return subprocess.run(call, capture_output=True, text=True, check=False, cwd=tmp_path, env=env)


@pytest.mark.slow
def test_check_plan_explain_and_show_in_spanish(tmp_path: Path) -> None:
    """Whole sentences of each command."""
    rules = ("--rules", str(RULES))
    done = run(tmp_path, "check", "survey.yaml", *rules)
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout.startswith(REPORT)
    for line in LINES:
        assert line in done.stdout
    assert run(tmp_path, "explain", "moisture", "survey.yaml", *rules).stdout.startswith(EXPLAINED)
    assert run(tmp_path, "plan", "survey.yaml", *rules).stdout.startswith(PLANNED)
    assert RULE_SET in run(tmp_path, "rules", "show", str(RULES)).stdout


def test_a_rule_set_in_english_only_is_refused_in_english(tmp_path: Path) -> None:
    """Messages stay English, and nothing is half translated."""
    (tmp_path / "plain").mkdir()
    for name in ("about", "wall"):
        text = (RULES / f"{name}.yaml").read_text()
        (tmp_path / "plain" / f"{name}.yaml").write_text(text.replace("languages: [en, es]", "languages: [en]"))
    done = run(tmp_path, "check", "survey.yaml", "--rules", "plain")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == "plain: is not written in the language es; ask for one of: en\n"


@pytest.mark.slow
def test_files_in_spanish_say_their_language_and_are_the_same_bytes(tmp_path: Path) -> None:
    """Page, PDF and calendar name their language; another hash seed gives the same bytes."""
    outputs = ["-o", "a.html", "-o", "a.json", "-o", "a.pdf"]
    drawn = []
    for seed in ("1", "2"):
        folder = tmp_path / seed
        folder.mkdir()
        done = run(folder, "check", "survey.yaml", "--rules", str(RULES), *outputs, seed=seed)
        assert done.returncode == 1, done.stderr
        run(folder, "plan", "survey.yaml", "--rules", str(RULES), "-o", "p.html", "-o", "p.ics", seed=seed)
        drawn.append({name: (folder / name).read_bytes() for name in ("a.html", "a.json", "a.pdf", "p.html", "p.ics")})
    first, second = drawn
    assert first == second
    assert b'<html lang="es">' in first["a.html"]
    assert b'<html lang="es">' in first["p.html"]
    assert b"//work-back plan//ES" in first["p.ics"]
    root = cast(Mapping[str, object], PdfReader(io.BytesIO(first["a.pdf"])).trailer["/Root"])
    assert root["/Lang"] == "es"
    assert '<p class="word">RETENIDO</p>' in first["a.html"].decode()


@pytest.mark.slow
def test_a_report_is_drawn_in_the_language_of_its_record(tmp_path: Path) -> None:
    """The record alone says which."""
    run(tmp_path, "check", "survey.yaml", "--rules", str(RULES), "-o", "a.json", "-o", "a.html", "-o", "a.pdf")
    filing = read_filed_json((tmp_path / "a.json").read_bytes(), "a.json")
    record = filing.record
    assert record["language"] == "es"
    assert lay_out(record).headline == "No empiece el trabajo."
    assert render_html(record).encode() == (tmp_path / "a.html").read_bytes()
    assert "El levantamiento tal como se leyó" in [a.says.partition(",")[0] for a in attach(filing)]
    assert render_pdf(filing) == (tmp_path / "a.pdf").read_bytes()
    assert lay_out({**record, "language": "en"}).headline == "Do not start the work."


def test_questions_have_no_words_of_their_own_in_english() -> None:
    """An answer is shown as the survey writes it, where the report is in English."""
    assert survey_questions().words == {}


@pytest.mark.slow
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_language_never_moves_a_finding(path: Path) -> None:
    """Record for record: every outcome, verdict and exact value is the same in both languages; only words differ."""
    english, spanish = (_judged(path, language) for language in LANGUAGES)
    assert len(english) > 100
    assert english == spanish


def _judged(path: Path, language: str) -> list[tuple[object, ...]]:
    survey, rule_set = read_inputs(path, None, (), language)
    record = check(survey, rule_set)
    return [
        (
            f["rule"],
            f["about"],
            f["outcome"],
            f["clears_at"] and f["clears_at"]["at"],
            [(c["fact"], c["verdict"], c["value"], c["limits"], c["sources"]) for c in f["compared"]],
            [m["place"] for m in f["missing"]],
        )
        for f in record["findings"]
    ] + [(record["verdict"], record["earliest_start"]["at"] and record["earliest_start"]["at"]["at"])]


@pytest.mark.slow
def test_every_label_of_a_picture_has_room_in_spanish() -> None:
    """Spanish is longer; no label runs over the edge of its picture."""
    drawn = []
    for path in EXAMPLES:
        survey, rule_set = read_inputs(path, None, (), "es")
        record = check(survey, rule_set)
        for charts in pictures(record, record["evaluated_for"]).values():
            assert isinstance(charts, tuple)
            drawn += [(path.stem, label) for c in charts for label in (*c.drawing.labels, *c.key.labels)]
    assert len(drawn) > 200
    assert [(name, label) for name, label in drawn if label.left < 0 or label.left + label.width > WIDTH] == []
