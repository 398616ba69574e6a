// Opens the records first, so that eyes can be read before the calculations have started.
import "./views/shell.js";
import { startOffline } from "./store/offline.js";
import { askToPersist } from "./store/persistence.js";
import { openStore } from "./store/store.js";
import { startCore } from "./worker/client.js";

/** @param {unknown} reason */
function cannotOpen(reason) {
  const banner = document.createElement("gl-banner");
  banner.setAttribute("kind", "stop");
  banner.setAttribute("heading", "The records could not be opened");
  const why = reason instanceof Error ? reason.message : String(reason);
  banner.textContent = `${why} Close other windows of this app and open it again. In a private window no records are kept.`;
  document.querySelector("gl-shell")?.replaceWith(banner);
}

async function start() {
  const shell = /** @type {import("./views/shell.js").Shell} */ (document.querySelector("gl-shell"));
  try {
    await shell.start(await openStore());
  } catch (reason) {
    cannotOpen(reason);
    throw reason;
  }
  await startOffline();
  startCore();
  await askToPersist();
}

start();
