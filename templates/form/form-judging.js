// Judges what is written so far. What cannot be read counts as not answered, which never makes a verdict better.

const NOTHING_JUDGED = { survey: null, findings: [], verdict: "hold", start: "", trouble: "", clears: () => "" };

const STATE = {
  id: "", doc: {}, copied: new Set(), changed: "", kept: true, page: "", view: "asking", undo: null,
  faults: [], wanted: new Map(), ...NOTHING_JUDGED,
};

function judgeNow() {
  const doc = JSON.parse(JSON.stringify(STATE.doc));
  Object.assign(STATE, NOTHING_JUDGED, { faults: [], wanted: new Map() });
  try {
    for (let tries = 0; !STATE.survey && tries < 100; tries++) {
      const { survey, faults } = readSurvey(DATA, doc);
      STATE.survey = survey;
      STATE.faults.push(...faults);
      faults.forEach(fault => leaveOut(doc, fault.place));
    }
    if (STATE.survey) judgeSurvey(STATE.survey);
    else STATE.trouble = say("This phone cannot read the survey. Export it and have it looked at at the desk.");
  } catch (error) {
    const told = { error: error.message };
    const trouble = say("This phone could not judge the survey ({error}). Have it checked at the desk.", told);
    Object.assign(STATE, NOTHING_JUDGED, { trouble });
  }
}

// Takes what cannot be read out of a copy; a wall without a name of its own is given one, since it is there.
function leaveOut(doc, place) {
  const list = place.replace(/\[\d+\](\.name)?$/, "");
  const isNamed = Object.values(DATA.form.subjects).some(one => one.path === list) || list === "instruments";
  if (list !== place && isNamed) put(doc, place.replace(/(\.name)?$/, ".name"), freeName(namesIn(doc, list), list));
  else if (place) put(doc, place, undefined);
}

function judgeSurvey(survey) {
  const findings = judge(DATA.rules, survey);
  const facts = factsOf(DATA.rules, survey);
  const verdict = STATE.faults.length ? "hold" : verdictOf(DATA.rules, findings);
  const clears = finding => {
    const at = clearsAt(survey, windowOf(facts(finding.subject), finding));
    return isEnd(at) ? "" : shownMoment(at);
  };
  const start = earliestLine(earliestStart(DATA.rules, survey, findings), verdict);
  Object.assign(STATE, { findings, verdict, clears, start, wanted: wanted(DATA, survey, findings) });
}

// The line under the verdict, as report/view.py has it.
function earliestLine({ at, until, lapses, byWaiting, openThen }, verdict) {
  const when = at === null ? "" : shownMoment(at);
  const ends = until === null || (at !== null && isLess(until, at)) ? "" : lapseLine(until, lapses);
  if (verdict === "pass" && !when) return say("No clock holds the start.") + ends;
  if (verdict === "pass") return say("Start no earlier than {when}.", { when }) + ends;
  if (byWaiting && openThen.length) {
    return say("Earliest honest start: {when}, with what has lapsed by then done again.", { when });
  }
  const isPlanned = STATE.survey.space.answers.has(START);
  if (byWaiting && !isPlanned) return say("Give a planned start, no earlier than {when}.", { when }) + ends;
  if (byWaiting && when) return say("Earliest honest start: {when}. Only time is wanting.", { when }) + ends;
  if (when) return say("Not before {when}, and not before everything below is put right.", { when }) + ends;
  return say("No start can be named: waiting does not cure what holds. Put it right and walk again.");
}

function lapseLine(until, finding) {
  const when = shownMoment(fraction(floored(until)));
  return ` ${say("After {when} this lapses: {check}.", { when, check: ruleNamed(finding.rule).title })}`;
}
