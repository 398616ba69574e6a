// The page's side of the service worker: is the whole app on this device, and is it sound?
import { t } from "../words/words.js";

/**
 * @typedef {{name: "unsupported", why: string} | {name: "starting"}
 *   | {name: "downloading", done: number, total: number} | {name: "checking"} | {name: "ready"}
 *   | {name: "failed", why: string}} OfflineState
 */
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
    registration = await navigator.serviceWorker.register("./sw.js", { type: "classic", updateViaCache: "none" });
    watchForUpdates(registration);
    if (!alreadyControlled) await controlled(registration);
    navigator.serviceWorker.controller?.postMessage({ type: "hello" });
    setTimeout(checkFiles, alreadyControlled ? CHECK_DELAY_MS : 0);
  } catch (reason) {
    if (alreadyControlled) setTimeout(checkFiles, CHECK_DELAY_MS);
    else offline.set({ name: "failed", why: String(/** @type {Error} */ (reason).message) });
  }
}

/** @param {MessageEvent} event */
function hear({ data, ports }) {
  if (data?.type === "which-build") ports[0]?.postMessage(pageBuild());
  else if (navigator.serviceWorker.controller && data?.build !== pageBuild()) return;
  else if (data?.type === "downloading") offline.set({ name: "downloading", done: data.done, total: data.total });
  else if (data?.type === "failed") {
    failure = data.why;
    offline.set({ name: "failed", why: data.why });
  }
}

function pageBuild() {
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
    offline.dispatchEvent(new Event("change"));
  };
  found.addEventListener("updatefound", () => found.installing?.addEventListener("statechange", look));
  look();
}

/** Ask the service worker and wait for its answer.
 * @param {ServiceWorker | null | undefined} worker @param {string} type @returns {Promise<any>} */
function request(worker, type) {
  return new Promise((resolve, reject) => {
    if (!worker) return reject(new Error(t.store.appNotKeptDevice));
    const channel = new MessageChannel();
    const timer = setTimeout(() => reject(new Error(t.store.checkGotNoAnswer)), ANSWER_MS);
    channel.port1.onmessage = ({ data }) => {
      clearTimeout(timer);
      if (data.why) reject(new Error(data.why));
      else resolve(data.value);
    };
    worker.postMessage({ type }, [channel.port2]);
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

/** Switch to a waiting new version and load the page once. Call it only when nothing is unsaved.
 * Resolves to false when the old version did not let go: closing all windows of the app helps.
 * @returns {Promise<boolean>} */
export async function applyUpdate() {
  await settled();
  const waiting = registration?.waiting;
  if (!waiting || !await activated(waiting)) return false;
  location.reload();
  return true;
}

/** Chromium leaves a switch undone that is asked for while the old version still serves the page's
 * own loading; after the check of the files that is over. @returns {Promise<void>} */
function settled() {
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

/** @param {ServiceWorker} waiting @returns {Promise<boolean>} */
function activated(waiting) {
  return new Promise((resolve) => {
    navigator.serviceWorker.addEventListener("controllerchange", () => resolve(true), { once: true });
    setTimeout(() => resolve(false), CONTROL_MS);
    waiting.postMessage({ type: "activate" });
  });
}
