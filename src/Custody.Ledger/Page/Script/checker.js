// Runs the list of checks over a dossier. Believes nothing in it and never throws for anything in it.
import { readDossier } from "./dossier.js";
import { whyNoSignatures } from "./ed25519.js";
import { chain, chainOfEarlier, included, secondEntries, wellFormed } from "./entrychecks.js";
import { readHistory } from "./histories.js";
import { failed, FAILED, hasFailed, NOT_CHECKED, notChecked, ON_HOUSES_WORD, passed, PASSED, together } from "./outcomes.js";
import { published } from "./published.js";
import { asOf, checkpoint, daysOld, head } from "./signaturechecks.js";
import { tell } from "./telling.js";
import { readTimeline, recordedBetween } from "./timeline.js";
import { disclosures, files, labels } from "./valuechecks.js";

// Common practice: about the time in which a lot is offered, sold and paid.
const OLD_AFTER_DAYS = 30;
const LEFT_TO_COMMAND = "Only the command reaches this: custody-verify.";

// Gives the browser a breath now and then, so that the page stays alive while it works.
export function makePause() {
  let since = performance.now();
  return async () => {
    if (performance.now() - since < 50) return;
    await new Promise((go) => setTimeout(go));
    since = performance.now();
  };
}

// {checks, histories, shown, asOf, daysOld, isVouched, unable}. keys: parsed ones the reader got elsewhere; policy: on cosigners, parsed,
// or null; label: text or null; now: the reader's clock in milliseconds.
export async function check(source, { keys, policy, label, now }) {
  const pause = makePause();
  const unable = await whyNoSignatures();
  const content = await readDossier(source, pause);
  if (content.parts.length === 0) return unreadable(content.bagFault);
  const readings = [];
  for (const part of content.parts) readings.push(await readHistory(part, unable === null, pause));
  return judge(content, readings, { keys: [...keys, ...policy?.logs ?? []], policy, label, now, unable });
}

async function judge(content, readings, { keys, policy, label, now, unable }) {
  const shown = disclosures(content.disclosures, readings);
  const entries = readings.map(wellFormed);
  const chains = readings.map((r, i) => (i === 0 ? chain(r) : chainOfEarlier(readings[0], r)));
  const places = readings.map(included);
  const sound = readings.map((r, i) => ![entries[i], chains[i], places[i]].some(hasFailed) && r.first !== null && r.history.lines.every((l) => l.fact !== null || l.gone !== null));
  const stranger = keys.find((k) => readings.every((r) => r.origin !== k.name)) ?? null;
  const signed = await Promise.all(readings.map((r, i) => checkpoint(r, { expected: keys, policy, stranger: i === 0 ? stranger : null, unable })));
  const timelines = await Promise.all(readings.map((r) => readTimeline(r, policy)));
  const heads = await Promise.all(readings.map((r) => head(r, now, unable)));
  const outcomes = [
    content.bagFault !== null ? failed(content.bagFault) : passed("Every file is there, none besides, each as its manifest says."),
    together(readings, entries), together(readings, chains), together(readings, places), together(readings, signed), together(readings, heads),
    shown.outcome, files(content, readings, shown),
    notChecked(readings.some((r) => r.timeline.some((f) => f.name.endsWith(".tsr"))) ? LEFT_TO_COMMAND : "There are no time stamps in this dossier."),
    notChecked(LEFT_TO_COMMAND), notChecked(LEFT_TO_COMMAND),
    labels(readings[0], sound[0], label), secondEntries(readings),
    together(readings, readings.map((r, i) => recordedBetween(r, timelines[i], unable))),
    notChecked(LEFT_TO_COMMAND),
  ];
  const time = readings[0].head.value?.time;
  return {
    checks: listed(outcomes), histories: readings.map((r, i) => tell(r, shown.opened, sound[i])), shown: shown.count,
    asOf: time === undefined ? null : asOf(time, now), daysOld: time === undefined ? null : daysOld(time, now),
    isVouched: signed[0].result === PASSED, unable,
  };
}

const listed = (outcomes) => outcomes.map((o, i) => ({ number: i + 1, name: published.checks[i].name, elsewhere: published.checks[i].elsewhere, ...o }));

function unreadable(fault) {
  const outcomes = published.checks.map((c) => (c.number === 1 ? failed(fault) : notChecked("The bag cannot be read; see check 1.")));
  return { checks: listed(outcomes), histories: [], shown: 0, asOf: null, daysOld: null, isVouched: false, unable: null };
}

// What it comes to, in words: {failed, text, counts}. Nothing here is so sure that a plain yes would not say too much.
export function verdict(report) {
  const count = (result) => report.checks.filter((c) => c.result === result).length;
  const counts = `${count(PASSED)} passed, ${count(ON_HOUSES_WORD)} passed on the house's word, ${count(NOT_CHECKED)} not checked, ${count(FAILED)} failed.`;
  if (count(FAILED) > 0) return { failed: true, text: "Something failed: do not rely on this dossier before you know why.", counts };
  const key = report.isVouched ? "" : " Nobody vouched for the key.";
  const old = report.daysOld > OLD_AFTER_DAYS ? " It is old: a hold, a claim or a sale may have been recorded since." : "";
  return { failed: false, text: `Nothing failed, ${report.asOf}; anything later is unknown here.${old}${key}`, counts };
}

// What the history proves, as the command says it, and what only the command can add.
export function proves(report) {
  const holds = (...numbers) => numbers.every((n) => report.checks[n - 1].result === PASSED);
  return [
    holds(2, 3, 4)
      ? "These entries stand in the log in this order, and none was changed, added or taken out up to the last one here."
      : "Not that these entries are whole and unchanged: see checks 2, 3 and 4.",
    report.isVouched ? "The ledger whose key you gave signed them."
      : report.unable !== null ? "Not who signed them: this browser cannot verify signatures."
        : "Whoever holds the key named in check 5 signed them. Nobody vouched for that key.",
    "Not that every entry was allowed by its rules: that is check 10, which only the command reaches.",
  ];
}
