// Browsers that install apps on request say so once, early: the offer is kept until it is taken.

/** @typedef {Event & {prompt(): Promise<unknown>}} Offer */

class InstallOffer extends EventTarget {
  /** @type {Offer | null} */
  offer = null;

  /** @param {Offer | null} offer */
  set(offer) {
    this.offer = offer;
    this.dispatchEvent(new Event("change"));
  }

  /** Opens the browser's own question; an offer serves once. */
  async take() {
    const { offer } = this;
    this.set(null);
    await offer?.prompt();
  }
}

export const installOffer = new InstallOffer();

window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  installOffer.set(/** @type {Offer} */ (event));
});
window.addEventListener("appinstalled", () => installOffer.set(null));

/** Whether this window is the installed app. */
export function isInstalled() {
  return matchMedia("(display-mode: standalone)").matches || ("standalone" in navigator && navigator.standalone === true);
}
