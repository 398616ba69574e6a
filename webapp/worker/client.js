// The page's side of the core: one question at a time, each with an answer or a named error.
import { CoreError, restarted } from "./errors.js";
import { nonFinitePath } from "./finite.js";
import { CoreStatus } from "./status.js";

export { CoreError } from "./errors.js";

/** @typedef {{code: string, field: string | null, message: string}} Warning */
/** @typedef {{value: any, warnings: Warning[], provenance: Record<string, any>}} Answer */
/** @typedef {{signal?: AbortSignal, waitForNumpy?: boolean}} Options */
/** @typedef {{id: number, text: string, options: Options, gone: boolean,
 *   resolve: (answer: Answer) => void, reject: (reason: unknown) => void}} Question */

const BOOT_MS = 60_000;
const ANSWER_MS = 20_000;

export const status = new CoreStatus();

/** @type {Worker | undefined} */
let worker;
/** @type {Question[]} */
let queue = [];
/** @type {Question | undefined} */
let asked;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let clock;
let lastId = 0;
let answer_ms = ANSWER_MS;

/** @param {string} path */
const address = (path) => new URL(`../${path}`, import.meta.url).href;

const addresses = () => ({
  pyodide: address("pyodide/pyodide.mjs"),
  indexURL: address("pyodide/"),
  stdLibURL: address("pyodide/python_stdlib.zip"),
  lock: address("pyodide/pyodide-lock.json"),
  packages: address("pyodide/"),
  core: address("core/pycore.zip"),
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
  worker = new Worker(new URL("./worker.js", import.meta.url), { type: "module", name: "core" });
  worker.addEventListener("message", (event) => hear(event.data));
  worker.addEventListener("error", (event) => fail(event.message || "The worker file could not be read."));
  watch(BOOT_MS + 5000, () => fail("Python did not start in time."));
  worker.postMessage({ type: "start", where: addresses() });
}

/** @param {number} ms @param {() => void} action */
function watch(ms, action) {
  clearTimeout(clock);
  clock = setTimeout(action, ms);
}

/** @type {Record<string, (data: any) => void>} */
const NEWS = {
  ready: ({ build }) => begin(build),
  failed: ({ why }) => fail(why),
  numpy: ({ state, why }) => status.set({ numpy: state, numpyWhy: why ?? null }),
  answer: ({ id, text }) => finish(id, text),
};

/** @param {any} data */
function hear(data) {
  NEWS[data.type]?.(data);
}

/** @param {string} build */
function begin(build) {
  clearTimeout(clock);
  const page = pageBuild();
  if (page && page !== build) {
    fail("This page and the calculations belong to different versions. Close the app and open it again.");
    return;
  }
  status.set({ state: "ready", why: null, build });
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
  const waiting = asked ? [asked, ...queue] : queue;
  asked = undefined;
  queue = [];
  for (const question of waiting) question.reject(reason());
}

/** A hang: the worker ends, every open question is refused by name, nothing is sent again. */
function restart() {
  refuseAll(restarted);
  startCore();
}

function next() {
  if (asked || status.state !== "ready") return;
  asked = queue.shift();
  if (!asked) return;
  watch(answer_ms, restart);
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
    else question.reject(new CoreError({ code: "not_finite", field: bad, message: `The core answered with no number at ${bad}.` }));
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

/** Ask the core; questions wait until it is ready and are answered in order.
 * @param {string} operation @param {object} payload @param {Options} [options]
 * @returns {Promise<Answer>} */
export function ask(operation, payload, options = {}) {
  const bad = nonFinitePath(payload);
  if (bad !== null) {
    return Promise.reject(new CoreError({ code: "not_finite", field: bad, message: `${bad} is not a number. Enter the measured value.` }));
  }
  if (status.state === "failed") {
    return Promise.reject(new CoreError({ code: "core_failed", message: status.sentence }));
  }
  if (options.signal?.aborted) return Promise.reject(options.signal.reason);
  return new Promise((resolve, reject) => {
    const id = ++lastId;
    const question = { id, text: JSON.stringify({ id, operation, payload }), options, gone: false, resolve, reject };
    options.signal?.addEventListener("abort", () => withdraw(question), { once: true });
    queue.push(question);
    next();
  });
}

/** @param {Question} question */
function withdraw(question) {
  question.gone = true;
  queue = queue.filter((one) => one !== question);
  question.reject(question.options.signal?.reason);
}
