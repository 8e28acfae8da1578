// How a check came out for one history, before it has its place in the list.
export const PASSED = "passed";
export const ON_HOUSES_WORD = "onHousesWord";
export const NOT_CHECKED = "notChecked";
export const FAILED = "failed";

const outcome = (result) => (reason) => ({ result, reason });
export const passed = outcome(PASSED);
export const onHousesWord = outcome(ON_HOUSES_WORD);
export const notChecked = outcome(NOT_CHECKED);
export const failed = outcome(FAILED);

export const hasFailed = (one) => one.result === FAILED;

const WEIGHT = [PASSED, ON_HOUSES_WORD, NOT_CHECKED, FAILED];

// What counts for several histories together: the worst of them.
export function together(readings, outcomes) {
  if (outcomes.length === 1) return outcomes[0];
  const worst = Math.max(...outcomes.map((o) => WEIGHT.indexOf(o.result)));
  return { result: WEIGHT[worst], reason: outcomes.map((o, i) => `${readings[i].origin}: ${o.reason}`).join(" ") };
}
