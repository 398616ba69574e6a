/** A named error of the core, or of the way to it. */
import { t } from "../words/words.js";
export class CoreError extends Error {
  /** @param {{code: string, field?: string | null, message: string}} error */
  constructor({ code, field = null, message }) {
    super(message);
    this.name = "CoreError";
    this.code = code;
    this.field = field;
  }
}

export const restarted = () => new CoreError({
  code: "core_restarted",
  message: t.worker.calculationTookTooLong,
});
