'use server'

import { action } from '@/app/_server/action.ts'
import { levelHold, levelHoldLift } from '@/lib/db/level-decide.ts'
import { LevelHoldInput, LevelHoldLiftInput } from '@/lib/replenish/decide.ts'

const right = 'stock.level'

export const holdLevel = action({
  right,
  schema: LevelHoldInput,
  run: levelHold,
  then: () => ({ says: 'Kept by hand: no reckoning proposes another level until then.' }),
})

export const liftHold = action({
  right,
  schema: LevelHoldLiftInput,
  run: levelHoldLift,
  then: () => ({ says: 'The next reckoning proposes again.' }),
})
