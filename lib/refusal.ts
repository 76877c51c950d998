import { REFUSALS } from './refusal-table.ts'

export { REFUSALS }

export type RefusalCode = keyof typeof REFUSALS
export type RefusalDetails = Record<string, string | number>

function fill(text: string, details: RefusalDetails): string {
  return text.replace(/\{(\w+)\}/g, (_, name: string) => String(details[name] ?? ''))
}

export class Refusal extends Error {
  readonly code: RefusalCode
  readonly status: number
  readonly happened: string
  readonly next: string
  /** What the sentences were filled with, so that another process can say the same. */
  readonly details: RefusalDetails
  /** Field name to message, where the refusal is about single fields. */
  readonly fields: Record<string, string>
  /** Row-by-row faults of an import. */
  readonly faults: readonly string[]

  constructor(
    code: RefusalCode,
    details: RefusalDetails = {},
    more: { fields?: Record<string, string>; faults?: readonly string[] } = {},
  ) {
    const [status, happened, next] = REFUSALS[code]
    super(`${code}: ${fill(happened, details)}`)
    this.name = 'Refusal'
    this.code = code
    this.status = status
    this.happened = fill(happened, details).trim()
    this.next = fill(next, details).trim()
    this.details = details
    this.fields = more.fields ?? {}
    this.faults = more.faults ?? []
  }
}

/** True for refusals of any copy of this module: bundlers may load it twice, so instanceof is not enough. */
export function isRefusal(error: unknown): error is Refusal {
  return error instanceof Error && error.name === 'Refusal' && 'code' in error && 'next' in error
}
