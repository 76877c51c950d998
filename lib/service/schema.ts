import { z } from 'zod'
import { HourMeter } from '../job/schema.ts'
import { MeterReason } from '../machine/schema.ts'
import { TYPED_UNITS } from '../measure/quantity.ts'
import { minutesOfHours } from '../measure/work-hours.ts'
import { Id, quantityTyped } from '../stock/schema.ts'

const Whole = (max: number, says: string) =>
  z.preprocess(
    (value) => (value === '' || value === undefined ? null : value),
    z.coerce.number<number>({ error: says }).int(says).min(0, says).max(max, says).nullable(),
  )
const Text = (max: number) => z.string().trim().max(max)
/** A form sends one tick as text and several as a list. */
const Ids = z.preprocess(
  (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]),
  z.array(Id).max(50),
)
const Codes = z.preprocess(
  (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]),
  z.array(z.string().trim().min(1).max(12)).max(400),
)

const LabourHours = z.string().transform((text, context) => {
  if (text.trim() === '') return null
  const minutes = minutesOfHours(text)
  if (minutes !== null && minutes > 0 && minutes <= 400 * 60) return minutes
  context.addIssue({ code: 'custom', message: 'enter hours such as 8 or 6.5, at most 400, or leave it empty' })
  return z.NEVER
})

/** How a service is named and how often it comes; hours as whole hours. Without an id it is a new one. */
export const ScheduleInput = z
  .object({
    modelId: Id,
    scheduleId: Id.optional(),
    name: Text(60).min(3, 'give it a name: 250 h service, Winter service'),
    everyHours: Whole(20_000, 'enter whole hours'),
    everyMonths: Whole(240, 'enter whole months'),
    toleranceHours: Whole(2_000, 'enter whole hours'),
    toleranceDays: Whole(366, 'enter whole days'),
    /** What it takes of people's time, typed as 6, 6.5 or 6:30; minutes. Left empty it is learned from past jobs. */
    labourHours: LabourHours.optional(),
  })
  .refine((input) => (input.everyHours ?? 0) > 0 || (input.everyMonths ?? 0) > 0, {
    path: ['everyHours'],
    message: 'enter hours, months, or both',
  })
  .refine((input) => !input.everyHours || (input.toleranceHours ?? 0) < input.everyHours, {
    path: ['toleranceHours'],
    message: 'less than the hours between two services',
  })
  .refine((input) => !input.everyMonths || (input.toleranceDays ?? 0) < input.everyMonths * 28, {
    path: ['toleranceDays'],
    message: 'less than the time between two services',
  })
export type ScheduleInput = z.infer<typeof ScheduleInput>

export const ScheduleRetireInput = z.object({ scheduleId: Id })

/** What is renewed in any case or looked at: an item of a figure, at all its places or some. */
export const ItemLineInput = z.object({
  scheduleId: Id,
  kind: z.enum(['always', 'on-condition']),
  figureId: Id,
  item: Text(12).min(1, 'choose an item'),
  positions: Codes,
})
export type ItemLineInput = z.infer<typeof ItemLineInput>

/** The form sends figure and item as one choice. */
export const ItemLineForm = z
  .object({ scheduleId: Id, kind: z.enum(['always', 'on-condition']), place: z.string(), positions: Codes })
  .transform(({ place, ...rest }, context): z.input<typeof ItemLineInput> => {
    const match = /^(\d{1,15})\/(.{1,12})$/.exec(place)
    if (!match) {
      context.addIssue({ code: 'custom', path: ['place'], message: 'choose an item' })
      return z.NEVER
    }
    return { ...rest, figureId: Number(match[1]), item: match[2]! }
  })
  .pipe(ItemLineInput)

/** A part by its number, where no figure shows it: oil, filters, grease. Minor units. */
export const PartLineInput = z.object({
  scheduleId: Id,
  kind: z.enum(['always', 'on-condition']),
  partId: Id,
  quantity: z.number().int().positive('enter a number above zero').max(1_000_000_000),
})
export type PartLineInput = z.infer<typeof PartLineInput>

export const PartLineForm = z
  .object({
    scheduleId: Id,
    kind: z.enum(['always', 'on-condition']),
    partId: Id,
    unit: z.enum(TYPED_UNITS),
    quantity: z.string(),
  })
  .transform(({ unit, quantity, ...rest }, context) => ({
    ...rest,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(PartLineInput)

/** Something to do: check, adjust, grease. */
export const ActLineInput = z.object({ scheduleId: Id, text: Text(160).min(3, 'say what is done, and at what') })
export type ActLineInput = z.infer<typeof ActLineInput>

export const LineRemoveInput = z.object({ scheduleId: Id, lineId: Id })

/** Due services of a machine and what else is open on it, as one job. */
export const ServiceJobInput = z.object({
  machineId: Id,
  scheduleIds: Ids.pipe(z.array(Id).min(1, 'tick the services to do')),
  joinJobIds: Ids,
  hours: HourMeter,
  meterReason: MeterReason,
})
export type ServiceJobInput = z.infer<typeof ServiceJobInput>

export const TaskInput = z
  .object({
    jobId: Id,
    taskId: Id,
    state: z.enum(['open', 'good', 'renewed', 'done', 'not-applicable']),
    note: Text(200).optional(),
  })
  .refine((task) => task.state !== 'not-applicable' || (task.note ?? '').length >= 3, {
    path: ['note'],
    message: 'say why it does not apply',
  })
export type TaskInput = z.infer<typeof TaskInput>
