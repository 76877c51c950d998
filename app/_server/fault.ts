import { freshReference } from './chance.ts'

/** Logs a fault of the program with a reference number, and answers the number. What was typed is not logged. */
export function faultLog(kind: string, error: unknown): string {
  const reference = freshReference()
  console.error(`[fault ${reference}] ${kind}`, error)
  return reference
}
