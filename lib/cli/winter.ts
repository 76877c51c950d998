import { existsSync } from 'node:fs'
import { databaseClose } from '../db/client.ts'
import { winterReckon } from '../db/winter-run.ts'
import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import type { Settings } from '../settings.ts'
import { choiceSays } from '../winter/words.ts'
import { type Answer, EXIT } from './answer.ts'

/** `cotterbook winter PLAN`: reckons a winter plan of the running data set and keeps the answer for its screen. */
export async function winterCommand(settings: Settings, planId: number, now: () => Date): Promise<Answer> {
  if (!existsSync(settings.databaseFile)) throw new Refusal('workshop/no-database', { file: settings.databaseFile })
  try {
    const answer = await winterReckon(planId, now(), () => now().getTime())
    if (answer === null)
      return {
        status: EXIT.refused,
        json: { plan: planId, state: 'cancelled' },
        text: 'Cancelled. Nothing was kept. Next: run it again when it is wanted.',
      }
    const faults = answer.faults.map(({ where, says, next }) => `  ${where}: ${says}. ${next}`)
    return {
      status: EXIT.fine,
      json: { plan: planId, state: 'done', ...answer },
      text: [
        choiceSays(answer.curve, answer.budgetMinor, settings.currency, answer.waits),
        `${counted(answer.machines.length, 'machine')}, ${counted(answer.parts.length, 'part')}. The list to buy is on the screen of the plan.`,
        ...(faults.length > 0 ? ['To put right:', ...faults] : []),
      ].join('\n'),
    }
  } finally {
    await databaseClose()
  }
}
