// The page's side of the service worker: is the whole app on this device, and is it sound?
import { t } from "../words/words.js";
import { ownScript } from "../worker/own-script.js";

/**
 * @typedef {{name: "unsupported", why: string} | {name: "starting"}
 *   | {name: "downloading", done: number, total: number} | {name: "checking"} | {name: "ready"}
 *   | {name: "failed", why: string}} OfflineState
 */
/** A newer version on its way beside this one.
 * @typedef {{name: "none"} | {name: "fetching", done: number, total: number} | {name: "failed", why: string}} NewerState */

const CONTROL_MS = 10_000;
const CHECK_DELAY_MS = 2_000;
const ANSWER_MS = 60_000;
// A failed worker's last words may arrive a little after the news that it is gone.
const NEWS_MS = 500;

/** @param {number} bytes */
const megabytes = (bytes) => (bytes / 1e6).toFixed(1);

class Offline extends EventTarget {
  /** @type {OfflineState} */
  state = { name: "starting" };
  /** @type {string[]} files found missing or damaged */
  bad = [];
  updateReady = false;
  /** @type {NewerState} */
  newer = { name: "none" };
  /** A newer version was started from another window while this one was at work. */
  overtaken = false;
  /** Why the version may not change now, in words; empty when this window is at rest. The frame sets it. */
  guard = async () => t.update.stillOpening;

  /** @param {OfflineState} state */
  set(state) {
    this.state = state;
    this.dispatchEvent(new Event("change"));
  }

  get sentence() {
    const state = this.state;
    switch (state.name) {
      case "starting": return t.store.lookingFilesDevice;
      case "downloading": return t.store.downloadingMb(megabytes(state.done), megabytes(state.total));
      case "checking": return t.store.checkingFilesDevice;
      case "ready": return t.store.readyWithoutNetwork;
      case "unsupported": return t.store.notAvailableWithoutNetwork(state.why);
      default: return t.store.notReadyWithoutNetwork(state.why);
    }
  }
}

export const offline = new Offline();
/** @type {ServiceWorkerRegistration | undefined} */
let registration;
/** @type {string | null} what the service worker said when its download failed */
let failure = null;

/** @type {Promise<void> | undefined} */
let started;

/** Register the service worker. Resolves once this page is served from the device, or when
 * that is impossible and the app has to be read from the network; never rejects. Called again
 * after a failure it tries again. */
export function startOffline() {
  if (offline.state.name === "failed") started = undefined;
  started ??= start();
  return started;
}

async function start() {
  if (!("serviceWorker" in navigator)) {
    offline.set({ name: "unsupported", why: t.store.browserKeepsNoApps });
    return;
  }
  navigator.serviceWorker.addEventListener("message", hear);
  navigator.serviceWorker.startMessages();
  failure = null;
  const alreadyControlled = navigator.serviceWorker.controller !== null;
  try {
    registration = await navigator.serviceWorker.register(ownScript("sw.js"), { type: "classic", updateViaCache: "none" });
    watchForUpdates(registration);
    if (!alreadyControlled) await controlled(registration);
    navigator.serviceWorker.addEventListener("controllerchange", overtake);
    navigator.serviceWorker.controller?.postMessage({ type: "alive" });
    setTimeout(checkFiles, alreadyControlled ? CHECK_DELAY_MS : 0);
  } catch (reason) {
    if (alreadyControlled) setTimeout(checkFiles, CHECK_DELAY_MS);
    else offline.set({ name: "failed", why: String(/** @type {Error} */ (reason).message) });
  }
}

/** @param {MessageEvent} event */
function hear({ data, ports }) {
  if (data?.type === "which-build") ports[0]?.postMessage(pageBuild());
  else if (data?.type === "may-update") void offline.guard().then((why) => ports[0]?.postMessage(why));
  else if (data?.type === "moved") void overtake();
  else if (navigator.serviceWorker.controller && data?.build !== pageBuild()) hearNewer(data);
  else if (data?.type === "downloading") offline.set({ name: "downloading", done: data.done, total: data.total });
  else if (data?.type === "failed") {
    failure = data.why;
    offline.set({ name: "failed", why: data.why });
  }
}

