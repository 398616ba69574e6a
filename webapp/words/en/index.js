// English: every text of the screens, one module a place.
import { box } from "./box.js";
import { charts } from "./charts.js";
import { dicom } from "./dicom.js";
import { elements } from "./elements.js";
import { exporting } from "./exporting.js";
import { eyes } from "./eyes.js";
import { followUp } from "./follow-up.js";
import { hands } from "./hands.js";
import { importing } from "./importing.js";
import { learning } from "./learning.js";
import { plan } from "./plan.js";
import { results } from "./results.js";
import { safety } from "./safety.js";
import { setup } from "./setup.js";
import { sheet } from "./sheet.js";
import { shell } from "./shell.js";
import { start } from "./start.js";
import { stage } from "./stage.js";
import { store } from "./store.js";
import { theatre } from "./theatre.js";
import { update } from "./update.js";
import { worker } from "./worker.js";

export const en = { box, charts, dicom, elements, exporting, eyes, followUp, hands, importing, learning, plan, results, safety, setup, sheet, shell, stage, start, store, theatre, update, worker };
