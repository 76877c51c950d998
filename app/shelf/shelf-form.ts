import { z } from 'zod'
import { moneyParse } from '@/lib/measure/money.ts'
import { TYPED_UNITS } from '@/lib/measure/quantity.ts'
import { CountInput, Id, IssueInput, quantityTyped, ReceiveInput, TransferInput } from '@/lib/stock/schema.ts'

/** The forms of the shelf as they are sent: quantities as typed, with the unit that was shown, money in whole units. */
const Unit = z.enum(TYPED_UNITS)
const Typed = z.string({ error: 'enter how many' })
const Bin = z.coerce.number<string>({ error: 'choose a bin' }).int('choose a bin').positive('choose a bin')

export const ReceiveForm = z
  .object({
    partId: Id,
    binId: Bin,
    unit: Unit,
    quantity: Typed,
    cost: z.string().optional(),
    reason: z.string().optional(),
  })
  .transform(({ unit, quantity, cost, ...form }, context) => {
    const costMinor = cost === undefined ? undefined : moneyParse(cost)
    if (costMinor === null)
      context.addIssue({ code: 'custom', path: ['cost'], message: 'enter an amount, such as 12.50' })
    return {
      ...form,
      quantity: quantityTyped(quantity, unit, 'quantity', context),
      ...(typeof costMinor === 'number' ? { costMinor: costMinor as number } : {}),
    }
  })
  .pipe(ReceiveInput)

export const IssueForm = z
  .object({ partId: Id, binId: Bin, unit: Unit, quantity: Typed, reason: z.string({ error: 'say what it is for' }) })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(IssueInput)

/** A field left blank is no count of nothing: the count is asked for again. */
export const CountForm = z
  .object({
    partId: Id,
    binId: Bin,
    unit: Unit,
    counted: z.string({ error: 'enter what you counted; 0 when there is none' }),
    expected: z.coerce.number<string>(),
    reason: z.string().default(''),
  })
  .transform(({ unit, counted, ...form }, context) => ({
    ...form,
    counted: quantityTyped(counted, unit, 'counted', context),
  }))
  .pipe(CountInput)

export const TransferForm = z
  .object({ partId: Id, fromBinId: Bin, toBinId: Bin, unit: Unit, quantity: Typed })
  .transform(({ unit, quantity, ...form }, context) => ({
    ...form,
    quantity: quantityTyped(quantity, unit, 'quantity', context),
  }))
  .pipe(TransferInput)
