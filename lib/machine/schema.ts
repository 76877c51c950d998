import { z } from 'zod'
import { Id } from '../stock/schema.ts'
import { hoursParse } from './hour-meter.ts'
import { METER_REASONS } from './meter.ts'

/** A machine new to the fleet. */
export const MachineAddInput = z.object({
  modelId: Id,
  fleetNumber: z.string({ error: 'give it a fleet number' }).trim().min(1, 'give it a fleet number').max(20),
  name: z.string({ error: 'say what people call it' }).trim().min(1, 'say what people call it').max(80),
  serialNumber: z.string().trim().max(40).optional(),
  year: z.coerce
    .number<number>({ error: 'enter a year' })
    .int('enter a year')
    .min(1900, 'enter a year')
    .max(2100, 'enter a year')
    .optional(),
})
export type MachineAddInput = z.infer<typeof MachineAddInput>

/** Why a reading that cannot follow the last one is right. */
export const MeterReason = z.enum(METER_REASONS, { error: 'choose why the reading is right' }).optional()

/** A reading off the hour meter, answered in tenths of an hour. */
export const HoursInput = z
  .object({ machineId: Id, hours: z.string().trim(), meterReason: MeterReason })
  .transform(({ machineId, hours, meterReason }, context) => {
    const hourTenths = hoursParse(hours)
    if (hourTenths === null) {
      context.addIssue({ code: 'custom', path: ['hours'], message: 'enter hours as the meter shows them: 1234.5' })
      return z.NEVER
    }
    return { machineId, hourTenths, ...(meterReason === undefined ? {} : { meterReason }) }
  })

/** `secret` signs the release of a machine that was marked unsafe. */
export const StateForm = z
  .object({
    machineId: Id,
    state: z.enum(['working', 'unsafe']),
    reason: z.string().trim().max(200).optional(),
    secret: z.string().max(200).optional(),
  })
  .refine((input) => input.state === 'working' || (input.reason ?? '').length >= 3, {
    path: ['reason'],
    message: 'say why, so that the next one knows',
  })
