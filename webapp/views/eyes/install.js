// In a Safari tab, records would be lost to the installed app: the two share no storage.

/** @returns {string} why real eyes must wait, or nothing */
export function tabNeedsInstall() {
  const isTab = "standalone" in navigator && navigator.standalone === false;
  if (!isTab) return "";
  return "In this browser tab only demo eyes can be used: the installed app keeps its own records and would not see these. "
    + "Use Share, then Add to Home Screen, and open Guyline from there.";
}
