'use server'

import { action } from '@/app/_server/action.ts'
import {
  actLineAdd,
  itemLineAdd,
  partLineAdd,
  scheduleRetire,
  scheduleSave,
  serviceLineRemove,
} from '@/lib/db/service-schedule.ts'
import {
  ActLineInput,
  ItemLineForm,
  LineRemoveInput,
  PartLineForm,
  ScheduleInput,
  ScheduleRetireInput,
} from '@/lib/service/schema.ts'

const right = 'service.plan'
const added = () => ({ says: 'On the schedule.' })

export const saveSchedule = action({ right, schema: ScheduleInput, run: scheduleSave, then: () => ({ says: 'Kept.' }) })
export const retireSchedule = action({ right, schema: ScheduleRetireInput, run: scheduleRetire })
export const addItem = action({ right, schema: ItemLineForm, run: itemLineAdd, then: added })
export const addPart = action({ right, schema: PartLineForm, run: partLineAdd, then: added })
export const addAct = action({ right, schema: ActLineInput, run: actLineAdd, then: added })
export const removeLine = action({ right, schema: LineRemoveInput, run: serviceLineRemove })
