import { existsSync } from 'node:fs'
import { database, databaseClose, type Tx } from '../db/client.ts'
import { planQuestion } from '../db/order-plan-read.ts'
import { planRunReckon } from '../db/order-plan-run.ts'
import { winterAsked } from '../db/order-plan-winter.ts'
import { Refusal } from '../refusal.ts'
import { dateOf } from '../service/plain-date.ts'
import type { Settings } from '../settings.ts'
import { type Answer, EXIT } from './answer.ts'
import { planAnswered } from './order-plan.ts'

interface ShopAsked {
  /** A reckoning that the screen began; null where only the answer is wanted and nothing is kept. */
  run: number | null
  asked: { seconds: number; gap: number }
  json: boolean | undefined
  say: (line: string) => void
  now: () => Date
}

/** `cotterbook order-plan --shop`: the plan of the running data set. Nothing is ordered. */
export async function orderPlanShopCommand(settings: Settings, of: ShopAsked): Promise<Answer | null> {
  const { run, asked, json, say, now } = of
  if (!existsSync(settings.databaseFile)) throw new Refusal('workshop/no-database', { file: settings.databaseFile })
  try {
    if (run === null) {
      const { problem, faults } = await planQuestion(
        database() as unknown as Tx,
        dateOf(now()),
        await winterAsked(now(), { reckons: true }),
      )
      for (const { at, why, next } of faults) say(`${at}: ${why}. Next: ${next}`)
      return await planAnswered(problem, asked, { json, say })
    }
    const { runId, state, plan } = await planRunReckon(run, now)
    if (state === 'cancelled')
      return {
        status: EXIT.refused,
        json: { run: runId, state },
        text: 'Cancelled. Next: run it again when it is wanted.',
      }
    return {
      status: EXIT.fine,
      json: { run: runId, state, costMinor: plan?.answer.costMinor },
      text: 'Kept for the screen.',
    }
  } finally {
    await databaseClose()
  }
}
