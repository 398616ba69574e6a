/** Shape of contract.js, which the build generates from the core. */

export interface FieldEntry {
  name: string;
  label: string;
  meaning: string;
  kind: "number" | "integer" | "choice" | "flag" | "code" | "date" | "instant" | "text";
  unit: string;
  decimals: number;
  lowest: number | null;
  highest: number | null;
  usual_low: number | null;
  usual_high: number | null;
  signed: boolean;
  choices: Record<string, string>;
}

export interface OperationField {
  name: string;
  required: boolean;
  default: unknown;
  about: string;
  fields: OperationField[];
}

export interface OperationEntry {
  summary: string;
  fields: OperationField[];
}

export const CORE_VERSION: string;
export const OPERATIONS: Record<string, OperationEntry>;
export const FIELDS: Record<string, FieldEntry>;
/** The upper end of axes 1 to 180 on a circle of radius 1, y down. */
export const AXIS_POINTS: Array<[number, number]>;
