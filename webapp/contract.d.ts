/** Shape of contract.js, which the build generates from the core. */

export interface FieldEntry {
  name: string;
  label: string;
  kind: string;
  unit: string;
  meaning: string;
  decimals: number | null;
  signed?: boolean;
  choices?: string[] | null;
  [key: string]: unknown;
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
