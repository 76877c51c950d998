import { z } from 'zod'
import { Id } from '../stock/schema.ts'
import { hoursParse } from './hour-meter.ts'

/** A reading off the hour meter, answered in tenths of an hour. */
export const HoursInput = z
  .object({ machineId: Id, hours: z.string().trim() })
  .transform(({ machineId, hours }, context) => {
    const hourTenths = hoursParse(hours)
    if (hourTenths === null) {
      context.addIssue({ code: 'custom', path: ['hours'], message: 'enter hours as the meter shows them: 1234.5' })
      return z.NEVER
    }
    return { machineId, hourTenths }
  })

export const StateInput = z
  .object({ machineId: Id, state: z.enum(['working', 'unsafe']), reason: z.string().trim().max(200).optional() })
  .refine((input) => input.state === 'working' || (input.reason ?? '').length >= 3, {
    path: ['reason'],
    message: 'say why, so that the next one knows',
  })
