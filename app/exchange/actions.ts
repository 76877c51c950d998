'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import { RunId, runRead, runWork } from '@/lib/db/exchange-run.ts'
import type { SignedIn } from '@/lib/db/session.ts'
import { rightRequire } from '@/lib/people/role.ts'

const RunInput = z.object({ run: RunId })
/** `rightRows`: only so many, as the rehearsal showed them. */
const ImportInput = z.object({ run: RunId, rightRows: z.coerce.number<number>().int().positive().optional() })
/** Selects of the matching: `column.number` holds a header, or nothing to leave the column out. */
const MatchInput = z.looseObject({ run: RunId })

/** A stock list moves the shelf and so does a count sheet: they need the right to count as well. */
async function mayWork(run: string, person: SignedIn): Promise<void> {
  const { kind } = await runRead(run)
  if (kind === 'stock' || kind === 'counts') rightRequire(person.roles, 'stock.count')
}

export const lookAtFile = action({
  right: 'catalogue.import',
  schema: RunInput,
  kind: 'exchange.look',
  run: async (context, { run }, person) => {
    await mayWork(run, person)
    await runWork(run, 'look', context.personId)
  },
  then: (_, { run }) => ({ redirect: paths.exchangeRun(run) }),
})

export const rehearseFile = action({
  right: 'catalogue.import',
  schema: MatchInput,
  kind: 'exchange.rehearse',
  run: async (context, { run, ...fields }, person) => {
    await mayWork(run, person)
    const { state } = await runRead(run)
    const header = state.look?.header ?? []
    const byHand: Record<string, string> = {}
    for (const [name, value] of Object.entries(fields)) {
      if (!name.startsWith('column.') || typeof value !== 'string') continue
      // The select sends the place of the header: two headers may read the same.
      byHand[name.slice('column.'.length)] = value === 'none' ? '' : (header[Number(value)] ?? '')
    }
    await runWork(run, 'rehearse', context.personId, { byHand })
  },
})

export const importFile = action({
  right: 'catalogue.import',
  schema: ImportInput,
  kind: 'exchange.import',
  run: async (context, { run, rightRows }, person) => {
    await mayWork(run, person)
    await runWork(run, 'import', context.personId, { rightRows: rightRows ?? null })
  },
})
