// Opens the records first, so that eyes can be read before the calculations have started.
import "./views/shell.js";
import { offline, startOffline } from "./store/offline.js";
import { askToPersist } from "./store/persistence.js";
import { openStore } from "./store/store.js";
import { proveWith } from "./store/update.js";
import { startCore, status } from "./worker/client.js";
import { snapshotWhenIdle } from "./worker/snapshot.js";
import { t } from "./words/words.js";

const PAINT_MS = 200;

/** @param {unknown} reason */
function cannotOpen(reason) {
  const banner = document.createElement("gl-banner");
  banner.setAttribute("kind", "stop");
  banner.setAttribute("heading", t.shell.recordsCouldNotOpened);
  const why = reason instanceof Error ? reason.message : String(reason);
  banner.textContent = t.shell.closeOtherWindowsApp(why);
  document.querySelector("gl-shell")?.replaceWith(banner);
}

/** Resolves when what was read from the records is on the screen; a hidden page paints nothing.
 * @returns {Promise<void>} */
function painted() {
  return new Promise((resolve) => {
    setTimeout(resolve, PAINT_MS);
    requestAnimationFrame(() => setTimeout(resolve));
  });
}

/** Nothing is taken beside a surgeon at work in theatre, or from files that are not proved. */
const atRest = () => offline.state.name === "ready" && !location.hash.endsWith("/theatre");

async function start() {
  const shell = /** @type {import("./views/shell.js").Shell} */ (document.querySelector("gl-shell"));
  try {
    const store = await openStore();
    await shell.start(store);
    await shell.updateComplete;
    await store.settled();
  } catch (reason) {
    cannotOpen(reason);
    throw reason;
  }
  await painted();
  // Served from this device already, Python need not wait for the service worker's registration.
  const offlineStarted = startOffline();
  if (!navigator.serviceWorker?.controller) await offlineStarted;
  startCore();
  proveWith(status);
  snapshotWhenIdle(atRest);
  await askToPersist();
}

start();
