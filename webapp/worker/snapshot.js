// When the page is at rest, a second worker takes the snapshot that the next start uses. It ends
// at once when a question comes: it must never delay an answer.
import { addresses, status } from "./client.js";
import { kept } from "./kept-snapshot.js";
import { ownScript } from "./own-script.js";

/** Quiet for so long before it starts; looked at so often. */
const QUIET_MS = 6_000;
const LOOK_MS = 3_000;
const MAKING_MS = 120_000;
const MOST_TRIES = 3;
/** Records come first: with less room than this, none is kept. */
const LEAST_ROOM = 200_000_000;
const LOCK = "guyline-snapshot";

/** @typedef {"kept" | "refused" | "interrupted" | "impossible"} Outcome */

/** Look for a quiet moment until a snapshot is kept or cannot be.
 * @param {() => boolean} mayStart whether the page is at rest and its files are sound */
export function snapshotWhenIdle(mayStart) {
  let tries = 0;
  const look = async () => {
    if (mayStart() && quiet()) {
      tries += 1;
      if (await makeSnapshot() !== "interrupted" || tries >= MOST_TRIES) return;
    }
    setTimeout(look, LOOK_MS);
  };
  setTimeout(look, LOOK_MS);
}

function quiet() {
  const settled = status.numpy === "ready" || status.numpy === "failed";
  const rested = status.busy === 0 && performance.now() - status.askedAt >= QUIET_MS;
  return status.state === "ready" && settled && rested && document.visibilityState === "visible";
}

/** Take and keep one now, unless it is there, another window is at it, or room is short.
 * @returns {Promise<Outcome>} */
export async function makeSnapshot() {
  const where = addresses();
  try {
    const there = await kept(where.build);
    if (there !== "none") return there;
    if (!await hasRoom()) return "impossible";
    return await alone(() => made(where));
  } catch {
    return "impossible";
  }
}

async function hasRoom() {
  const estimate = await navigator.storage?.estimate?.();
  return !estimate?.quota || estimate.quota - (estimate.usage ?? 0) >= LEAST_ROOM;
}

/** @param {() => Promise<Outcome>} action @returns {Promise<Outcome>} */
async function alone(action) {
  if (!navigator.locks) return action();
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => (lock ? action() : "interrupted"));
}

/** @param {object} where @returns {Promise<Outcome>} */
function made(where) {
  const maker = new Worker(ownScript("worker/snapshot-maker.js"), { type: "module", name: "snapshot" });
  return new Promise((resolve) => {
    /** @param {Outcome} outcome */
    const end = (outcome) => {
      clearTimeout(timer);
      status.removeEventListener("asked", stop);
      maker.terminate();
      resolve(outcome);
    };
    const stop = () => end("interrupted");
    const timer = setTimeout(stop, MAKING_MS);
    status.addEventListener("asked", stop);
    maker.addEventListener("message", ({ data }) => end(data.type));
    maker.addEventListener("error", () => end("impossible"));
    maker.postMessage({ where });
  });
}
