'use server'

import { z } from 'zod'
import { action } from '@/app/_server/action.ts'
import { levelDecide } from '@/lib/db/level-decide.ts'
import { levelRunCancel } from '@/lib/db/level-run.ts'
import { levelRunStart } from '@/lib/db/level-run-start.ts'
import { counted } from '@/lib/measure/counted.ts'
import { LevelDecisionForm } from '@/lib/replenish/decide.ts'

const right = 'level.reckon'

export const reckonNow = action({ right, schema: z.object({}), run: levelRunStart })

export const reckonCancel = action({
  right,
  schema: z.object({ runId: z.coerce.number<number>().int().positive() }),
  run: levelRunCancel,
})

export const decideLevels = action({
  right,
  schema: LevelDecisionForm,
  run: levelDecide,
  then: ({ decided, left }, { decision }) => {
    const done =
      decision === 'confirm'
        ? `${counted(decided, 'level')} kept.`
        : `${counted(decided, 'level')} refused: not proposed again until something else is reckoned.`
    const stayed = `${counted(left, 'part')} had another level meanwhile and ${left === 1 ? 'stays' : 'stay'} as ${left === 1 ? 'it is' : 'they are'}: reckon anew.`
    return { says: left === 0 ? done : `${done} ${stayed}` }
  },
})
