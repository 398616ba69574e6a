// Starts the two engines of the app and says how they are.
import { offline, startOffline } from "./store/offline.js";
import { ask, startCore, status } from "./worker/client.js";

/** @param {string} id @param {string} text */
function show(id, text) {
  const element = document.getElementById(id);
  if (element) element.textContent = text;
}

offline.addEventListener("change", () => show("offline", offline.sentence));
status.addEventListener("change", () => show("core", status.sentence));

async function start() {
  await startOffline();
  startCore();
  const { value, provenance } = await ask("describe", {});
  const count = Object.keys(value.operations).length;
  show("core", `Core ${provenance.core_version}, build ${provenance.build_id}: ${count} operations.`);
}

start().catch((reason) => show("core", String(reason.message ?? reason)));
