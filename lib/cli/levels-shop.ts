import { existsSync } from 'node:fs'
import { databaseClose } from '../db/client.ts'
import { levelRunBeginUnasked, levelRunReckon } from '../db/level-run.ts'
import { counted } from '../measure/counted.ts'
import { Refusal } from '../refusal.ts'
import type { Settings } from '../settings.ts'
import { type Answer, EXIT } from './answer.ts'

/**
 * `cotterbook levels --shop`: reckons the levels of all parts of the running data set and keeps them as proposals for the screen
 * Levels. No level changes.
 */
export async function levelsShopCommand(settings: Settings, run: number | null, now: () => Date): Promise<Answer> {
  if (!existsSync(settings.databaseFile)) throw new Refusal('workshop/no-database', { file: settings.databaseFile })
  try {
    const { runId, state, parts, changes } = await levelRunReckon(run ?? (await levelRunBeginUnasked(now())), now)
    if (state === 'cancelled')
      return {
        status: EXIT.refused,
        json: { run: runId, state, parts: 0, changes: 0 },
        text: 'Cancelled. No level was changed. Next: run it again when it is wanted.',
      }
    return {
      status: EXIT.fine,
      json: { run: runId, state, parts, changes },
      text: `${counted(parts, 'part')} reckoned, ${counted(changes, 'level')} would change. No level was changed. Next: say yes or no on the screen Levels, under Buying.`,
    }
  } finally {
    await databaseClose()
  }
}
