// Every element of the design system.
import "./gl-axis.js";
import "./gl-banner.js";
import "./gl-card.js";
import "./gl-choice.js";
import "./gl-eye.js";
import "./gl-flag.js";
import "./gl-hold.js";
import "./gl-keypad.js";
import "./gl-number.js";
import "./gl-undo.js";
import "./gl-value.js";
