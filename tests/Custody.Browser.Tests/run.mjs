// Runs the page's own modules, as they stand in the folder given, over the dossiers in it: one line of JSON for each line of cases.jsonl.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const folder = process.argv[2];
const module = (name) => import(pathToFileURL(join(folder, name + ".js")));
const [{ check, verdict }, { whyNotOne }, { parseKey }, { parsePolicy }, { sourceOf }] = await Promise.all(["checker", "dossier", "notes", "policy", "zip"].map(module));

for (const line of readFileSync(join(folder, "cases.jsonl"), "utf8").split("\n")) {
  if (line === "") continue;
  const { file, key, policy, label, now } = JSON.parse(line);
  const source = sourceOf(new Blob([readFileSync(join(folder, file))]));
  const notADossier = await whyNotOne(source);
  const given = { keys: key === null ? [] : [parseKey(key)], policy: policy === null ? null : parsePolicy(policy), label, now };
  const answer = notADossier === null ? await check(source, given) : { notADossier };
  if (notADossier === null) answer.verdict = verdict(answer);
  console.log(JSON.stringify(answer));
}
