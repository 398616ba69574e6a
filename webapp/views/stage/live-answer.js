/**
 * An answer of the core that follows its inputs: greyed and called "out of date" from the
 * first keystroke that changes an input until the newest request is answered. Answers to
 * older requests are dropped.
 */
import { inMark, proseInMark } from "../../elements/notation.js";
import { ask, status } from "../../worker/client.js";
import { valueAt } from "./records.js";

/** @typedef {{code: string, field: string | null, message: string}} Failure */
/** @typedef {{code: string, field: string | null, message: string}} Warning */

const PAUSE_MS = 80;

export class LiveAnswer {
  /**
   * @param {import("lit").ReactiveControllerHost} host redrawn whenever the answer changes
   * @param {string} operation
   */
  constructor(host, operation) {
    this.host = host;
    this.operation = operation;
    /** @type {any} the newest value, kept on screen while a newer one is awaited */
    this.value = null;
    /** @type {Warning[]} */
    this.warnings = [];
    /** @type {Record<string, unknown>} */
    this.provenance = {};
    /** @type {Failure | null} */
    this.failure = null;
    /** @type {unknown} what the value on screen was computed from */
    this.answered = null;
    this.newest = 0;
    this.pending = false;
    /** @type {Set<string>} fields that hold keystrokes not yet entered */
    this.typing = new Set();
    /** @type {Map<string, unknown>} values entered and not yet seen in the case, by path */
    this.awaited = new Map();
    /** @type {AbortController | null} */
    this.abort = null;
    /** @type {number | undefined} */
    this.timer = undefined;
    this.wake = () => this.woken();
    /** @type {any} */
    this.payload = null;
    host.addController(this);
  }

  hostConnected() {
    status.addEventListener("change", this.wake);
  }

  hostDisconnected() {
    status.removeEventListener("change", this.wake);
    clearTimeout(this.timer);
    this.abort?.abort();
  }

  /** @returns {boolean} whether what is on screen rests on older inputs */
  get stale() {
    return this.value !== null && (this.pending || this.typing.size > 0 || this.answered !== this.payload);
  }

  /**
   * Keystrokes in a field: the answer is out of date until they are entered or taken back.
   * @param {string} path
   * @param {boolean} differs whether the keystrokes differ from the entered value
   */
  typed(path, differs) {
    this.awaited.delete(path);
    if (differs) this.typing.add(path);
    else this.typing.delete(path);
    this.host.requestUpdate();
  }

  /**
   * An input was entered: still out of date until the case that holds it arrives.
   * @param {string} path @param {unknown} value
   */
  entered(path, value) {
    this.typing.add(path);
    this.awaited.set(path, value);
    this.host.requestUpdate();
  }

  /** A newer case: what it holds is no longer awaited. @param {Record<string, any>} record */
  arrived(record) {
    for (const [path, value] of this.awaited) {
      if (JSON.stringify(valueAt(record, path)) !== JSON.stringify(value ?? null)) continue;
      this.awaited.delete(path);
      this.typing.delete(path);
    }
  }

  /**
   * Asks for an answer to new inputs; the same inputs are not asked twice.
   * @param {any} payload
   */
  follow(payload) {
    if (payload === this.payload) return;
    if (payload.case) this.arrived(payload.case);
    this.payload = payload;
    this.pending = true;
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.send(), this.value === null ? 0 : PAUSE_MS);
  }

  /** The core started or failed: ask again only if it had not been able to start. */
  woken() {
    if (status.state === "ready" && this.failure?.code === "core_failed") this.retry();
    this.host.requestUpdate();
  }

  /** Asks the newest question again. */
  retry() {
    this.failure = null;
    if (this.payload !== null) void this.send();
    this.host.requestUpdate();
  }

  async send() {
    const turn = ++this.newest;
    const payload = this.payload;
    this.abort?.abort();
    this.abort = new AbortController();
    this.pending = true;
    try {
      const answer = await ask(this.operation, payload, { signal: this.abort.signal });
      if (turn === this.newest) this.take(payload, answer);
    } catch (error) {
      if (turn === this.newest) this.fail(error);
    }
  }

  /** @param {any} payload @param {{value: any, warnings: Warning[], provenance: any}} answer */
  take(payload, answer) {
    this.value = proseInMark(answer.value);
    this.warnings = proseInMark(answer.warnings ?? []);
    this.provenance = answer.provenance ?? {};
    this.failure = null;
    this.answered = payload;
    this.pending = false;
    this.host.requestUpdate();
  }

  /** @param {any} error */
  fail(error) {
    if (error?.name === "AbortError") return;
    this.failure = {
      code: error?.code ?? "core_failed",
      field: error?.field ?? null,
      message: inMark(error?.message ?? String(error)),
    };
    this.pending = false;
    this.host.requestUpdate();
  }
}
