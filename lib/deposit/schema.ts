import { z } from 'zod'
import { moneyParse } from '../measure/money.ts'
import { Id } from '../stock/schema.ts'

const Words = z.string().trim().max(200)
const Money = z.number().int().min(0).max(100_000_000)
const BinId = z.coerce.number<number>({ error: 'choose a bin' }).int('choose a bin').positive('choose a bin')
const OptionalId = z.preprocess((value) => (value === '' ? undefined : value), Id.optional())

/** Money as typed, in minor units. */
function moneyTyped(text: string, path: string, context: z.core.$RefinementCtx): number {
  const minor = moneyParse(text)
  if (minor !== null) return minor
  context.addIssue({ code: 'custom', path: [path], message: 'enter an amount, like 120 or 120.50' })
  return z.NEVER
}

/** The deposit on one piece, as one supplier asks it; null takes it off. */
export const OfferDepositInput = z.object({
  partId: Id,
  supplierId: Id,
  depositMinor: Money.nullable(),
  returnDays: z.number().int().min(1, 'at least a day').max(3650).nullable(),
})
export type OfferDepositInput = z.infer<typeof OfferDepositInput>

export const OfferDepositForm = z
  .object({ partId: Id, supplierId: Id, deposit: z.string(), returnDays: z.string() })
  .transform(({ deposit, returnDays, ...form }, context) => {
    const minor = deposit.trim() === '' ? 0 : moneyTyped(deposit, 'deposit', context)
    const days = returnDays.trim()
    if (days !== '' && !/^\d{1,4}$/.test(days)) {
      context.addIssue({ code: 'custom', path: ['returnDays'], message: 'enter whole days' })
      return z.NEVER
    }
    return {
      ...form,
      depositMinor: minor === 0 ? null : minor,
      returnDays: minor === 0 || days === '' ? null : Number(days),
    }
  })
  .pipe(OfferDepositInput)

/** An old unit that came off: for a job, for a machine without a job, or by hand. */
export const UnitKeepInput = z.object({
  partId: Id,
  binId: BinId,
  serialNumber: z.string().trim().max(60).default(''),
  note: Words.default(''),
  jobId: OptionalId,
  machineId: OptionalId,
})
export type UnitKeepInput = z.infer<typeof UnitKeepInput>

/** There is no old unit to keep, and why. */
export const UnitNoneInput = z.object({
  partId: Id,
  jobId: OptionalId,
  machineId: OptionalId,
  reason: Words.min(3, 'say why there is none'),
})
export type UnitNoneInput = z.infer<typeof UnitNoneInput>

export const UnitMoveInput = z.object({ unitId: Id, binId: BinId })
export type UnitMoveInput = z.infer<typeof UnitMoveInput>

export const UnitScrapInput = z.object({ unitId: Id, reason: Words.min(3, 'say why it is scrapped') })
export type UnitScrapInput = z.infer<typeof UnitScrapInput>

export const ReturnSendInput = z.object({
  supplierId: Id,
  unitIds: z.preprocess(
    (value) => (value === undefined ? [] : [value].flat()),
    z.array(Id).min(1, 'tick what goes back').max(200),
  ),
  words: Words.default(''),
})
export type ReturnSendInput = z.infer<typeof ReturnSendInput>

const Credited = { creditedMinor: Money, reason: Words }

export const ReturnAnswerInput = z.object({
  unitId: Id,
  state: z.enum(['accepted', 'refused', 'lost']),
  ...Credited,
})
export type ReturnAnswerInput = z.infer<typeof ReturnAnswerInput>

export const ReturnAnswerForm = z
  .object({
    unitId: Id,
    state: ReturnAnswerInput.shape.state,
    credited: z.string({ error: 'enter what is credited' }),
    reason: z.string(),
  })
  .transform(({ credited, ...form }, context) => ({
    ...form,
    creditedMinor: moneyTyped(credited, 'credited', context),
  }))
  .pipe(ReturnAnswerInput)

/** No old unit will go back for a deposit. */
export const DepositGiveUpInput = z.object({
  depositId: Id,
  creditedMinor: Money,
  reason: Words.min(3, 'say why'),
})
export type DepositGiveUpInput = z.infer<typeof DepositGiveUpInput>

export const DepositGiveUpForm = z
  .object({ depositId: Id, credited: z.string(), reason: z.string() })
  .transform(({ credited, ...form }, context) => ({
    ...form,
    creditedMinor: credited.trim() === '' ? 0 : moneyTyped(credited, 'credited', context),
  }))
  .pipe(DepositGiveUpInput)

/** A deposit that was paid before its order stood here. */
export const DepositBeforeInput = z.object({
  partId: Id,
  supplierId: Id,
  amountMinor: Money.min(1, 'enter an amount above zero'),
  dueOn: z.union([z.literal(''), z.iso.date('enter a date')]),
})
export type DepositBeforeInput = z.infer<typeof DepositBeforeInput>

export const DepositBeforeForm = z
  .object({ partId: Id, supplierId: Id, amount: z.string(), dueOn: z.string() })
  .transform(({ amount, ...form }, context) => ({ ...form, amountMinor: moneyTyped(amount, 'amount', context) }))
  .pipe(DepositBeforeInput)
