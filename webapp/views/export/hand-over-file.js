// A finished file out of the app: the share sheet where there is one, a download elsewhere.

/** @param {{filename: string, csv: string}} answer */
export function fileOf({ filename, csv }) {
  return new File([csv], filename, { type: "text/csv" });
}

/** @param {File} file */
export function canShare(file) {
  return Boolean(navigator.canShare?.({ files: [file] }));
}

/** @param {File} file @returns {Promise<"shared" | "closed">} */
export async function share(file) {
  try {
    await navigator.share({ files: [file] });
    return "shared";
  } catch {
    return "closed";
  }
}

/** @param {File} file */
export function save(file) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = file.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
