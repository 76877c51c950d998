import { z } from 'zod'

/** What was measured, between the limits that counted then, and whether it was inside. */
const EntryMeasured = z
  .object({ what: z.string(), value: z.number(), unit: z.string(), limits: z.string(), passes: z.boolean() })
  .optional()

/** What a closed job leaves in the machine's service book. Frozen: later code reads it, never rewrites it. */
export const EntryContent = z.object({
  version: z.literal(1),
  machine: z.object({
    fleetNumber: z.string(),
    name: z.string(),
    model: z.string(),
    serialNumber: z.string().nullable(),
  }),
  job: z.object({ number: z.number(), kind: z.string(), openedAt: z.string(), openedBy: z.string() }).nullable(),
  complaint: z.string(),
  cause: z.string(),
  correction: z.string(),
  labourMinutes: z.number(),
  /** What stayed on the machine or was used up: quantity in minor units of `unit`, cost in money minor units for the line. */
  fitted: z.array(
    z.object({
      partNumber: z.string(),
      maker: z.string(),
      description: z.string(),
      figure: z.string().nullable(),
      item: z.string().nullable(),
      positions: z.array(z.string()),
      quantity: z.number(),
      unit: z.string(),
      costMinor: z.number(),
      /** Batches it came out of, where batches are kept; the use-by date is a calendar day. */
      batches: z
        .array(z.object({ code: z.string(), expiresOn: z.string().nullable(), quantity: z.number() }))
        .optional(),
    }),
  ),
  /** Precautions and checks that were carried out. */
  acts: z.array(z.string()),
  /** Accepted and not, or not all, taken: quantities in minor units of `unit`. Entries written before this was kept have none. */
  notFitted: z
    .array(
      z.object({
        description: z.string(),
        strength: z.string(),
        wanted: z.number(),
        taken: z.number(),
        unit: z.string(),
      }),
    )
    .optional(),
  /** Why the job was closed without them. */
  notFittedReason: z.string().optional(),
  declined: z.array(z.object({ description: z.string(), strength: z.string(), reason: z.string() })),
  tests: z.array(
    z.object({
      text: z.string(),
      state: z.string(),
      note: z.string().nullable(),
      by: z.string().nullable(),
      measured: EntryMeasured,
    }),
  ),
  /** Who signed that a machine marked unsafe goes back to work. */
  releasedBy: z.string().optional(),
  /** Photos by the SHA-256 of what was kept, so that another picture cannot take their place. */
  photos: z
    .array(z.object({ digest: z.string(), alt: z.string(), stage: z.string(), step: z.string().nullable() }))
    .optional(),
  /** Hand-over notes, the oldest first. */
  notes: z.array(z.object({ text: z.string(), by: z.string(), at: z.string() })).optional(),
  /** Labour by person and day; their sum is `labourMinutes`. */
  labour: z.array(z.object({ by: z.string(), day: z.string(), minutes: z.number() })).optional(),
  /** Number of the job on which this one was found. */
  foundOnJob: z.number().optional(),
  /** What was left to do after the first loaded run, as it stood when the job was closed. */
  afterRun: z
    .array(z.object({ text: z.string(), state: z.string(), by: z.string().nullable(), measured: EntryMeasured }))
    .optional(),
  /** Readings of the hour meter that cannot follow the one before, tenths of an hour, and what was said of them. */
  meter: z.array(z.object({ hourTenths: z.number(), reason: z.string() })).optional(),
  partsCostMinor: z.number(),
  currency: z.string(),
})
export type EntryContent = z.infer<typeof EntryContent>

/** Sum of the fitted lines, money minor units. */
export function entryPartsCost(fitted: readonly Pick<EntryContent['fitted'][number], 'costMinor'>[]): number {
  return fitted.reduce((sum, line) => sum + line.costMinor, 0)
}

export interface CostSoFar {
  currency: string
  /** Money minor units. */
  minor: number
  jobs: number
}

/**
 * What the parts of a machine cost in the jobs of its service book written at `from` or later, a sum a currency. Entries without
 * parts, corrections among them, are no jobs that cost parts. Labour is not priced.
 */
export function serviceBookCost(
  entries: readonly {
    writtenAt: Date
    content: Pick<EntryContent, 'partsCostMinor' | 'currency'>
  }[],
  from: Date,
): CostSoFar[] {
  const sums = new Map<string, CostSoFar>()
  for (const { writtenAt, content } of entries) {
    if (content.partsCostMinor === 0 || writtenAt < from) continue
    const { currency } = content
    const sum = sums.get(currency) ?? { currency, minor: 0, jobs: 0 }
    sums.set(currency, { currency, minor: sum.minor + content.partsCostMinor, jobs: sum.jobs + 1 })
  }
  return [...sums.values()]
}

/** What was fitted in words, with the batches it came out of: "Grease, batch L23". */
export function fittedSays({
  description,
  batches,
}: Pick<EntryContent['fitted'][number], 'description' | 'batches'>): string {
  return [description, ...(batches ?? []).map(({ code }) => (/^use by /.test(code) ? code : `batch ${code}`))].join(
    ', ',
  )
}