/** @param {any} data of a version that is fetched beside this one */
function hearNewer(data) {
  if (data?.type === "downloading") offline.newer = { name: "fetching", done: data.done, total: data.total };
  if (data?.type === "failed") offline.newer = { name: "failed", why: data.why };
  offline.dispatchEvent(new Event("change"));
}

/** Another version has taken over: a window at rest is loaded anew, one at work says so. */
async function overtake() {
  if (await offline.guard() === "") return location.reload();
  offline.overtaken = true;
  offline.dispatchEvent(new Event("change"));
}

export function pageBuild() {
  return document.querySelector('meta[name="guyline-build"]')?.getAttribute("content") ?? null;
}

/** Wait until the worker of this registration controls the page.
 * @param {ServiceWorkerRegistration} found @returns {Promise<void>} */
function controlled(found) {
  return new Promise((resolve, reject) => {
    if (navigator.serviceWorker.controller) return resolve();
    navigator.serviceWorker.addEventListener("controllerchange", () => resolve(), { once: true });
    const worker = found.installing ?? found.waiting ?? found.active;
    const look = () => {
      if (worker?.state === "redundant") setTimeout(() => reject(new Error(failure ?? t.store.downloadFailed)), NEWS_MS);
      if (worker?.state === "activated") setTimeout(() => reject(new Error(t.store.reloadPageOnce)), CONTROL_MS);
    };
    worker?.addEventListener("statechange", look);
    look();
  });
}

/** @param {ServiceWorkerRegistration} found */
function watchForUpdates(found) {
  const look = () => {
    offline.updateReady = Boolean(found.waiting && navigator.serviceWorker.controller);
    if (offline.updateReady) offline.newer = { name: "none" };
    offline.dispatchEvent(new Event("change"));
  };
  found.addEventListener("updatefound", () => found.installing?.addEventListener("statechange", look));
  look();
}

/** Ask a service worker and wait for its answer.
 * @param {ServiceWorker | null | undefined} worker @param {string} type @param {object} [more] @returns {Promise<any>} */
export function request(worker, type, more = {}) {
  return new Promise((resolve, reject) => {
    if (!worker) return reject(new Error(t.store.appNotKeptDevice));
    const channel = new MessageChannel();
    const timer = setTimeout(() => reject(new Error(t.store.checkGotNoAnswer)), ANSWER_MS);
    channel.port1.onmessage = ({ data }) => {
      clearTimeout(timer);
      if (data.why) reject(new Error(data.why));
      else resolve(data.value);
    };
    worker.postMessage({ ...more, type }, [channel.port2]);
  });
}

/** @param {string} type */
async function sound(type) {
  offline.set({ name: "checking" });
  try {
    const { bad } = await request(navigator.serviceWorker.controller, type);
    offline.bad = bad;
    offline.set(bad.length ? { name: "failed", why: t.store.filesDamaged(bad.length, bad.join(", ")) } : { name: "ready" });
  } catch (reason) {
    offline.set({ name: "failed", why: String(/** @type {Error} */ (reason).message) });
  }
}

/** Hash every kept file again; the state tells the result. */
export const checkFiles = () => sound("check");

/** Fetch damaged or missing files again, then check; needs the network. */
export const repairFiles = () => sound("repair");

/** Chromium leaves a switch undone that is asked for while the old version still serves the page's
 * own loading; after the check of the files that is over. @returns {Promise<void>} */
export function settled() {
  return new Promise((resolve) => {
    const look = () => {
      if (!["ready", "failed"].includes(offline.state.name)) return;
      offline.removeEventListener("change", look);
      resolve();
    };
    offline.addEventListener("change", look);
    look();
  });
}
