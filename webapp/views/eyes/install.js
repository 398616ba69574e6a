// In a Safari tab, records would be lost to the installed app: the two share no storage.
import { t } from "../../words/words.js";

/** @returns {string} why real eyes must wait, or nothing */
export function tabNeedsInstall() {
  const isTab = "standalone" in navigator && navigator.standalone === false;
  if (!isTab) return "";
  return t.eyes.browserTabOnlyDemo
    + t.eyes.useShareThenAdd;
}
