// The language comes first: the screens take their texts from it as they load.
import { begin } from "./words/chosen.js";

begin().then(() => import("./main.js"));
