// The page's own readers under Node.js: the number parser of the fields, and backup files with the merge of
// two phones. node page_targets.mjs SEED NUMBERS BACKUPS prints one JSON line with the counts.
import { createHash } from "node:crypto";
import { readNumber } from "../../webapp/elements/number-text.js";
import { readBackup, rowsOf } from "../../webapp/store/backup.js";
import { StoreError } from "../../webapp/store/errors.js";
import { mergePlan } from "../../webapp/store/merge.js";
import { carryOut, questions } from "../../webapp/store/restore.js";

const [seed, numbers, backups] = process.argv.slice(2).map(Number);
const counts = { numbers: 0, backups: 0, rejected: 0, crashes: [], changes: [], foreign: [] };
for (const name of ["fetch", "WebSocket", "XMLHttpRequest", "EventSource"]) {
  globalThis[name] = () => { counts.foreign.push(name); throw new Error("no"); };
}

/** A small seeded generator (mulberry32). */
let state = seed >>> 0;
function random() {
  state = (state + 0x6d2b79f5) >>> 0;
  let x = Math.imul(state ^ (state >>> 15), 1 | state);
  x = (x + Math.imul(x ^ (x >>> 7), 61 | x)) ^ x;
  return ((x ^ (x >>> 14)) >>> 0) / 4294967296;
}
const below = (count) => Math.floor(random() * count);
const pick = (list) => list[below(list.length)];

// ---- numbers -----------------------------------------------------------------------------

const MARKS = "0123456789.,+-\u2212\u2013 \u066b\u0663eExX'\u202e\u0000/";
const WRITTEN = ["23.51", "\u22121.25", "+0,50", "", "118.7", "-0", "0.00", "  7 "];

function numberText() {
  const text = [...pick(WRITTEN)];
  for (let left = below(5); left > 0; left -= 1) text.splice(below(text.length + 1), below(2), pick(MARKS));
  return text.join("");
}

/** What is read stands there digit for digit, with the sign that stands first. */
function judgeNumber(text) {
  const read = readNumber(text);
  if (read.state === "empty") return text.trim() === "" ? "" : "called empty";
  if (read.state === "error") return typeof read.message === "string" && read.message ? (counts.rejected += 1, "") : "no message";
  const plain = text.trim().replace(/[\u2010-\u2013\u2212\ufe63\uff0d]/, "-").replace(/[,\u066b\uff0c\uff0e]/, ".").replace(/^([+-])\s+/, "$1");
  if (!/^[+-]?\d+(\.\d+)?$/.test(plain)) return "taken though it is none";
  return read.value === Number(plain) ? "" : `read as ${read.value}`;
}

// ---- backups -----------------------------------------------------------------------------

const record = (code, eye, more = {}) => ({ schema: 1, code, eye, updated_at: "2026-11-20T10:00:00Z", history: {}, measurements: { axial_length_mm: 23.5 },
  lens: {}, plan: {}, readbacks: [], readings: [{ id: "r1", at: "2026-11-20T09:00:00Z", refraction_d: -0.5 }], haptic_log: [], decisions: [], follow_ups: [], ...more });
const line = (id, code, seq, to) => ({ id, code, seq, at: "2026-11-20T10:00:00Z", build: "b", undoes: null, kind: "create", path: "", from: null, to });
const rowsWith = (...eyes) => ({ eyes, log: eyes.map((one, place) => line(`l-${one.code}`, one.code, place + 1, one)), drafts: [], preferences: [{ name: "theme", value: "dark" }] });
const HERE = freeze(rowsWith(record("3333-3333", "left"), record("4444-4444", "right")));
const FILES = [rowsWith(record("3333-3333", "left", { measurements: { axial_length_mm: 24.1 } }), record("6666-6666", "right")), rowsWith(record("4444-4444", "right"))];
const VALUES = [null, "", 0, -1, 1e308, true, [], {}, [null], [[]], "left", "__proto__", { id: null }, { id: "r1" }, "x".repeat(3000), "3333-3333", [{}], [1, 2]];
const KEYS = ["__proto__", "constructor", "id", "code", "eye", "damaged", "readings", "log", "to", "path", "kind", "schema"];

