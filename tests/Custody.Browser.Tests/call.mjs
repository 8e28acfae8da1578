// Calls functions of the page's modules: one line {"module", "name", "argument"} of calls.jsonl in the folder given, one line of JSON out.
// An argument {"bytes": base64} is bytes. Answers {"value"}, or {"code"} where the function refuses what it was given.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

const folder = process.argv[2];
const { Malformed } = await import(pathToFileURL(join(folder, "malformed.js")));
const { writeJson } = await import(pathToFileURL(join(folder, "json.js")));

const plain = (value) => (value instanceof Uint8Array ? Buffer.from(value).toString("base64")
  : value === Infinity ? "later" : value === -Infinity ? "earlier" : value);

for (const line of readFileSync(join(folder, "calls.jsonl"), "utf8").split("\n")) {
  if (line === "") continue;
  const { module, name, argument } = JSON.parse(line);
  const call = (await import(pathToFileURL(join(folder, module + ".js"))))[name];
  let answer;
  try {
    const value = call(typeof argument === "string" ? argument : Uint8Array.from(Buffer.from(argument.bytes, "base64")));
    answer = { value: module === "json" ? writeJson(value) : value };
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    answer = { code: fault.code };
  }
  console.log(JSON.stringify(answer, (_, value) => plain(value)));
}
