// The page's side of the core: one question at a time, each with an answer or a named error.
import { CoreError, restarted } from "./errors.js";
import { nonFinitePath } from "./finite.js";
import { ownScript } from "./own-script.js";
import { CoreStatus } from "./status.js";
import { forCore } from "../words/core.js";
import { t } from "../words/words.js";

export { CoreError } from "./errors.js";

/** @typedef {{code: string, field: string | null, message: string}} Warning */
/** @typedef {{value: any, warnings: Warning[], provenance: Record<string, any>}} Answer */
/** `background` questions wait until nobody else asks; `answer_ms` is for those that take long.
 * @typedef {{signal?: AbortSignal, waitForNumpy?: boolean, background?: boolean, answer_ms?: number}} Options */
/** @typedef {{id: number, text: string, options: Options, gone: boolean,
 *   resolve: (answer: Answer) => void, reject: (reason: unknown) => void}} Question */

const BOOT_MS = 60_000;
const ANSWER_MS = 20_000;

export const status = new CoreStatus();

/** @type {Worker | undefined} */
let worker;
/** Waiting questions; the newest is asked first. @type {Question[]} */
let queue = [];
/** Those that can wait, oldest first. @type {Question[]} */
let patient = [];
/** @type {Question | undefined} */
let asked;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let clock;
let lastId = 0;
let answer_ms = ANSWER_MS;

/** @param {string} path */
const address = (path) => new URL(`../${path}`, import.meta.url).href;

export const addresses = () => ({
  pyodide: address("pyodide/pyodide.mjs"),
  indexURL: address("pyodide/"),
  stdLibURL: address("pyodide/python_stdlib.zip"),
  lock: address("pyodide/pyodide-lock.json"),
  packages: address("pyodide/"),
  core: address("core/pycore.zip"),
  build: pageBuild(),
  timeout_ms: BOOT_MS,
});

/** The build this page belongs to; null when the page was not built. */
function pageBuild() {
  return document.querySelector('meta[name="guyline-build"]')?.getAttribute("content") ?? null;
}

/** Start the core; again after a failure. Questions may be asked before.
 * @param {{answer_ms?: number}} [options] */
export function startCore(options = {}) {
  answer_ms = options.answer_ms ?? answer_ms;
  worker?.terminate();
  status.set({ state: "starting", why: null, numpy: "waiting", build: null });
  worker = new Worker(ownScript("worker/worker.js"), { type: "module", name: "core" });
  worker.addEventListener("message", (event) => hear(event.data));
  worker.addEventListener("error", (event) => fail(event.message || t.worker.workerFileCouldNot));
  watch(BOOT_MS + 5000, () => fail(t.worker.pythonDidNotStart));
  worker.postMessage({ type: "start", where: addresses(), language: forCore() });
}

/** @param {number} ms @param {() => void} action */
function watch(ms, action) {
  clearTimeout(clock);
  clock = setTimeout(action, ms);
}

/** @type {Record<string, (data: any) => void>} */
const NEWS = {
  ready: ({ build, from, why, steps }) => begin(build, { from, fromWhy: why, steps }),
  failed: ({ why }) => fail(why),
  numpy: ({ state, why, heap }) => status.set({ numpy: state, numpyWhy: why ?? null, heap: heap ?? null }),
  answer: ({ id, text }) => finish(id, text),
};

/** @param {any} data */
function hear(data) {
  NEWS[data.type]?.(data);
}

/** @param {string} build @param {{from: string, fromWhy: string | null, steps: Record<string, number>}} how */
function begin(build, how) {
  clearTimeout(clock);
  const page = pageBuild();
  if (page && page !== build) {
    fail(t.worker.pageCalculationsBelongDifferent);
    return;
  }
  status.set({ state: "ready", why: null, build, ...how });
  next();
}

/** @param {string} why */
function fail(why) {
  clearTimeout(clock);
  worker?.terminate();
  worker = undefined;
  status.set({ state: "failed", why });
  refuseAll(() => new CoreError({ code: "core_failed", message: status.sentence }));
}

/** @param {() => CoreError} reason */
function refuseAll(reason) {
  const waiting = [...(asked ? [asked] : []), ...queue, ...patient];
  asked = undefined;
  queue = [];
  patient = [];
  status.busy = 0;
  for (const question of waiting) question.reject(reason());
}

/** A hang: the worker ends, every open question is refused by name, nothing is sent again. */
function restart() {
  refuseAll(restarted);
  startCore();
}

/** The newest question first: what is on the screen now. Withdrawn ones are passed over.
 * @returns {Question | undefined} */
function nextQuestion() {
  for (let one = queue.pop() ?? patient.shift(); one; one = queue.pop() ?? patient.shift()) {
    if (!one.gone) return one;
  }
  return undefined;
}

function next() {
  if (asked || status.state !== "ready") return;
  asked = nextQuestion();
  status.busy = asked ? 1 : 0;
  if (!asked) return;
  watch(asked.options.answer_ms ?? answer_ms, restart);
  worker?.postMessage({ type: "ask", id: asked.id, text: asked.text });
}

/** @param {number} id @param {string} text */
function finish(id, text) {
  if (asked?.id !== id) return;
  clearTimeout(clock);
  const question = asked;
  asked = undefined;
  settle(question, JSON.parse(text));
  next();
}

/** @param {Question} question @param {any} answer */
function settle(question, answer) {
  if (answer.error?.code === "numpy_not_ready" && question.options.waitForNumpy && !question.gone) {
    whenNumpy(question);
  } else if (answer.error) {
    question.reject(new CoreError(answer.error));
  } else {
    const bad = nonFinitePath(answer.value);
    if (bad === null) question.resolve({ value: answer.value, warnings: answer.warnings, provenance: answer.provenance });
    else question.reject(new CoreError({ code: "not_finite", field: bad, message: t.worker.coreAnsweredNoNumber(bad) }));
  }
}

/** Put the question back once numpy is there. @param {Question} question */
function whenNumpy(question) {
  const look = () => {
    if (status.numpy === "loading" || status.numpy === "waiting") return;
    status.removeEventListener("change", look);
    question.options = { ...question.options, waitForNumpy: false };
    queue.push(question);
    next();
  };
  status.addEventListener("change", look);
  worker?.postMessage({ type: "numpy" });
  look();
}

/** Ask the core; questions wait until it is ready, and the newest is answered first.
 * @param {string} operation @param {object} payload @param {Options} [options]
 * @returns {Promise<Answer>} */
export function ask(operation, payload, options = {}) {
  const bad = nonFinitePath(payload);
  if (bad !== null) {
    return Promise.reject(new CoreError({ code: "not_finite", field: bad, message: t.worker.notNumberEnterMeasured(bad) }));
  }
  if (status.state === "failed") {
    return Promise.reject(new CoreError({ code: "core_failed", message: status.sentence }));
  }
  if (options.signal?.aborted) return Promise.reject(options.signal.reason);
  return new Promise((resolve, reject) => {
    const id = ++lastId;
    const question = { id, text: JSON.stringify({ id, operation, payload }), options, gone: false, resolve, reject };
    options.signal?.addEventListener("abort", () => withdraw(question), { once: true });
    (options.background ? patient : queue).push(question);
    status.note();
    next();
  });
}

/** @param {Question} question */
function withdraw(question) {
  question.gone = true;
  question.reject(question.options.signal?.reason);
}
