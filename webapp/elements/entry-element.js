import { LitElement } from "lit";

/** What every element for entering one quantity is told; each adds its own `value`. */
export class EntryElement extends LitElement {
  static properties = {
    field: { type: String },
    path: { type: String },
    label: { type: String },
    hint: { type: String },
    value: { attribute: false },
    draft: { attribute: false },
    local: { type: Boolean },
    disabled: { type: Boolean },
  };

  constructor() {
    super();
    this.field = "";
    this.path = "";
    this.label = "";
    this.hint = "";
    /** @type {string | null} */
    this.draft = null;
    this.local = false;
    this.disabled = false;
  }
}