function freeze(value) {
  if (typeof value === "object" && value !== null) for (const one of Object.values(Object.freeze(value))) freeze(one);
  return value;
}

function damaged(value) {
  if (typeof value !== "object" || value === null || random() < 0.06) return pick(VALUES);
  const keys = Object.keys(value);
  const key = keys.length ? pick(keys) : pick(KEYS);
  const copy = Array.isArray(value) ? [...value] : { ...value };
  const action = random();
  const put = (name, one) => Object.defineProperty(copy, name, { value: one, enumerable: true, configurable: true, writable: true });
  if (action < 0.66) put(key, damaged(value[key]));
  else if (action < 0.78) delete copy[key];
  else put(action < 0.9 ? pick(KEYS) : key, pick(VALUES));
  return copy;
}

function backupText() {
  let rows = pick(FILES);
  for (let left = below(3); left > 0; left -= 1) rows = damaged(rows);
  const sha256 = createHash("sha256").update(JSON.stringify(rows ?? null)).digest("hex");
  let file = { format: "guyline-backup", version: 1, made_at: "2026-11-20T10:00:00Z", build: "b", counts: {}, sha256, rows };
  if (random() < 0.2) file = damaged(file);
  const text = JSON.stringify(file) ?? "";
  if (random() < 0.8) return text;
  const start = below(text.length);
  return text.slice(0, start) + pick(["", "\u0000", "{", "[".repeat(5000), "\\ud800", "1e999"]) + text.slice(start + below(9));
}

/** What would be stored: as the screen does it, every question answered. @param {string} text */
async function restored(text) {
  const written = [];
  const store = { takeIn: async (code, taken, lines) => written.push({ code, taken, lines }), preference: async (name, value) => written.push({ name, value }) };
  try {
    const plan = mergePlan(HERE, await rowsOf(readBackup(text), null));
    const answers = Object.fromEntries(questions(plan).map((name) => [name, pick(["here", "file"])]));
    await carryOut(store, plan, answers);
    judgeStored(written, plan);
  } catch (reason) {
    if (!(reason instanceof StoreError)) throw reason;
    counts.rejected += 1;
    if (written.length) counts.changes.push(text.slice(0, 200));
  }
}

/** Nothing of a refused eye, and never a value of another eye or side. */
function judgeStored(written, plan) {
  const refused = new Set(plan.refused.map(({ code }) => code));
  for (const { code, taken } of written.filter((one) => "code" in one)) {
    const here = HERE.eyes.find((one) => one.code === code);
    if (refused.has(code) || (taken && taken.code !== code)) counts.changes.push(`stored for ${code}: ${JSON.stringify(taken).slice(0, 150)}`);
    if (here && taken && taken.eye && taken.eye !== here.eye) counts.changes.push(`${code} changed its side`);
  }
}

// ---- the run -----------------------------------------------------------------------------

const crashed = (what, reason) => counts.crashes.push(`${what}: ${reason?.stack?.split("\n").slice(0, 3).join(" ") ?? reason}`.slice(0, 400));

for (; counts.numbers < numbers; counts.numbers += 1) {
  const text = numberText();
  try {
    const wrong = judgeNumber(text);
    if (wrong) counts.crashes.push(`number ${JSON.stringify(text)} ${wrong}`);
  } catch (reason) {
    crashed(`number ${JSON.stringify(text)}`, reason);
  }
}
for (; counts.backups < backups; counts.backups += 1) {
  const text = backupText();
  try {
    await restored(text);
  } catch (reason) {
    crashed(`backup ${text.slice(-160)}`, reason);
  }
}
process.stdout.write(`${JSON.stringify(counts)}\n`);
