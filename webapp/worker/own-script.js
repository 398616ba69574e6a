// The one door through which the address of a script becomes one that the browser runs: only files of
// this app pass. Where the browser enforces it (trusted types), no other text can become a script.

const ROOT = new URL("../", import.meta.url);

/** @param {string} path @returns {string} */
function checked(path) {
  const address = new URL(path, ROOT);
  if (!address.href.startsWith(ROOT.href)) throw new TypeError(address.href);
  return address.href;
}

/** @type {{createPolicy: (name: string, rules: object) => {createScriptURL: (path: string) => unknown}} | undefined} */
const types = /** @type {any} */ (globalThis).trustedTypes;
const policy = types?.createPolicy("guyline", { createScriptURL: checked });

/** @param {string} path from the app's folder @returns {string} for Worker and register; an object that only they take */
export const ownScript = (path) => /** @type {any} */ (policy ? policy.createScriptURL(path) : checked(path));
