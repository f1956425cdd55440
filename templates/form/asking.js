// Asking only what matters: what is still to be asked of a survey so far. Mirrors inspect/wallwalk/asking.py.
// data.asks: by fact, the [about, path] of the questions and lists it is measured from; data.job: what is always asked.

// By the place of each subject ("" for the space), the set of paths of what is to be asked of it.
function wanted(data, survey, findings) {
  const found = new Map();
  for (const subject of [survey.space, ...listedOf(survey)]) {
    const always = data.job.filter(([about]) => about === subject.about).map(([, path]) => path);
    found.set(placeOf(subject), new Set(always));
  }
  const leads = new Map(data.survey.questions.map(q => [`${q.about} ${q.path}`, q.follows]));
  for (const finding of findings) {
    for (const fact of factsOpen(data.rules.rules[finding.rule], finding)) {
      for (const [about, path] of data.asks[fact]) {
        for (const owner of ownersOf(survey, finding.subject, about)) {
          if (isOpen(leads.get(`${about} ${path}`), owner)) found.get(placeOf(owner)).add(path);
        }
      }
    }
    if (!finding.subject.listed) found.get("").add(finding.subject.countedBy);
  }
  return found;
}

function placeOf(subject) { return subject.about === "space" ? "" : subject.place; }

function listedOf(survey) { return survey.others.filter(subject => subject.listed); }

function ownersOf(survey, subject, about) {
  if (about === "space") return [survey.space];
  if (subject.about === about) return subject.listed ? [subject] : [];
  return listedOf(survey).filter(other => other.about === about);
}

function isOpen(follows, subject) {
  if (!follows) return true;
  const lead = subject.answers.get(follows);
  return lead === undefined || (lead.value.written !== "no" && lead.value.written !== "none");
}

function factsOpen(rule, finding) {
  const compared = finding.compared[Symbol.iterator]();
  const facts = [];
  if (rule.appliesWhen) {
    const applies = walked(rule.appliesWhen, compared, true);
    facts.push(...applies.facts);
    if (applies.verdict !== "pass") return facts;
  }
  facts.push(...walked(rule.require, compared, false).facts);
  return finding.outcome === "hold" ? facts.concat(rule.shows) : facts; // and what its sentence shows
}

// The verdict of a condition and the facts it asks for; `short`: after a part that fails, no further one.
function walked(condition, compared, short) {
  if (!condition.parts) return { verdict: compared.next().value.verdict, facts: [condition.fact] };
  const parts = condition.parts.map(part => walked(part, compared, short));
  const verdicts = parts.map(part => part.verdict);
  const any = condition.word === "any_of";
  const settled = verdicts.indexOf(any ? "pass" : "hold");
  const counts = settled < 0 || !(short || any) ? parts : parts.slice(0, settled + 1);
  return { verdict: any ? anyOf(verdicts) : allOf(verdicts), facts: counts.flatMap(part => part.facts) };
}
