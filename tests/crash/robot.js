// Types into the app by orders of the test, and tells the test before each attempt and after the screen
// has acknowledged it. Loaded beside the app in the crash test only; no part of the app.
import { changeWords, undoneWords } from "./views/change-words.js";
import { append } from "./views/stage/records.js";
import { newCase } from "./store/new-case.js";
import { boxOf } from "./store/box.js";

const PASSPHRASES = ["four grey herons wading", "three long boats at rest"];
const ROUNDS = 1000;

// The kills are tried here, not the strength of the passphrase.
const derive = SubtleCrypto.prototype.deriveBits;
SubtleCrypto.prototype.deriveBits = function (how, ...rest) {
  return derive.call(this, { ...how, iterations: Math.min(how.iterations, ROUNDS) }, ...rest);
};

const pause = (ms = 4) => new Promise((go) => setTimeout(go, ms));

/** What `look` finds, once it finds something. */
async function until(look) {
  for (;;) {
    const found = await look();
    if (found) return found;
    await pause();
  }
}

/** A POST is never answered by the service worker. */
async function tell(what) {
  const answer = await fetch("./tell", { method: "POST", body: JSON.stringify(what) });
  return answer.json();
}

const shell = () => document.querySelector("gl-shell");
const store = () => shell().store;
const inside = (host, name) => host?.renderRoot?.querySelector(name);
const plan = () => inside(inside(shell(), "gl-eye-screen"), "gl-plan-view");
const field = (path) => inside(plan(), `[path="${path}"]`);
/** An axis holds a number field of its own. */
const numberOf = (path) => field(path).box ?? field(path);
const typedInto = (path) => inside(numberOf(path), "input");
const said = () => inside(inside(shell(), "gl-undo"), "p")?.textContent ?? "";

async function openPlan(code) {
  location.hash = `#/eye/${code}/plan`;
  await until(() => shell().record?.code === code && field("measurements.axial_length_mm"));
}

// ---- one hand movement each; it ends when the screen says so ------------------------------

const shown = (words) => until(() => said() === `✓ ${words}`);

/** What was said before is not taken for the next acknowledgement. */
async function hushed() {
  shell().said = "";
  await until(() => said() === "");
}

const WAYS = {
  async number({ path, value, text }) {
    const input = typedInto(path);
    input.focus();
    for (let end = 1; end <= text.length; end += 1) {
      input.value = text.slice(0, end);
      input.dispatchEvent(new InputEvent("input", { bubbles: true, composed: true }));
    }
    input.blur();
    await shown(changeWords({ kind: "set", path, to: value }));
  },
  async choice({ path, value }) {
    if (field(path).value === value) return;
    field(path).renderRoot.querySelector(`input[value="${value}"]`).click();
    await shown(changeWords({ kind: "set", path, to: value }));
  },
  async line({ path, value }) {
    const input = typedInto(path);
    input.value = value;
    input.dispatchEvent(new InputEvent("input", { bubbles: true, composed: true }));
    input.dispatchEvent(new Event("change"));
    await shown(changeWords({ kind: "set", path, to: value }));
  },
  /** An entry of a list, by the event that the views use. */
  async entry({ path, value }) {
    void append(plan(), path, { refraction_d: value });
    await shown(changeWords({ kind: "append", path }));
  },
  async undo({ path, value }) {
    inside(inside(shell(), "gl-undo"), "button").click();
    await shown(undoneWords({ kind: "set", path, from: value }));
  },
  /** Half a number: kept on every keystroke, never entered. */
  async draft({ path, value }) {
    const input = typedInto(path);
    input.value = value;
    input.dispatchEvent(new InputEvent("input", { bubbles: true, composed: true }));
    await store().settled();
  },
  async eye({ value, home }) {
    location.hash = "#/new";
    const form = await until(() => inside(inside(shell(), "gl-new-eye"), '[path="new.eye"]') && inside(shell(), "gl-new-eye"));
    const before = new Set((await store().list()).map(({ code }) => code));
    form.renderRoot.querySelector('[path="new.eye"]').renderRoot.querySelector(`input[value="${value}"]`).click();
    const button = await until(() => [...form.renderRoot.querySelectorAll("button")].find((one) => one.textContent.includes(`${value} eye`)));
    button.click();
    const code = await until(() => shell().record && !before.has(shell().record.code) && plan() && shell().record.code);
    await openPlan(home);
    return code;
  },
  async box({ value }) {
    await boxOf(store()).putIn("put in", [{ lens_power_d: value, lens_count: 1 }]);
  },
  async seal({ value }) {
    await store().setPassphrase(PASSPHRASES[value]);
  },
  async passphrase({ value, from }) {
    await store().changePassphrase(PASSPHRASES[from], PASSPHRASES[value]);
  },
  async unseal({ from }) {
    await store().removePassphrase(PASSPHRASES[from]);
  },
};

// ---- one life of the app ------------------------------------------------------------------

/** Which of the passphrases opens; null when none is set. */
async function unlocked() {
  if (!store().locked) return null;
  for (const at of PASSPHRASES.keys()) {
    try {
      await store().unlock(PASSPHRASES[at]);
      return at;
    } catch { /* the other one */ }
  }
  throw new Error("No passphrase opens the records.");
}

/** Everything that lies in the store after the start, and what the screen shows of it. */
async function state(code) {
  const [records, damaged, ahead, missing] = await Promise.all([store().list(), store().damaged(), store().ahead(), store().missing()]);
  const replayed = [];
  for (const { code: one } of records) replayed.push(await store().fromLog(one));
  const record = records.find((one) => one.code === code);
  if (!record) return { records, replayed, damaged, ahead, missing, drafts: {}, screen: {}, box: [] };
  await openPlan(code);
  const drafts = await store().drafts(code);
  const screen = Object.fromEntries(["measurements.axial_length_mm", "plan.meridian_deg"].map((path) => [path, numberOf(path).text]));
  return { records, replayed, damaged, ahead, missing, drafts, screen, box: (await boxOf(store()).read()).rows };
}

async function live() {
  await until(() => shell()?.store);
  const opened = await unlocked();
  const { code } = await tell({ hello: true });
  const { orders } = await tell({ state: await state(code), opened, sealed: store().sealed });
  if (!await store().read(code)) await store().create(newCase({ code, eye: "left", person: null }));
  await openPlan(code);
  await tell({ working: true });
  for (const order of orders) {
    if (order.way !== "undo") await hushed();
    await tell({ trying: order.n });
    const result = await WAYS[order.way](order);
    await tell({ shown: order.n, result: result ?? null });
  }
  await tell({ finished: true });
}

window.addEventListener("error", ({ message }) => { void tell({ broken: String(message) }); });
window.addEventListener("unhandledrejection", ({ reason }) => { void tell({ broken: String(reason?.message ?? reason) }); });
live().catch((reason) => tell({ broken: String(reason?.stack ?? reason) }));
