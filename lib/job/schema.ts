import { z } from 'zod'
import { hoursParse } from '../machine/hour-meter.ts'
import { MeterReason } from '../machine/schema.ts'
import { TYPED_UNITS, type TypedUnit } from '../measure/quantity.ts'
import { BATCH_TAKEN } from '../stock/batch-schema.ts'
import { Id, quantityTyped } from '../stock/schema.ts'
import { wantedShare } from './need-rows.ts'

const Text = (max: number) => z.string().trim().max(max)
const Quantity = z.coerce
  .number<number>({ error: 'enter a number' })
  .int('enter a whole number')
  .positive('enter a number above zero')
  .max(1_000_000_000)
const Position = z.string().trim().min(1).max(12)
/** A form sends one position as text and several as a list. */
const Positions = z.preprocess(
  (value) => (value === undefined || value === '' ? [] : Array.isArray(value) ? value : [value]),
  z.array(Position).max(400),
)

/** Hours as read off the meter; empty when nobody looked. Answers tenths of an hour. */
export const HourMeter = z
  .string()
  .trim()
  .max(12)
  .optional()
  .transform((text, context) => {
    if (!text) return null
    const tenths = hoursParse(text)
    if (tenths === null) {
      context.addIssue({ code: 'custom', message: 'enter hours as the meter shows them: 1234.5' })
      return z.NEVER
    }
    return tenths
  })

export const TargetInput = z.object({ jobId: Id, figureId: Id, lineId: Id, positions: Positions, quantity: Quantity })
export type TargetInput = z.infer<typeof TargetInput>

const Complaint = Text(1000).min(3, 'say what is wrong, as the driver told it')

export const JobOpenInput = z.object({
  machineId: Id,
  complaint: Complaint,
  kind: z.enum(['repair', 'service']).default('repair'),
  hours: HourMeter,
  meterReason: MeterReason,
  /** Ticked: the machine must not be used until the job is closed. */
  unsafe: z.preprocess((value) => value === 'on' || value === true, z.boolean()),
  figureId: Id.optional(),
  lineId: Id.optional(),
  positions: Positions,
  quantity: Quantity.optional(),
})
export type JobOpenInput = z.infer<typeof JobOpenInput>

export const TargetRemoveInput = z.object({ jobId: Id, targetId: Id })

export const DecideInput = z.object({
  jobId: Id,
  needId: Id,
  decision: z.enum(['accepted', 'declined', 'open']),
  /** Minor units; left out, what was suggested. */
  wanted: Quantity.optional(),
  reason: Text(200).optional(),
})
export type DecideInput = z.infer<typeof DecideInput>

/** A row of the screen: one answer to all its lines. */
export const RowDecideInput = DecideInput.omit({ needId: true }).extend({ needIds: Id.array().min(1).max(100) })
export type RowDecideInput = z.infer<typeof RowDecideInput>

export const KitChooseInput = z.object({ jobId: Id, kitId: Id })
export const KitUndoInput = z.object({ jobId: Id, needId: Id })

export const AcceptManyInput = z.object({ jobId: Id, strength: z.enum(['must', 'should', 'consider']).array().min(1) })

export const NeedAddInput = z.object({ jobId: Id, partId: Id, quantity: Quantity })
export type NeedAddInput = z.infer<typeof NeedAddInput>

export const NeedTakeOffInput = z.object({ jobId: Id, needId: Id })
export type NeedTakeOffInput = z.infer<typeof NeedTakeOffInput>

export const NeedReplaceInput = z.object({ jobId: Id, needId: Id, partId: Id })
export type NeedReplaceInput = z.infer<typeof NeedReplaceInput>

export const TakeInput = z.object({
  jobId: Id,
  lines: z
    .array(
      z.object({
        needId: Id,
        binId: Id,
        quantity: Quantity,
        /** How much of the need was taken when the list was shown, minor units. */
        seen: z.number().int().min(0).optional(),
        ...BATCH_TAKEN,
      }),
    )
    .min(1)
    .max(500),
})
export type TakeInput = z.infer<typeof TakeInput>

export const PutBackInput = z.object({
  jobId: Id,
  needId: Id,
  binId: Id,
  quantity: Quantity,
  /** Asked for only where what was taken came out of several batches. */
  batchId: Id.optional(),
})
export type PutBackInput = z.infer<typeof PutBackInput>

export const CheckInput = z
  .object({ jobId: Id, checkId: Id, state: z.enum(['open', 'done', 'not-applicable']), note: Text(200).optional() })
  .refine((check) => check.state !== 'not-applicable' || (check.note ?? '').length >= 3, {
    path: ['note'],
    message: 'say why it does not apply',
  })
export type CheckInput = z.infer<typeof CheckInput>

