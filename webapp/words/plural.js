/** @typedef {Partial<Record<Intl.LDMLPluralRule, string>> & {other: string}} Forms */

/**
 * Picks a sentence's form by the plural rules of a language: English needs `one` and `other`, others more.
 * @param {string} language
 * @returns {(count: number, forms: Forms) => string}
 */
export function pluralIn(language) {
  const rules = new Intl.PluralRules(language);
  return (count, forms) => forms[rules.select(count)] ?? forms.other;
}
