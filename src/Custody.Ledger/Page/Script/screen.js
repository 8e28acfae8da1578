// The page: takes what is given, shows what was found. Everything a dossier says is a stranger's text and is only ever put in as text.
import { check, proves, verdict } from "./checker.js";
import { readCrockford } from "./crockford.js";
import { whyNotOne } from "./dossier.js";
import { whyNoSignatures } from "./ed25519.js";
import { Malformed } from "./malformed.js";
import { parseKey } from "./notes.js";
import { parsePolicy } from "./policy.js";
import { published } from "./published.js";
import { sourceOf } from "./zip.js";

const RESULTS = { passed: "passed", onHousesWord: "passed on the house's word", failed: "failed", notChecked: "not checked" };

// Where the command names its options the page has fields.
const OPTIONS = / \(--[a-z-]+(?:, --[a-z-]+)*\)/g;

const at = (id) => document.getElementById(id);

// What could hide text or turn it round is shown as a mark.
const safe = (text) => String(text).replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Co}\p{Cn}]/gu, "\ufffd");

function element(name, className, ...content) {
  const made = document.createElement(name);
  if (className) made.className = className;
  made.append(...content.map((c) => (c instanceof Node ? c : safe(c))));
  return made;
}

const list = (items) => element("ul", "", ...items.map((item) => element("li", "", item)));

// ---- what is given

let chosen = null; // the dossier's file
let run = 0; // only the last run that was begun is shown

function keysGiven() {
  return at("key").value.split(/\r?\n/).map((line) => line.trim()).filter((line) => line.length > 0).map(parseKey);
}

// A label is given by its 26 characters, or as the whole address that a camera reads from it.
function labelGiven() {
  const text = at("label").value.trim();
  if (text.length === 0) return null;
  const last = text.split("/").at(-1);
  return text.includes("/L/") && readCrockford(last) !== null ? last : text.replace(/\s/g, "");
}

function policyGiven() {
  const text = at("policy").value.replaceAll("\r", "");
  return text.trim().length === 0 ? null : parsePolicy(text);
}

async function begin() {
  const mine = ++run;
  at("report").hidden = true;
  if (chosen === null) return say("Which dossier? Pick a file, or drag it onto this page.");
  const given = { now: Date.now(), label: labelGiven() };
  try {
    given.keys = keysGiven();
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return say(`The key is not one: ${fault.message}`);
  }
  try {
    given.policy = policyGiven();
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return say(`The policy is not one: ${fault.message}`);
  }
  say(`Checking ${chosen.name} …`, true);
  try {
    const source = sourceOf(chosen);
    const why = await whyNotOne(source);
    if (mine !== run) return;
    if (why !== null) return say(`${chosen.name} is not a dossier. ${why}`);
    const report = await check(source, given);
    if (mine === run) show(report);
  } catch (fault) {
    // The file went away or may not be read; or this page has a fault of its own. Neither says anything of the dossier.
    if (mine === run) say(`${chosen.name} could not be checked here (${fault.name}: ${fault.message}). Nothing is known of it: use the command.`);
  }
}

function say(text, busy = false) {
  at("status").textContent = safe(text);
  document.body.setAttribute("aria-busy", String(busy));
}

// ---- what was found

function show(report) {
  const { failed, text, counts } = verdict(report);
  at("verdict").className = failed ? "failed" : "";
  at("verdict").replaceChildren(element("p", "", element("strong", "", text)), element("p", "quiet", `${chosen.name}. ${counts}`));
  at("checks").replaceChildren(...report.checks.map(checkRow));
  at("told").replaceChildren(...(report.histories.length === 0 ? [] : [
    element("h2", "", "What this history proves"), list(proves(report)),
    ...report.histories.flatMap(history),
  ]));
  at("report").hidden = false;
  say(`Checked. ${text}`);
  at("report-title").focus({ preventScroll: true });
  at("report").scrollIntoView();
}

function checkRow(check) {
  const row = element("li", check.result, element("span", "number", String(check.number)), element("h3", "", check.name),
    element("p", "result", RESULTS[check.result]), element("p", "reason", check.reason.replace(OPTIONS, "")));
  if (check.result === "notChecked" && published.checks[check.number - 1].byPage !== published.commandOnly) row.append(element("p", "hint", `Elsewhere: ${check.elsewhere}.`));
  row.dataset.check = String(check.number);
  row.dataset.result = check.result;
  return row;
}

function history(told) {
  const kept = told.unshown.map(([name, count]) => `${name} ${count}`).join(", ");
  return [
    element("h2", "", `As ${told.origin} recorded it`),
    element("p", "", `Stream ${told.stream}; the last entry is ${told.head}. In the order in which things are said to have happened.`),
    ...(kept === "" ? [] : [element("p", "quiet", `Kept back, or never said (the two look alike on purpose): ${kept}.`)]),
    ...told.entries.map(entry),
  ];
}

function entry(told) {
  const made = element("article", told.isVoid ? "void" : "",
    element("h3", "", told.title + (told.isReport ? " (a report of what happened elsewhere or before)" : "")));
  const by = told.correctedBy.join(", ");
  const corrections = told.isVoid ? `This did not happen here, says entry ${by}.` : by === "" ? "" : `Told as corrected by entry ${by}.`;
  if (corrections !== "") made.append(element("p", "quiet", corrections));
  const occurred = told.occurred === null ? "When it happened was not said" : `Said to have happened ${told.occurred}`;
  const recorded = told.recorded === null ? "recorded at a time not known" : `recorded ${told.recorded} by ${told.by}`;
  made.append(element("p", "quiet", `${occurred}; ${recorded}; entry ${told.line}.`));
  if (told.said.length > 0)
    made.append(element("dl", "", ...told.said.flatMap((s) => [element("dt", "", s.name + (s.shown ? " (shown)" : "")), element("dd", "", s.value)])));
  if (told.unshown.length > 0) made.append(element("p", "quiet", `Kept back or never said: ${told.unshown.join(", ")}.`));
  return made;
}

// ---- the page itself

async function open() {
  at("reach").tBodies[0].append(...published.checks.map((c) => {
    const name = element("th", "", `${c.number} ${c.name}`);
    name.scope = "row";
    return element("tr", "", name, ...[c.byCommand, c.byPage, c.byLabelPage, c.elsewhere].map((text) => element("td", "", text)));
  }));
  at("before").append(...list(published.beforePaying).children);
  at("cautions").append(...list(published.cautions).children);
  at("given").addEventListener("submit", (event) => {
    event.preventDefault();
    begin();
  });
  at("dossier").addEventListener("change", () => choose(at("dossier").files[0]));
  for (const name of ["key", "policy"]) {
    at(`${name}-file`).addEventListener("change", async () => {
      const file = at(`${name}-file`).files[0];
      if (file !== undefined) at(name).value = (await file.slice(0, 1 << 20).text()).trim();
    });
  }
  takeDrops();
  const unable = await whyNoSignatures();
  at("unable").hidden = unable === null;
  at("unable").textContent = unable === null ? "" : `${unable} Checks 5 and 6 are left to the command here; everything else works.`;
}

function choose(file) {
  if (file === undefined) return;
  chosen = file;
  begin();
}

function takeDrops() {
  const dragging = (is) => (event) => {
    event.preventDefault();
    document.body.classList.toggle("dragging", is);
  };
  addEventListener("dragover", dragging(true));
  addEventListener("dragleave", dragging(false));
  addEventListener("drop", (event) => {
    dragging(false)(event);
    choose(event.dataTransfer.files[0]);
  });
}

open();