export const WorkDoneInput = z.object({
  jobId: Id,
  /** As the job was opened with where a form does not ask for it. */
  complaint: Complaint.optional(),
  cause: Text(1000),
  correction: Text(2000),
  labourMinutes: z.coerce.number<number>({ error: 'enter minutes' }).int('enter whole minutes').min(0).max(60_000),
  hours: HourMeter,
  meterReason: MeterReason,
  /** Why accepted parts that must be renewed were not fitted; asked for only where there are some. */
  notFitted: Text(300).optional(),
  /** Which saving of the words the form was filled from. */
  wordsVersion: z.coerce.number<number>().int().min(0).optional(),
})
export type WorkDoneInput = z.infer<typeof WorkDoneInput>

/**
 * The form under the service book: kept for later, or closed. Without a button (Enter) it is kept, never closed. `secret` signs
 * the release of a machine that was marked unsafe.
 */
export const WorkDoneForm = WorkDoneInput.extend({
  machineId: Id,
  intent: z.enum(['keep', 'close']).default('keep'),
  secret: z.string().max(200).optional(),
})

export const CorrectionInput = z.object({ entryId: Id, text: Text(2000).min(3, 'write what is to be put right') })
export type CorrectionInput = z.infer<typeof CorrectionInput>

const Unit = z.enum(TYPED_UNITS).default('each')
const TakeName = new RegExp(
  `^take\\.(\\d+(?::\\d+)?(?:\\+\\d+:\\d+)*)\\.(\\d+(?:@\\d+)?)\\.(${TYPED_UNITS.join('|')})$`,
)

/** The forms send quantities as they are typed, with the unit that stood beside the field; the inputs above hold minor units. */
export const RowDecideForm = z
  .object({
    jobId: Id,
    needIds: Id.array().min(1),
    unit: Unit,
    decision: z.enum(['accepted', 'declined', 'open']),
    wanted: z.string().optional(),
    reason: Text(200).optional(),
  })
  .transform(
    ({ unit, wanted, ...rest }, context): RowDecideInput => ({
      ...rest,
      ...(wanted === undefined ? {} : { wanted: quantityTyped(wanted, unit, 'wanted', context) }),
    }),
  )
  .pipe(RowDecideInput)

export const NeedAddForm = z
  .object({ jobId: Id, partId: Id, unit: Unit, quantity: z.string() })
  .transform(({ unit, quantity, ...rest }, context) => ({
    ...rest,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(NeedAddInput)

export const PutBackForm = z
  .object({ jobId: Id, needId: Id, binId: Id, unit: Unit, quantity: z.string(), batchId: Id.optional() })
  .transform(({ unit, quantity, ...rest }, context) => ({
    ...rest,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(PutBackInput)

/**
 * The pick list's form: a field `take.<need>.<bin>.<unit>` a line, quantity as typed. A line for several needs of one part names
 * each with its share in minor units, `take.5:2+6:2.7.each`; what was typed is spread over them. With one line's own button
 * (`only` = needs.bin) the others stay on the shelf. A bin with `@` names the batch in it. `seen` says what had been taken when the
 * list was shown, `5:0,6:2`.
 */
export const TakeForm = z
  .looseObject({
    jobId: Id,
    only: z.string().optional(),
    seen: z.string().max(20_000).optional(),
    expiredWhy: z.string().optional(),
  })
  .transform(
    ({ jobId, only, seen = '', expiredWhy, ...fields }, context): { jobId: number; lines: TakeInput['lines'] } => {
      const lines: TakeInput['lines'] = []
      const takenOf = new Map([...seen.matchAll(/(\d+):(\d+)/g)].map((one) => [Number(one[1]), Number(one[2])]))
      for (const [name, value] of Object.entries(fields)) {
        const match = TakeName.exec(name)
        if (!match || typeof value !== 'string') continue
        if (only !== undefined && only !== `${match[1]}.${match[2]}`) continue
        const quantity = quantityTyped(value, match[3] as TypedUnit, name, context)
        const needs = match[1]!.split('+').map((one) => one.split(':').map(Number))
        const shares = wantedShare(
          quantity,
          needs.map(([, suggested]) => ({ suggested: suggested ?? quantity, taken: 0 })),
        )
        const [binId, batchId] = match[2]!.split('@').map(Number)
        const batch = batchId === undefined ? {} : { batchId, ...(expiredWhy === undefined ? {} : { expiredWhy }) }
        for (const [at, [needId]] of needs.entries())
          if (shares[at]! > 0)
            lines.push({
              needId: needId!,
              binId: binId!,
              quantity: shares[at]!,
              seen: takenOf.get(needId!),
              ...batch,
            })
      }
      if (lines.length === 0) context.addIssue({ code: 'custom', message: 'no line has a quantity above zero' })
      return { jobId, lines }
    },
  )
  .pipe(TakeInput)
