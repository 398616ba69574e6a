/** Asks the device to keep its screen lit while an element is on screen, and says whether it does. */
import { t } from "../../words/words.js";

export class WakeLock {
  /** @param {import("lit").ReactiveControllerHost} host */
  constructor(host) {
    this.host = host;
    /** @type {"asking" | "held" | "released" | "refused" | "absent"} */
    this.state = "asking";
    /** @type {WakeLockSentinel | null} */
    this.sentinel = null;
    this.seen = () => {
      if (document.visibilityState === "visible" && this.state !== "held") void this.ask();
    };
    host.addController(this);
  }

  hostConnected() {
    document.addEventListener("visibilitychange", this.seen);
    void this.ask();
  }

  hostDisconnected() {
    document.removeEventListener("visibilitychange", this.seen);
    void this.sentinel?.release();
    this.sentinel = null;
  }

  async ask() {
    if (!("wakeLock" in navigator)) return this.set("absent");
    try {
      this.sentinel = await navigator.wakeLock.request("screen");
      this.sentinel.addEventListener("release", () => this.set("released"));
      this.set("held");
    } catch {
      this.set("refused");
    }
  }

  /** @param {WakeLock["state"]} state */
  set(state) {
    this.state = state;
    this.host.requestUpdate();
  }

  /** In two or three words, for the corner of each step. */
  get brief() {
    return this.state === "held" ? t.hands.stays : t.hands.mayTurnOff;
  }

  get sentence() {
    if (this.state === "held") return t.theatre.screenStays;
    if (this.state === "asking") return t.theatre.askingScreenStay;
    return t.theatre.screenMayTurnOff;
  }
}
